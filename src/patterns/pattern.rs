//! One candidate string with the figures the solver needs.

use std::sync::Arc;

use super::Bench;
use crate::electrical::{Curve, element_i_sc, nameplate_string, standard_fuse, string_i_sc};
use crate::model::{ArrayWiring, Element, Kind, PanelString};
use crate::units::{Amps, Volts};

/// Code factor on the short-circuit current that feeds a fault (US NEC 690.8).
pub(super) const FAULT_FACTOR: f64 = 1.25;
/// Smallest fuse as a multiple of short-circuit current (US NEC 690.8 and 690.9: 1.25 × 1.25).
const FUSE_FACTOR: f64 = 1.56;

/// By which arithmetic a string's rate is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arithmetic {
    /// The true curve.
    Curve,
    /// The nameplate rule.
    Nameplate,
}

/// A candidate: one string, or (see [`base_pattern`]) a whole array taken as it is.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// The strings it stands for; one except for a base.
    pub strings: Vec<PanelString>,
    /// Panels of each kind.
    pub counts: Vec<usize>,
    /// Current over voltage inside the window where watts are compared, `(V, A)`; empty if it cannot run there.
    pub rate: Arc<[(f64, f64)]>,
    /// Sum of label watts. \[W\]
    pub label: f64,
    /// Short-circuit current by the labels. \[A\]
    pub i_sc: f64,
    /// Bus voltage at which a string takes its fuse rating backwards, under each sky of an idle array;
    /// infinite where no rating is known or nothing can flow back. \[V\]
    pub float_limit: Vec<f64>,
    /// Largest short-circuit current of the whole array at which it stays safe in a fault; infinite
    /// where a fuse protects it or no rating is known. \[A\]
    pub most_array_i_sc: f64,
}

/// The pattern of one string.
#[must_use]
pub fn describe_pattern(string: PanelString, bench: &Bench, arithmetic: Arithmetic) -> Pattern {
    let compared = bench.series(&string).compared;
    describe_with(string, &bench.behind_diode(&compared), bench, arithmetic)
}

/// The same, its curve at the combiner being known.
pub(super) fn describe_with(
    string: PanelString,
    compared: &Curve,
    bench: &Bench,
    arithmetic: Arithmetic,
) -> Pattern {
    let kinds = &bench.installation.kinds;
    let rate: Vec<(f64, f64)> = match arithmetic {
        Arithmetic::Curve => window_rate(compared, bench),
        Arithmetic::Nameplate => nameplate_rate(&string, bench),
    };
    let mut counts = vec![0; kinds.len()];
    string.panels().for_each(|k| counts[k.0] += 1);
    let skies = 0..bench.skies().len();
    let float_limit = match idle_limit(&string, kinds) {
        Some(limit) if !bench.controller().blocking_diodes => {
            skies.map(|sky| bench.idle_voltage(&string, sky, -limit)).collect()
        }
        _ => skies.map(|_| f64::INFINITY).collect(),
    };
    Pattern {
        counts,
        rate: rate.into(),
        label: string.panels().map(|k| kinds[k.0].label.p_mp.watts()).sum(),
        i_sc: string_i_sc(&string, kinds).amps(),
        float_limit,
        most_array_i_sc: string_i_sc(&string, kinds).amps()
            + fault_margin(string.elements(), kinds).1 / FAULT_FACTOR,
        strings: vec![string],
    }
}

/// A whole array that stays as it is, as one pattern.
#[must_use]
pub fn base_pattern(array: &ArrayWiring, bench: &Bench, arithmetic: Arithmetic) -> Option<Pattern> {
    let parts: Vec<Pattern> =
        array.strings.iter().map(|s| describe_pattern(s.clone(), bench, arithmetic)).collect();
    let lowest = |f: &dyn Fn(&Pattern) -> f64| parts.iter().map(f).fold(f64::INFINITY, f64::min);
    let mut levels: Vec<f64> = parts.iter().flat_map(|p| p.rate.iter().map(|k| k.0)).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let end = lowest(&|p| p.rate.last().map_or(f64::NEG_INFINITY, |k| k.0));
    let rate = levels
        .into_iter()
        .filter(|v| *v <= end)
        .map(|v| (v, parts.iter().map(|p| rate_at(&p.rate, v)).sum()))
        .collect();
    let mut counts = vec![0; bench.installation.kinds.len()];
    array.panels().for_each(|k| counts[k.0] += 1);
    (!parts.is_empty()).then(|| Pattern {
        strings: array.strings.clone(),
        counts,
        rate,
        label: parts.iter().map(|p| p.label).sum(),
        i_sc: parts.iter().map(|p| p.i_sc).sum(),
        float_limit: (0..bench.skies().len()).map(|sky| lowest(&|p| p.float_limit[sky])).collect(),
        most_array_i_sc: lowest(&|p| p.most_array_i_sc),
    })
}

