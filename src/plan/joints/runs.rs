//! Meetings and runs: what an upper bound on the joints kept counts.
//!
//! An element of today and one of the plan that share a panel *meet*. The joints kept are
//! 2 × (panels that stay wired − meetings), plus one for every two meetings that stand in series in
//! both wirings, plus the ports kept. An element's fewest meetings are its *spread*: a block of three
//! of which two at most can stay together has 2.
//!
//! A bound takes each element at its spread, and a joint between two elements as often as the smaller
//! of their spreads. That is never too low: a meeting more costs two and is in series with at most one
//! other on either side.
//!
//! Where all elements next to each other have a spread of 1, a run may be asked to hold each *whole*.
//! For let d elements in a row not stay whole: with x meetings too many in all (a panel lost from an
//! element counts as one), they cost 2x and x ≥ d; the joints in series that the bound does not count
//! for them are the d + 1 along them and at most x − 1 more between meetings too many. (Beside an
//! element already placed: d, since the joint to that one is counted in any case, and at most x.)

use crate::model::InputRef;

/// Fewest meetings of an element of `size` panels, of which at most `together` can stay in one.
pub(super) fn spread(size: usize, together: usize) -> usize {
    size.div_ceil(together.max(1))
}

/// Most panels that two elements can share.
pub(super) fn overlap(one: &[usize], other: &[usize]) -> usize {
    one.iter().zip(other).map(|(a, b)| a.min(b)).sum()
}

/// For each kind and m = 1 …, how many elements have at least m panels of it.
#[derive(Debug, Clone)]
pub(super) struct Having {
    deep: usize,
    n: Vec<usize>,
}

impl Having {
    /// Of these elements, none of which has more than `deep` panels of one kind.
    pub(super) fn new<'a>(
        counts: impl Iterator<Item = &'a Vec<usize>>,
        n_kinds: usize,
        deep: usize,
    ) -> Self {
        let mut having = Self { deep, n: vec![0; n_kinds * deep] };
        counts.for_each(|count| having.add(count));
        having
    }

    fn add(&mut self, count: &[usize]) {
        for (kind, n) in count.iter().enumerate() {
            for m in 1..=*n {
                self.n[kind * self.deep + m - 1] += 1;
            }
        }
    }

    /// An element's number of panels of this kind grows to `m`.
    pub(super) fn grow(&mut self, kind: usize, m: usize) {
        self.n[kind * self.deep + m - 1] += 1;
    }

    /// An element's number of panels of this kind shrinks from `m`.
    pub(super) fn shrink(&mut self, kind: usize, m: usize) {
        self.n[kind * self.deep + m - 1] -= 1;
    }

    /// Elements with a panel of this kind.
    pub(super) fn any(&self, kind: usize) -> usize {
        self.n[kind * self.deep]
    }

    /// Does it have at least as many of everything?
    pub(super) fn covers(&self, other: &Self) -> bool {
        self.n.iter().zip(&other.n).all(|(mine, theirs)| theirs <= mine)
    }

    /// Has any element a panel of these?
    fn shares(&self, count: &[usize]) -> bool {
        (count.iter().enumerate()).any(|(kind, n)| *n > 0 && self.any(kind) > 0)
    }
}

/// A planned string, or what is still to be filled of it.
pub(super) struct Room<'a> {
    /// Where it will be connected.
    pub(super) at: InputRef,
    /// Places with room for so many panels.
    pub(super) having: &'a Having,
    /// Places with any room.
    pub(super) n: usize,
    /// Is its plus end open for a port of today?
    pub(super) plus: bool,
    /// Is its minus end?
    pub(super) minus: bool,
}

impl Room<'_> {
    /// Could it hold the run, each element whole in a place of its own?
    ///
    /// A necessary condition only: kinds are counted one by one.
    pub(super) fn holds(&self, run: &Run) -> bool {
        run.length <= self.n && self.having.covers(&run.having)
    }

    /// Does it have room for one panel of these?
    pub(super) fn takes(&self, count: &[usize]) -> bool {
        self.having.shares(count)
    }
}

/// A run of today's elements that would have to stay in series in one planned string.
pub(super) struct Run {
    having: Having,
    /// Elements.
    pub(super) length: usize,
    /// Does it begin with the joint at the combiner's plus port?
    pub(super) from_port: bool,
}

impl Run {
    /// Of no elements yet.
    pub(super) fn new(n_kinds: usize, deep: usize) -> Self {
        Self { having: Having::new(std::iter::empty(), n_kinds, deep), length: 0, from_port: false }
    }

    /// Takes one element more, which stays whole.
    pub(super) fn push(&mut self, count: &[usize]) {
        self.having.add(count);
        self.length += 1;
    }

    /// Takes one element more, of which some panel stays.
    pub(super) fn push_part(&mut self) {
        self.length += 1;
    }

    /// Forgets all elements.
    pub(super) fn clear(&mut self) {
        self.having.n.fill(0);
        self.length = 0;
        self.from_port = false;
    }
}
