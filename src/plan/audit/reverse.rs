//! Currents backwards once more: with the controller idle, and into a fault.

use super::AuditedInput;
use super::exact::ExactArray;
use super::judged::Judged;
use super::limits::ROUNDING;
use crate::electrical::{Catalog, Condition, ExactString, standard_fuse, stc};
use crate::model::{Element, Installation, KindIdx, PanelString};
use crate::plan::Outcome;
use crate::units::{Amps, Irradiance};

/// Current into each string while the bus floats, at full sun or on the coldest morning, with full sun
/// on all planes or on one of them, whichever is most; none for a string alone.
pub(super) fn idle(
    installation: &Installation,
    catalog: &Catalog,
    input: &AuditedInput,
) -> Vec<Judged> {
    let strings = &input.array.strings;
    if strings.len() < 2 {
        return Vec::new();
    }
    let diodes = input.controller.blocking_diodes;
    let planes = &installation.site.sun.planes;
    let into = |temp_cell, lit: Option<usize>| -> Vec<f64> {
        let light = |k: KindIdx| match (lit, &installation.kind(k).placed) {
            (Some(lit), Some(own)) => planes[own.plane.0].at_square[lit],
            _ => Irradiance(1000.0),
        };
        let condition = |k| Condition { irradiance: light(k), temp_cell };
        let exact: Vec<ExactString> =
            strings.iter().map(|s| ExactString::new(s, catalog, condition, false)).collect();
        let array = ExactArray::new(exact);
        array.currents(array.floating_voltage()).iter().map(|i| (-i).max(0.0)).collect()
    };
    let mut most = vec![0.0_f64; strings.len()];
    let skies = std::iter::once(None).chain((0..planes.len()).map(Some)).filter(|_| !diodes);
    for lit in skies {
        for temp_cell in [stc().temp_cell, installation.site.coldest] {
            most.iter_mut().zip(into(temp_cell, lit)).for_each(|(m, i)| *m = m.max(i));
        }
    }
    let judge = |(s, string): (usize, &PanelString)| {
        let value = most[s];
        let borne = |e: &Element| {
            let ratings = || e.members().iter().map(|k| installation.kind(*k).max_fuse);
            let lowest = ratings().flatten().map(Amps::amps).reduce(f64::min);
            lowest.map(|lowest| lowest * e.members().len() as f64)
        };
        let limit = string.elements().iter().filter_map(borne).reduce(f64::min);
        let silent = string.panels().any(|k| installation.kind(k).max_fuse.is_none());
        if diodes {
            return Judged::new(Some(s), (value, 0.0), limit, |_| Outcome::Pass);
        }
        // The weakest element's own short-circuit current.
        let own = string.elements().iter().map(|e| element_i_sc(e, installation));
        let own = own.fold(f64::INFINITY, f64::min);
        let outcome = |value: f64| match limit {
            Some(limit) if value > limit => Outcome::Breach,
            _ if silent => Outcome::Unknown,
            _ if value > own => Outcome::Caution,
            _ => Outcome::Pass,
        };
        let found = Judged::new(Some(s), (value, 0.005 * value + 0.02), limit, outcome);
        // What lacks a rating is compared by its current alone.
        let (used, slack) = (value, found.tolerance);
        let unknown = found.outcomes.1 == Outcome::Unknown;
        if unknown { Judged { used: (used, slack), ..found } } else { found }
    };
    strings.iter().enumerate().map(judge).collect()
}

/// What the audit finds under the two rules on faults.
pub(super) struct Faults {
    pub(super) feeds: Vec<Judged>,
    pub(super) fuses: Vec<Judged>,
}

