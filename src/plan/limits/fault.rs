//! A short in one panel, fed by all the other strings and, inside a block, by its block mates: which
//! panels need a fuse, and is there one?
//!
//! Protective reading of IEC 62548 and US NEC 690.9(A), from secondary sources: check your edition.
//! Blocking diodes do not replace fuses: one that fails shorted protects nothing.

use std::collections::BTreeMap;

use super::super::words::{join_words, tell_apart};
use super::super::{Check, CheckRule, Outcome, Unit};
use super::{Finding, TOLERANCE, Wired, above};
use crate::electrical::{element_i_sc, standard_fuse, string_i_sc};
use crate::model::{Element, Kind, KindIdx};
use crate::units::Amps;

/// The code's factor on short-circuit currents that feed a fault (US NEC 690.8(A)).
const FEED_FACTOR: f64 = 1.25;
/// A fuse carries at least this many times the short-circuit current behind it (1.25 × 1.25,
/// US NEC 690.8 and 690.9(B)).
const FUSE_FACTOR: f64 = 1.56;

const BASIS: &str = "IEC 62548, US NEC 690.9(A)";

/// What could flow into panels of one kind at one place of a string.
struct Exposure {
    kind: KindIdx,
    place: Place,
    /// Current that others could feed into a short in it. \[A\]
    feed: f64,
    /// Maximum fuse on its label. \[A\]
    rating: Option<f64>,
    guard: Guard,
}

/// Where a panel stands.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Place {
    /// Alone in its string's current path: the string's fuse protects it.
    Single,
    /// In parallel with others: only a fuse of its own protects it.
    Member,
}

/// What stands between the panel and that current.
#[derive(Clone, Copy)]
enum Guard {
    /// Its own strength.
    None,
    /// A fuse between two ends. \[A\]
    Fuse { size: f64, need: f64, most: f64 },
    /// No standard fuse lies between what must flow and what the label allows. \[A\]
    NoSize { need: f64, most: f64 },
    /// The label gives no rating.
    Unknown { need: f64 },
}

/// `fault_reverse_current` and `string_fuse`; neither for one string without blocks.
///
/// For string s both breach exactly when the Isc of all strings together exceed a figure that depends
/// on s alone, so that more current elsewhere never lifts a breach.
pub(super) fn fault_checks(wired: &Wired) -> [Option<Check>; 2] {
    let i_sc: Vec<f64> =
        wired.array.strings.iter().map(|s| string_i_sc(s, wired.kinds).amps()).collect();
    let all: f64 = i_sc.iter().sum();
    let exposures: Vec<Vec<Exposure>> = (0..i_sc.len())
        .map(|s| exposures(wired, s, FEED_FACTOR * (all - i_sc[s]), FUSE_FACTOR * i_sc[s]))
        .collect();
    let no_blocks = wired.array.strings.iter().all(|s| s.elements().iter().all(|e| !e.is_block()));
    if i_sc.len() == 1 && no_blocks {
        return [None, None];
    }
    [fault_reverse_current(wired, &exposures), string_fuse(wired, &exposures)]
}

/// Every kind of panel in a string, by place, given what the other strings feed and the smallest
/// fuse that carries the string's own current. \[A\]
fn exposures(wired: &Wired, s: usize, others: f64, string_need: f64) -> Vec<Exposure> {
    // One string alone feeds nothing; what is left of the subtraction is dust.
    let others = if wired.array.strings.len() > 1 { others } else { 0.0 };
    let (blocks, singles): (Vec<&Element>, Vec<&Element>) =
        wired.array.strings[s].elements().iter().partition(|e| e.is_block());
    let singles: Vec<KindIdx> = singles.iter().map(|e| e.members()[0]).collect();
    // One fuse protects all singles of the string: the weakest of those in danger sets its top.
    let most = singles
        .iter()
        .filter_map(|k| rating(wired.kinds, *k))
        .filter(|r| above(others, *r))
        .fold(f64::INFINITY, f64::min);
    let single = |kind: &KindIdx| {
        let rating = rating(wired.kinds, *kind);
        let guard = guard(others, rating, string_need, most);
        Exposure { kind: *kind, place: Place::Single, feed: others, rating, guard }
    };
    let members = blocks.iter().flat_map(|block| block.members().iter().map(move |k| (block, k)));
    let member = |(block, kind): (&&Element, &KindIdx)| {
        let own = wired.kinds[kind.0].highest_i_sc().amps();
        let mates = element_i_sc(block, wired.kinds).amps() - own;
        let feed = others + FEED_FACTOR * mates;
        let rating = rating(wired.kinds, *kind);
        let guard = guard(feed, rating, FUSE_FACTOR * own, rating.unwrap_or(0.0));
        Exposure { kind: *kind, place: Place::Member, feed, rating, guard }
    };
    singles.iter().map(single).chain(members.map(member)).collect()
}

fn rating(kinds: &[Kind], kind: KindIdx) -> Option<f64> {
    kinds[kind.0].max_fuse.map(Amps::amps)
}

fn guard(feed: f64, rating: Option<f64>, need: f64, most: f64) -> Guard {
    match rating {
        _ if feed <= 0.0 => Guard::None,
        None => Guard::Unknown { need },
        Some(rating) if !above(feed, rating) => Guard::None,
        Some(_) => {
            let (lo, hi) = (need * (1.0 - TOLERANCE), most * (1.0 + TOLERANCE));
            standard_fuse(Amps(lo), Amps(hi)).map_or(Guard::NoSize { need, most }, |size| {
                Guard::Fuse { size: size.amps(), need, most }
            })
        }
    }
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
            Place::Member => format!("a {id} in a block"),
        }
    }
}

/// The largest current that could be fed into a short, against the label of the panel.
fn fault_reverse_current(wired: &Wired, exposures: &[Vec<Exposure>]) -> Option<Check> {
    let finding = |s: usize, e: &Exposure| {
        let name = e.name(wired);
        let (feed, rating) = e.rating.map_or_else(
            || (format!("{:.1}", e.feed), String::new()),
            |rating| tell_apart(e.feed, rating),
        );
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
                    "{name} of string {n} may need a fuse of at least {need:.1} A against the \
                     {:.1} A that could be fed into it, but its label gives no maximum: ask for it",
                    e.feed
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
        let own = (exposure.place == Place::Member).then_some(exposure.kind);
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
        "up to {most_fed:.1} A could be fed into a short: fuses needed are {}",
        join_words(words)
    )
}
