//! From the whole search space to ever narrower ones.

use super::parts::Parts;

/// Label currents at maximum power count as alike within this part of the higher one: a string of
/// unlike ones carries the lowest, so little is lost by leaving them out.
const ALIKE: f64 = 0.15;

/// What new strings may be made of.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scope {
    /// Most panels in a block.
    pub block_max: usize,
    /// May a block hold different kinds?
    pub mixed_blocks: bool,
    /// Most different elements in one string.
    pub most_distinct: usize,
    /// Which elements may stand in one string.
    pub currents: Currents,
    pub words: &'static str,
}

/// Which elements may stand in one string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Currents {
    Any,
    /// Those whose label currents differ by at most [`ALIKE`].
    Alike,
}

impl Scope {
    /// May an element join a string of these?
    pub(super) fn admits(&self, parts: &Parts, code: &[u16], next: u16) -> bool {
        if self.currents == Currents::Any {
            return true;
        }
        let i = parts.part(next).i_mp;
        let alike = |at: &u16| {
            let other = parts.part(*at).i_mp;
            (i - other).abs() <= ALIKE * i.max(other)
        };
        code.iter().all(alike)
    }
}

/// From the whole search space to ever narrower ones.
pub(super) fn scopes(block_max: usize) -> [Scope; 10] {
    let scope = |block_max, mixed_blocks, most_distinct, currents, words| Scope {
        block_max,
        mixed_blocks,
        most_distinct,
        currents,
        words,
    };
    let (any, alike) = (Currents::Any, Currents::Alike);
    [
        scope(block_max, true, usize::MAX, any, ""),
        scope(block_max, true, 3, any, "new strings of at most 3 different elements"),
        scope(block_max, true, 2, any, "new strings of at most 2 different elements"),
        scope(
            block_max,
            false,
            2,
            any,
            "new strings of at most 2 different elements, blocks of one kind",
        ),
        scope(
            block_max,
            false,
            3,
            alike,
            "new strings of at most 3 different elements of like current, blocks of one kind",
        ),
        scope(1, false, 3, alike, "new strings of at most 3 kinds of like current, without blocks"),
        scope(
            block_max,
            false,
            2,
            alike,
            "new strings of at most 2 different elements of like current, blocks of one kind",
        ),
        scope(1, false, 2, alike, "new strings of at most 2 kinds of like current, without blocks"),
        scope(block_max, false, 1, any, "new strings of one element repeated, blocks of one kind"),
        scope(1, false, 1, any, "new strings of one kind without blocks"),
    ]
}
