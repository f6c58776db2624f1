//! What others could feed into a short in each panel of an array, and what guards the panel.
//!
//! Both the words of the fault checks and the list of fuses to buy come from here, so that they
//! never differ.

use super::{TOLERANCE, above};
use crate::electrical::{element_i_sc, standard_fuse, string_i_sc};
use crate::model::{ArrayWiring, Element, Kind, KindIdx, PanelString};
use crate::units::Amps;

/// The code's factor on short-circuit currents that feed a fault (US NEC 690.8(A)).
const FEED_FACTOR: f64 = 1.25;
/// A fuse carries at least this many times the short-circuit current behind it (1.25 × 1.25,
/// US NEC 690.8 and 690.9(B)).
const FUSE_FACTOR: f64 = 1.56;

/// What could flow into a panel at one place of a string.
pub(super) struct Exposure {
    pub(super) kind: KindIdx,
    pub(super) place: Place,
    /// Current that others could feed into a short in it. \[A\]
    pub(super) feed: f64,
    /// Maximum fuse on its label. \[A\]
    pub(super) rating: Option<f64>,
    pub(super) guard: Guard,
}

/// Where a panel stands.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// Alone in its string's current path: the string's fuse protects it.
    Single,
    /// In parallel with others: only a fuse of its own protects it.
    Member { element: usize, member: usize },
}

/// What stands between the panel and that current.
#[derive(Clone, Copy)]
pub(super) enum Guard {
    /// Its own strength.
    None,
    /// A fuse between two ends. \[A\]
    Fuse { size: f64, need: f64, most: f64 },
    /// No standard fuse lies between what must flow and what the label allows. \[A\]
    NoSize { need: f64, most: f64 },
    /// The label gives no rating.
    Unknown { need: f64 },
}

/// Every panel of an array, string by string: first those that stand alone, then those in blocks.
pub(super) fn exposures(array: &ArrayWiring, kinds: &[Kind]) -> Vec<Vec<Exposure>> {
    let i_sc: Vec<f64> = array.strings.iter().map(|s| string_i_sc(s, kinds).amps()).collect();
    let all: f64 = i_sc.iter().sum();
    // One string alone feeds nothing; what is left of the subtraction is dust.
    let others = |i_sc: f64| if array.strings.len() > 1 { FEED_FACTOR * (all - i_sc) } else { 0.0 };
    let of_string = |(string, i_sc)| in_string(string, kinds, others(i_sc), FUSE_FACTOR * i_sc);
    array.strings.iter().zip(i_sc).map(of_string).collect()
}

/// The panels of one string, given what the other strings feed and the smallest fuse that carries
/// the string's own current. \[A\]
fn in_string(string: &PanelString, kinds: &[Kind], others: f64, string_need: f64) -> Vec<Exposure> {
    let (blocks, singles): (Vec<(usize, &Element)>, Vec<_>) =
        string.elements().iter().enumerate().partition(|(_, e)| e.is_block());
    let singles: Vec<KindIdx> = singles.iter().map(|(_, e)| e.members()[0]).collect();
    // One fuse protects all singles of the string: the weakest of those in danger sets its top.
    let most = singles
        .iter()
        .filter_map(|k| rating(kinds, *k))
        .filter(|r| above(others, *r))
        .fold(f64::INFINITY, f64::min);
    let single = |kind: &KindIdx| {
        let rating = rating(kinds, *kind);
        let guard = guard(others, rating, string_need, most);
        Exposure { kind: *kind, place: Place::Single, feed: others, rating, guard }
    };
    let members = blocks.iter().flat_map(|(e, block)| {
        block.members().iter().enumerate().map(move |(m, kind)| (*e, *block, m, *kind))
    });
    let member = |(element, block, member, kind): (usize, &Element, usize, KindIdx)| {
        let own = kinds[kind.0].highest_i_sc().amps();
        let mates = element_i_sc(block, kinds).amps() - own;
        let feed = others + FEED_FACTOR * mates;
        let rating = rating(kinds, kind);
        let guard = guard(feed, rating, FUSE_FACTOR * own, rating.unwrap_or(0.0));
        Exposure { kind, place: Place::Member { element, member }, feed, rating, guard }
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
