//! Every limit of one input as a named rule; the table of all of them is `docs/limits.md`.
//!
//! One check per rule: that of the string which is nearest to its limit.

mod current;
mod exposure;
mod fault;
mod fuses;
mod idle;
mod voltage;
mod window;

pub(super) use fuses::fuse_needs;
pub use fuses::{FuseNeed, FusePlace};

pub(super) use current::clipped_check;

use super::words::join_words;
use super::{Check, CheckRule, Outcome, Unit};
use crate::electrical::{Curve, IdleSky};
use crate::model::{ArrayWiring, Controller, Element, InputRef, Kind, KindIdx, PanelString, Site};
use crate::units::{Amps, Watts};

/// A limit met exactly is kept: relative slack for rounding.
const TOLERANCE: f64 = 1e-9;

/// One wired input with what its limits are judged by.
pub(super) struct Wired<'a> {
    pub(super) at: InputRef,
    pub(super) array: &'a ArrayWiring,
    pub(super) controller: &'a Controller,
    pub(super) site: &'a Site,
    pub(super) kinds: &'a [Kind],
    /// One for each string of the array.
    pub(super) strings: Vec<StringCurves>,
    /// The skies of an idle array.
    pub(super) skies: &'a [IdleSky],
    /// Operating power where watts are compared. \[W\]
    pub(super) power: Watts,
}

/// One string's curves.
pub(super) struct StringCurves {
    /// Under each sky of an idle array, without its blocking diode.
    pub(super) idle: Vec<Curve>,
    /// At the hot noon, as the input sees it.
    pub(super) hot: Curve,
}

/// Every limit of an input, in the order of [`CheckRule`].
pub(super) fn check_limits(wired: &Wired) -> Vec<Check> {
    [
        voltage::cold_voc(wired),
        voltage::system_voltage(wired),
        window::hot_window(wired),
        window::start_voltage(wired),
        Some(current::input_current(wired)),
        current::input_power(wired),
        Some(current::string_ports(wired)),
        idle::idle_reverse_current(wired),
    ]
    .into_iter()
    .chain(fault::fault_checks(wired))
    .chain([current::charge_limit(wired)])
    .flatten()
    .collect()
}

/// What one string or panel comes to under one rule.
struct Finding {
    value: Option<f64>,
    limit: Option<f64>,
    outcome: Outcome,
    basis: &'static str,
    note: String,
    /// How far the limit is used up; from 1 on it is passed.
    used: f64,
}

impl Wired<'_> {
    fn check(&self, rule: CheckRule, unit: Unit, string: Option<usize>, found: Finding) -> Check {
        let Finding { value, limit, outcome, basis, note, .. } = found;
        Check { rule, at: self.at, string, value, limit, unit, outcome, basis, note }
    }

    /// The string nearest to its limit: worst outcome first, then the limit most used up, then the
    /// first string. `None` if no string was judged.
    fn nearest(
        &self,
        rule: CheckRule,
        unit: Unit,
        findings: impl IntoIterator<Item = (usize, Finding)>,
    ) -> Option<Check> {
        findings
            .into_iter()
            .reduce(|a, b| {
                // Of strings that are alike but for the last digits the first is named.
                let nearer = b.1.used > a.1.used + 1e-6 * a.1.used.abs();
                let worse = b.1.outcome > a.1.outcome;
                if worse || (b.1.outcome == a.1.outcome && nearer) { b } else { a }
            })
            .map(|(s, found)| self.check(rule, unit, Some(s), found))
    }

    fn kind_id(&self, k: KindIdx) -> &str {
        &self.kinds[k.0].id
    }

    /// Ids of the kinds for which `lacks` holds, each once, as `a, b and c`.
    fn ids(&self, panels: impl Iterator<Item = KindIdx>, lacks: impl Fn(&Kind) -> bool) -> String {
        let mut found: Vec<_> = panels.filter(|k| lacks(&self.kinds[k.0])).collect();
        found.sort_unstable();
        found.dedup();
        join_words(found.into_iter().map(|k| self.kind_id(k).to_owned()))
    }
}

/// Is a figure above its limit by more than rounding?
pub(super) fn above(value: f64, limit: f64) -> bool {
    value > limit * (1.0 + TOLERANCE)
}

/// Is a figure below its limit by more than rounding?
fn below(value: f64, limit: f64) -> bool {
    value < limit * (1.0 - TOLERANCE)
}

/// Current that a string bears backwards, by its labels.
struct Rating {
    /// The lowest over the elements whose rating is known; a block bears its lowest member's rating
    /// on each panel. \[A\]
    lowest: Option<f64>,
    /// Did every label give its figure?
    complete: bool,
}

impl Rating {
    fn of(string: &PanelString, kinds: &[Kind]) -> Self {
        let element = |e: &Element| -> Option<f64> {
            let known = e.members().iter().filter_map(|k| kinds[k.0].max_fuse);
            known.map(Amps::amps).reduce(f64::min).map(|lowest| lowest * e.members().len() as f64)
        };
        Self {
            lowest: string.elements().iter().filter_map(element).reduce(f64::min),
            complete: string.panels().all(|k| kinds[k.0].max_fuse.is_some()),
        }
    }
}