/// Panel by panel: what feeds a short in it, and is there a fuse where that is too much?
pub(super) fn faults(installation: &Installation, input: &AuditedInput) -> Faults {
    let strings = &input.array.strings;
    let mut found = Faults { feeds: Vec::new(), fuses: Vec::new() };
    let blocks = strings.iter().any(|s| s.elements().iter().any(Element::is_block));
    if strings.len() == 1 && !blocks {
        return found;
    }
    let rating = |k: KindIdx| installation.kind(k).max_fuse.map(Amps::amps);
    let own = |k: KindIdx| unsafe_i_sc(installation, k);
    for (s, string) in strings.iter().enumerate() {
        let others: f64 = strings
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != s)
            .map(|(_, other)| 1.25 * i_sc(other, installation))
            .sum();
        let singles = || string.elements().iter().filter(|e| !e.is_block());
        let weakest = singles().filter_map(|e| rating(e.members()[0])).reduce(f64::min);
        for element in string.elements() {
            for (m, k) in element.members().iter().enumerate() {
                let mates: f64 = element
                    .members()
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != m)
                    .map(|(_, other)| 1.25 * own(*other))
                    .sum();
                let feed = others + mates;
                // A string's fuse protects its single panels, only its own one a block's panel.
                let (need, most) = if element.is_block() {
                    (1.56 * own(*k), rating(*k))
                } else {
                    (1.56 * i_sc(string, installation), weakest)
                };
                let fed = Fed { feed, rating: rating(*k), need, most };
                found.feeds.push(fed.judged(s));
                found.fuses.push(fed.fuse(s));
            }
        }
    }
    found
}

/// What feeds a short in one panel, and between which ends its fuse must lie. \[A\]
struct Fed {
    feed: f64,
    rating: Option<f64>,
    need: f64,
    most: Option<f64>,
}

impl Fed {
    /// The smallest standard fuse, what it must carry being taken lower by a part.
    ///
    /// The other end is a label's figure, often a standard size itself, and is as exact.
    fn size(&self, lower: f64) -> Option<f64> {
        let most = self.most? * (1.0 + 1e-9);
        standard_fuse(Amps(self.need * (1.0 - lower)), Amps(most)).map(Amps::amps)
    }

    fn outcome(&self, feed: f64, lower: f64) -> Outcome {
        match self.rating {
            _ if feed <= 0.0 => Outcome::Pass,
            None => Outcome::Unknown,
            Some(rating) if feed <= rating => Outcome::Pass,
            Some(_) if self.size(lower).is_some() => Outcome::Caution,
            Some(_) => Outcome::Breach,
        }
    }

    fn judged(&self, string: usize) -> Judged {
        let slack = ROUNDING * self.feed;
        let figure = (self.feed, slack);
        let found =
            Judged::new(Some(string), figure, self.rating, |feed| self.outcome(feed, ROUNDING));
        let gravest = self.outcome(self.feed + slack, -ROUNDING);
        Judged { outcomes: (found.outcomes.0, found.outcomes.1.max(gravest)), ..found }
    }

    /// The same, with the figures of the fuse.
    fn fuse(&self, string: usize) -> Judged {
        let found = self.judged(string);
        let (value, limit, used) = match found.outcomes.1 {
            Outcome::Pass => (None, self.rating, self.rating.map_or(0.0, |r| self.feed / r)),
            Outcome::Unknown => (Some(self.need), None, self.feed),
            Outcome::Breach => (Some(self.need), self.most, self.used_by_fuse()),
            Outcome::Caution => (self.size(ROUNDING), self.most, self.used_by_fuse()),
        };
        let one_size = self.size(ROUNDING) == self.size(-ROUNDING);
        let settled = found.outcomes.0 == found.outcomes.1
            && (found.outcomes.0 != Outcome::Caution || one_size);
        let tolerance = if settled { ROUNDING * self.need } else { f64::INFINITY };
        Judged { value, limit, used: (used, ROUNDING * used), tolerance, ..found }
    }

    fn used_by_fuse(&self) -> f64 {
        self.most.map_or(f64::INFINITY, |most| self.need / most)
    }
}

/// Short-circuit current of a string: its strongest element. \[A\]
pub(super) fn i_sc(string: &PanelString, installation: &Installation) -> f64 {
    let element = |e: &Element| element_i_sc(e, installation);
    string.elements().iter().map(element).fold(0.0, f64::max)
}

/// Short-circuit current of an element, members of a block adding up. \[A\]
fn element_i_sc(element: &Element, installation: &Installation) -> f64 {
    element.members().iter().map(|k| unsafe_i_sc(installation, *k)).sum()
}

/// Label Isc at the unsafe end of the label's tolerance. \[A\]
fn unsafe_i_sc(installation: &Installation, kind: KindIdx) -> f64 {
    let kind = installation.kind(kind);
    kind.label.i_sc.amps() * (1.0 + kind.tolerance_percent.unwrap_or(0.0) / 100.0)
}