impl Pattern {
    /// Current while the controller idles at a bus voltage under one of the bench's skies. \[A\]
    #[must_use]
    pub fn idle_current(&self, bench: &Bench, sky: usize, v: f64) -> f64 {
        self.strings.iter().map(|s| bench.idle_current(s, sky, v)).sum()
    }
}

/// Current that may be pushed backwards through a string: its weakest element's fuse rating, a
/// block's being that of its weakest member times its panels. `None` if no label gives one. \[A\]
fn idle_limit(string: &PanelString, kinds: &[Kind]) -> Option<f64> {
    let of_element = |e: &Element| {
        let lowest = e.members().iter().filter_map(|k| kinds[k.0].max_fuse).reduce(Amps::min)?;
        Some(lowest.amps() * e.members().len() as f64)
    };
    string.elements().iter().filter_map(of_element).reduce(f64::min)
}

/// What feeds a fault inside the string itself, and how much more the other strings may feed (their
/// 1.25 × Isc) before something in it is neither safe nor to be protected by a standard fuse. \[A\]
///
/// A single panel is protected by a fuse on its string, a block's member only by a fuse of its own,
/// since a fuse over several panels in parallel protects none of them.
pub(super) fn fault_margin(elements: &[Element], kinds: &[Kind]) -> (f64, f64) {
    let i_sc = elements.iter().map(|e| element_i_sc(e, kinds)).fold(Amps(0.0), Amps::max);
    let need = i_sc * FUSE_FACTOR;
    let mut worst = (0.0, f64::INFINITY);
    let mut take = |fed: f64, margin: f64| {
        if margin < worst.1 {
            worst = (fed, margin);
        }
    };
    let singles = elements.iter().filter(|e| !e.is_block());
    let lowest =
        singles.flat_map(Element::members).filter_map(|k| kinds[k.0].max_fuse).reduce(Amps::min);
    if let Some(rating) = lowest
        && standard_fuse(need, rating).is_none()
    {
        take(0.0, rating.amps());
    }
    for block in elements.iter().filter(|e| e.is_block()) {
        let all = element_i_sc(block, kinds);
        for k in block.members() {
            let kind = &kinds[k.0];
            let Some(rating) = kind.max_fuse else { continue };
            if standard_fuse(kind.highest_i_sc() * FUSE_FACTOR, rating).is_none() {
                let mates = (all - kind.highest_i_sc()).amps() * FAULT_FACTOR;
                take(mates, rating.amps() - mates);
            }
        }
    }
    worst
}

/// The curve between the ends of the window, with knots at both ends.
fn window_rate(curve: &Curve, bench: &Bench) -> Vec<(f64, f64)> {
    let (lo, hi) = bench.controller().hold_range();
    let at = |v: Volts| (v.volts(), curve.current_at(v).amps());
    let mut rate = vec![at(lo)];
    rate.extend(
        curve.knots().iter().filter(|k| k.v > lo && k.v < hi).map(|k| (k.v.volts(), k.i.amps())),
    );
    // A step of a bypass diode may leave two knots at one voltage: the later one counts.
    rate.dedup_by(|later, earlier| {
        let same = later.0 <= earlier.0;
        if same {
            earlier.1 = later.1;
        }
        same
    });
    if hi > lo {
        rate.push(at(hi));
    }
    rate
}

/// The nameplate rule's step: lowest Imp up to the sum of Vmp, and not to be used above it.
fn nameplate_rate(string: &PanelString, bench: &Bench) -> Vec<(f64, f64)> {
    let (lo, hi) = bench.controller().hold_range();
    let rule = nameplate_string(string, &bench.installation.kinds);
    let (top, i) = (rule.v.min(hi), rule.i.amps());
    if top < lo {
        return Vec::new();
    }
    if top > lo { vec![(lo.volts(), i), (top.volts(), i)] } else { vec![(lo.volts(), i)] }
}

fn rate_at(rate: &[(f64, f64)], v: f64) -> f64 {
    let k = rate.partition_point(|knot| knot.0 < v).min(rate.len() - 1);
    match k.checked_sub(1).map(|before| (rate[before], rate[k])) {
        Some(((v0, i0), (v1, i1))) if v1 > v0 => i0 + (i1 - i0) * (v - v0) / (v1 - v0),
        _ => rate[k].1,
    }
}
