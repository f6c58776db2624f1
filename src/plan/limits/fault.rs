//! A short in one panel, fed by all the other strings and, inside a block, by its block mates: which
//! panels need a fuse, and is there one?
//!
//! Protective reading of IEC 62548 and US NEC 690.9(A), from secondary sources: check your edition.
//! Blocking diodes do not replace fuses: one that fails shorted protects nothing.

use std::collections::BTreeMap;

use super::super::words::{fixed, join_words, tell_apart};
use super::super::{Check, CheckRule, Outcome, Unit};
use super::exposure::{Exposure, Guard, Place, exposures};
use super::{Finding, Wired};
use crate::model::KindIdx;

const BASIS: &str = "IEC 62548, US NEC 690.9(A)";

/// `fault_reverse_current` and `string_fuse`; neither for one string without blocks.
///
/// For string s both breach exactly when the Isc of all strings together exceed a figure that depends
/// on s alone, so that more current elsewhere never lifts a breach.
pub(super) fn fault_checks(wired: &Wired) -> [Option<Check>; 2] {
    let strings = &wired.array.strings;
    let no_blocks = strings.iter().all(|s| s.elements().iter().all(|e| !e.is_block()));
    if strings.len() == 1 && no_blocks {
        return [None, None];
    }
    let exposures = exposures(wired.array, wired.kinds);
    [fault_reverse_current(wired, &exposures), string_fuse(wired, &exposures)]
}

impl Exposure {
    fn outcome(&self) -> Outcome {
        match self.guard {
            Guard::None => Outcome::Pass,
            Guard::Fuse { .. } => Outcome::Caution,
            Guard::NoSize { .. } => Outcome::Breach,
            Guard::Unknown { .. } => Outcome::Unknown,
        }
    }

    /// `a creek-90` or `a creek-90 in a block`.
    fn name(&self, wired: &Wired) -> String {
        let id = wired.kind_id(self.kind);
        match self.place {
            Place::Single => format!("a {id}"),
            Place::Member { .. } => format!("a {id} in a block"),
        }
    }
}

/// The largest current that could be fed into a short, against the label of the panel.
fn fault_reverse_current(wired: &Wired, exposures: &[Vec<Exposure>]) -> Option<Check> {
    let finding = |s: usize, e: &Exposure| {
        let name = e.name(wired);
        let (feed, rating) = e
            .rating
            .map_or_else(|| (fixed(e.feed, 1), String::new()), |rating| tell_apart(e.feed, rating));
        let fed = format!("a short in {name} of string {} could be fed {feed} A", s + 1);
        let note = match e.guard {
            Guard::None => String::new(),
            Guard::Fuse { size, .. } => format!(
                "{fed}, above the {rating} A on its label: a fuse of {size} A keeps it safe"
            ),
            Guard::NoSize { .. } => format!(
                "{fed}, above the {rating} A on its label, and no standard fuse would keep it safe"
            ),
            Guard::Unknown { .. } => {
                format!("{fed}, but its label gives no maximum fuse: ask for it")
            }
        };
        let used = e.rating.map_or(e.feed, |rating| e.feed / rating);
        let (value, limit, outcome) = (Some(e.feed), e.rating, e.outcome());
        (s, Finding { value, limit, outcome, basis: BASIS, note, used })
    };
    let findings = exposures.iter().enumerate().flat_map(|(s, of)| of.iter().map(move |e| (s, e)));
    let findings = findings.map(|(s, e)| finding(s, e));
    wired.nearest(CheckRule::FaultReverseCurrent, Unit::Amps, findings)
}

/// The fuses that are needed, with their sizes, or both ends of the range in which none exists.
fn string_fuse(wired: &Wired, exposures: &[Vec<Exposure>]) -> Option<Check> {
    let finding = |s: usize, e: &Exposure| {
        let name = e.name(wired);
        let n = s + 1;
        let (value, limit, note, used) = match e.guard {
            Guard::None => (None, e.rating, String::new(), e.rating.map_or(0.0, |r| e.feed / r)),
            Guard::Fuse { size, need, most } => {
                (Some(size), Some(most), needed_fuses(wired, exposures), need / most)
            }
            Guard::NoSize { need, most } => {
                let (need_text, most_text) = tell_apart(need, most);
                let note = format!(
                    "{name} of string {n} needs a fuse of at least {need_text} A to carry the \
                     current and at most {most_text} A by the label: no standard size lies between"
                );
                (Some(need), Some(most), note, need / most)
            }
            Guard::Unknown { need } => {
                let note = format!(
                    "{name} of string {n} may need a fuse of at least {} A against the {} A that \
                     could be fed into it, but its label gives no maximum: ask for it",
                    fixed(need, 1),
                    fixed(e.feed, 1)
                );
                (Some(need), None, note, e.feed)
            }
        };
        (s, Finding { value, limit, outcome: e.outcome(), basis: BASIS, note, used })
    };
    let findings = exposures.iter().enumerate().flat_map(|(s, of)| of.iter().map(move |e| (s, e)));
    let findings = findings.map(|(s, e)| finding(s, e));
    wired.nearest(CheckRule::StringFuse, Unit::Amps, findings)
}

/// Every fuse that the array needs, in one sentence.
fn needed_fuses(wired: &Wired, exposures: &[Vec<Exposure>]) -> String {
    // From whose fuse it is and its size to the strings. Bits of positive numbers sort as they do.
    let mut places: BTreeMap<(Option<KindIdx>, u64), Vec<usize>> = BTreeMap::new();
    let mut most_fed = 0.0_f64;
    for (s, exposure) in
        exposures.iter().enumerate().flat_map(|(s, of)| of.iter().map(move |e| (s, e)))
    {
        let Guard::Fuse { size, .. } = exposure.guard else { continue };
        let own = matches!(exposure.place, Place::Member { .. }).then_some(exposure.kind);
        let strings = places.entry((own, size.to_bits())).or_default();
        if strings.last() != Some(&(s + 1)) {
            strings.push(s + 1);
        }
        most_fed = most_fed.max(exposure.feed);
    }
    let words = places.into_iter().map(|((own, bits), strings)| {
        let size = f64::from_bits(bits);
        let several = if strings.len() > 1 { "strings" } else { "string" };
        let strings = join_words(strings.iter().map(ToString::to_string));
        match own {
            None if several == "strings" => format!("{size} A in each of strings {strings}"),
            None => format!("{size} A in string {strings}"),
            Some(kind) => {
                let id = wired.kind_id(kind);
                format!("{size} A on each {id} in a block of {several} {strings}")
            }
        }
    });
    format!(
        "up to {} A could be fed into a short: fuses needed are {}",
        fixed(most_fed, 1),
        join_words(words)
    )
}
