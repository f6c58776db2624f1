//! Which wiring of a few panels gives the most: every one of them is tried.

use super::sums::{unlike_blocks, work_out};
use super::wirings::all_wirings;
use super::{Worked, worked};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, InputRef, InputWiring, Installation, KindIdx, PanelString};
use crate::plan::Evaluator;
use crate::units::{Volts, Watts};

/// By so much, as a factor, the best wiring of an exercise beats the second by the rule of thumb.
pub const RULE_MARGIN: f64 = 1.03;
/// By so much it beats every other by the curves.
pub const CURVE_MARGIN: f64 = 1.01;
/// Open voltage on the coldest morning over the label's, as exercises have it: the code's factor for
/// −21 to −25 °C (US NEC table 690.7(A); from a secondary source, check your edition).
pub const COLD_RISE: f64 = 1.2;
/// Exercises have levels from 1 to this.
pub const N_LEVELS: usize = 5;

/// The one input of an exercise.
pub(super) const AT: InputRef = InputRef { controller: 0, input: 1 };

/// A wiring and what it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// The wiring.
    pub array: ArrayWiring,
    /// By the rule of thumb. \[W\]
    pub by_rule: Watts,
    /// By the curves. \[W\]
    pub by_curve: Watts,
}

/// What comes of trying every wiring of the spares on the one input of an installation.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Every wiring that keeps the cold voltage, from the most by the rule of thumb.
    pub ranked: Vec<Ranked>,
    /// Wirings that would pass the controller's maximum on a cold morning.
    pub n_too_high: usize,
    /// The first of `ranked`, worked out.
    pub best: Worked,
}

impl Solution {
    /// Is the first the best by both margins?
    #[must_use]
    pub fn has_one_best(&self) -> bool {
        let first = &self.ranked[0];
        self.ranked[1..].iter().all(|other| {
            first.by_rule.watts() >= RULE_MARGIN * other.by_rule.watts()
                && first.by_curve.watts() >= CURVE_MARGIN * other.by_curve.watts()
        })
    }

    /// How many wirings there are to think of.
    #[must_use]
    pub fn n_wirings(&self) -> usize {
        self.ranked.len() + self.n_too_high
    }
}

/// Every wiring of the spares that the input has ports for, with its watts by the rule of thumb and
/// whether it keeps the controller's maximum when open voltage rises by [`COLD_RISE`].
pub(super) fn by_rule(installation: &Installation) -> (Vec<(ArrayWiring, Watts)>, usize) {
    let counts: Vec<usize> =
        (0..installation.kinds.len()).map(|k| installation.n_spare(KindIdx(k))).collect();
    let controller = installation.controller(AT);
    let site = &installation.site;
    let mut all = all_wirings(&counts, site.block_max, controller.string_ports);
    all.retain(|array| unlike_blocks(array, &installation.kinds).is_empty());
    let n_all = all.len();
    let kinds = &installation.kinds;
    let mut kept: Vec<(ArrayWiring, Watts)> = all
        .into_iter()
        .filter(|array| open_voltage(installation, array) * COLD_RISE <= controller.max_pv)
        .map(|array| {
            let sum = work_out(&array, kinds, controller.hold_range());
            let watts = sum.map_or(Watts(0.0), |s| s.watts);
            (array, watts)
        })
        .collect();
    kept.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then_with(|| a.0.cmp(&b.0)));
    let n_too_high = n_all - kept.len();
    (kept, n_too_high)
}

/// Open voltage of the longest string by its labels. \[V\]
fn open_voltage(installation: &Installation, array: &ArrayWiring) -> Volts {
    let of = |k: &KindIdx| installation.kind(*k).label.v_oc;
    let highest = |members: &[KindIdx]| members.iter().map(of).fold(Volts(0.0), Volts::max);
    let string = |s: &PanelString| s.elements().iter().map(|e| highest(e.members())).sum::<Volts>();
    array.strings.iter().map(string).fold(Volts(0.0), Volts::max)
}

/// Tries every wiring of the spares of an installation with one input; `None` if none gives anything.
///
/// # Panics
/// If a label has no curve.
#[must_use]
pub fn solve_puzzle(installation: &Installation) -> Option<Solution> {
    let (kept, n_too_high) = by_rule(installation);
    let catalog = Catalog::fit(&installation.kinds).expect("labels of exercises have curves");
    let evaluator = Evaluator::new(installation, &catalog);
    let wiring = |array: &ArrayWiring| InputWiring { at: AT, array: array.clone() };
    let ranked: Vec<Ranked> = kept
        .into_iter()
        .map(|(array, by_rule)| {
            let by_curve = evaluator.watts(&wiring(&array));
            Ranked { array, by_rule, by_curve }
        })
        .collect();
    let first = ranked.first().filter(|r| r.by_rule.watts() > 0.0)?;
    let best = worked(&evaluator, installation, &wiring(&first.array))?;
    Some(Solution { ranked, n_too_high, best })
}
