//! By how much the strings of each kind failed at each limit, at best.

use std::collections::BTreeMap;

use super::parts::Parts;
use crate::model::KindIdx;
use crate::patterns::Obstacle;

/// A string's figure at a limit that it breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Which limit.
    pub obstacle: Obstacle,
    /// The figure.
    pub value: f64,
    /// The limit.
    pub limit: f64,
}

impl Miss {
    /// How far off, as a fraction of the limit.
    #[must_use]
    pub fn distance(&self) -> f64 {
        (self.value - self.limit).abs() / self.limit.abs().max(1e-9)
    }
}

/// The nearest miss of each kind at each limit.
#[derive(Debug, Clone, Default)]
pub struct Misses {
    nearest: BTreeMap<(KindIdx, Obstacle), Miss>,
}

impl Misses {
    /// Notes a failed string for every kind in it.
    pub(super) fn note(&mut self, parts: &Parts, code: &[u16], miss: Miss) {
        for part in code {
            for kind in parts.element(*part).members() {
                let known = self.nearest.entry((*kind, miss.obstacle)).or_insert(miss);
                if miss.distance() < known.distance() {
                    *known = miss;
                }
            }
        }
    }

    /// The nearest misses of a kind, one at each limit that its strings broke.
    pub fn of(&self, kind: KindIdx) -> impl Iterator<Item = &Miss> {
        let range = (kind, Obstacle::ColdVoc)..=(kind, Obstacle::BlockFault);
        self.nearest.range(range).map(|(_, miss)| miss)
    }
}
