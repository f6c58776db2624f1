//! The fuses that an array needs, one by one.

use super::exposure::{Exposure, Guard, Place, exposures};
use crate::model::{InputRef, InputWiring, Kind, KindIdx};
use crate::units::Amps;

/// Where a fuse goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FusePlace {
    /// At the string's port of the combiner: guards all of its panels that stand alone.
    String,
    /// On the lead of one panel of a block, both counted from 0.
    Member {
        /// Which element of the string.
        element: usize,
        /// Which member of the element.
        member: usize,
    },
}

/// A fuse that the fault rules ask for.
///
/// `size` is `None` in two cases: the label gives no rating (`most` is `None`, the kinds to ask for
/// stand in `unrated`), or no standard size lies between `need` and `most`. Where some panels of a
/// string have a rating and others not, `size` is what the rated ones ask for and `unrated` names
/// the rest: the fuse must not be above their ratings either.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseNeed {
    /// On which input.
    pub at: InputRef,
    /// Index of the string, from 0.
    pub string: usize,
    /// Where in it.
    pub place: FusePlace,
    /// Current that others could feed into a short there. \[A\]
    pub feed: Amps,
    /// A fuse carries at least this much, 1.56 × the short-circuit current behind it. \[A\]
    pub need: Amps,
    /// A fuse is at most this large, by the label of the weakest panel it guards; `None` where no
    /// label says. \[A\]
    pub most: Option<Amps>,
    /// The smallest standard size between the two. \[A\]
    pub size: Option<Amps>,
    /// Kinds it guards whose label gives no rating, each once.
    pub unrated: Vec<KindIdx>,
}

/// The fuses of one input in the order of its strings: first the string's own, then those of its
/// blocks' members. None for a string that needs none.
pub(in super::super) fn fuse_needs(wiring: &InputWiring, kinds: &[Kind]) -> Vec<FuseNeed> {
    let mut needs: Vec<FuseNeed> = Vec::new();
    for (s, of_string) in exposures(&wiring.array, kinds).iter().enumerate() {
        for exposure in of_string {
            let Some(need) = fuse_need(wiring.at, s, exposure) else { continue };
            let same = needs.last_mut().filter(|n| (n.string, n.place) == (s, need.place));
            match same {
                Some(first) => join(first, need),
                None => needs.push(need),
            }
        }
    }
    needs
}

fn fuse_need(at: InputRef, string: usize, exposure: &Exposure) -> Option<FuseNeed> {
    let (need, most, size) = match exposure.guard {
        Guard::None => return None,
        Guard::Fuse { size, need, most } => (need, Some(most), Some(size)),
        Guard::NoSize { need, most } => (need, Some(most), None),
        Guard::Unknown { need } => (need, None, None),
    };
    let place = match exposure.place {
        Place::Single => FusePlace::String,
        Place::Member { element, member } => FusePlace::Member { element, member },
    };
    Some(FuseNeed {
        at,
        string,
        place,
        feed: Amps(exposure.feed),
        need: Amps(need),
        most: most.map(Amps),
        size: size.map(Amps),
        unrated: if most.is_none() { vec![exposure.kind] } else { Vec::new() },
    })
}

/// One fuse guards both: all that is known of a string's rated panels is the same for each of them.
fn join(first: &mut FuseNeed, next: FuseNeed) {
    if first.most.is_none() {
        first.most = next.most;
        first.size = next.size;
    }
    first.unrated.extend(next.unrated);
    first.unrated.sort_unstable();
    first.unrated.dedup();
}
