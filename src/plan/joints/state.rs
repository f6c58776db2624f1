//! A plan half laid out: which places are filled, what stands in series, and what was kept so far.

use super::problem::Problem;
use super::runs::Having;

/// A place of the plan in which the element of today taken last has panels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Meeting {
    /// The place.
    pub(super) place: usize,
    /// Has it kept nothing so far? Then it is worth nothing unless the next joint is kept.
    pub(super) idle: bool,
}

/// What becomes of one element of today.
#[derive(Debug, Clone, Default)]
pub(super) struct Move {
    /// Its panels that keep a joint: kind and place. The others are free to go anywhere.
    pub(super) panels: Vec<(usize, usize)>,
    /// Places that come to stand one right after the other.
    pub(super) links: Vec<(usize, usize)>,
    /// The place at whose string's plus end the port stays.
    pub(super) plus: Option<usize>,
    /// The same at the minus end.
    pub(super) minus: Option<usize>,
    /// Joints kept, by the place they are counted at.
    pub(super) gains: Vec<(usize, usize)>,
    /// Where its panels stand, for the next element.
    pub(super) meetings: Vec<Meeting>,
}

/// Elements of today are taken one after another, string by string from the plus end.
///
/// The places of each planned string form chains: what is known to stand in series. At the end the
/// chains of a string are laid end to end in any order, but for the ports.
pub(super) struct State<'p> {
    pub(super) problem: &'p Problem,
    /// The element of today that is next.
    pub(super) next: usize,
    /// Where the one before it went, if it is in the same string.
    pub(super) open: Vec<Meeting>,
    /// Panels still missing, by place and kind.
    pub(super) room: Vec<Vec<usize>>,
    /// Panels still missing, by place.
    pub(super) size: Vec<usize>,
    /// The place right after each place, where that is known.
    pub(super) after: Vec<Option<usize>>,
    /// The place right before each place, where that is known.
    pub(super) before: Vec<Option<usize>>,
    /// By planned string: the place at its plus end, if a port of today stays there.
    pub(super) plus: Vec<Option<usize>>,
    /// The same at the minus end.
    pub(super) minus: Vec<Option<usize>>,
    /// By planned string: its places with room for so many panels.
    pub(super) having: Vec<Having>,
    /// By planned string: places where any panel is missing.
    pub(super) n_open: Vec<usize>,
    /// By planned string: panels placed.
    pub(super) n_placed: Vec<usize>,
    /// Joints kept.
    pub(super) kept: usize,
    /// Joints kept, by planned string.
    pub(super) kept_in: Vec<usize>,
}

impl<'p> State<'p> {
    /// Nothing placed yet.
    pub(super) fn new(problem: &'p Problem) -> Self {
        let (n, n_strings) = (problem.places.len(), problem.plan.len());
        let room: Vec<_> = problem.places.iter().map(|p| p.count.clone()).collect();
        let having = problem.plan.iter().map(|s| {
            let counts = room[s.start..s.end].iter();
            Having::new(counts, problem.kinds.len(), problem.deep)
        });
        Self {
            problem,
            next: 0,
            open: Vec::new(),
            having: having.collect(),
            n_open: problem.plan.iter().map(|s| s.end - s.start).collect(),
            size: problem.places.iter().map(|p| p.members.len()).collect(),
            room,
            after: vec![None; n],
            before: vec![None; n],
            plus: vec![None; n_strings],
            minus: vec![None; n_strings],
            n_placed: vec![0; n_strings],
            kept: 0,
            kept_in: vec![0; n_strings],
        }
    }

    /// The planned string that a place belongs to.
    pub(super) fn string(&self, place: usize) -> usize {
        self.problem.places[place].string
    }

    /// Has nothing been put there, nor anything been joined to it?
    pub(super) fn fresh(&self, place: usize) -> bool {
        let whole = self.problem.places[place].members.len();
        self.size[place] == whole && self.before[place].is_none() && self.after[place].is_none()
    }

    /// Puts a panel in its place.
    pub(super) fn put(&mut self, kind: usize, place: usize) {
        let string = self.string(place);
        self.having[string].shrink(kind, self.room[place][kind]);
        self.room[place][kind] -= 1;
        self.size[place] -= 1;
        self.n_open[string] -= usize::from(self.size[place] == 0);
        self.n_placed[string] += 1;
    }

    /// Takes it out again.
    pub(super) fn take_out(&mut self, kind: usize, place: usize) {
        let string = self.string(place);
        self.n_placed[string] -= 1;
        self.n_open[string] += usize::from(self.size[place] == 0);
        self.size[place] += 1;
        self.room[place][kind] += 1;
        self.having[string].grow(kind, self.room[place][kind]);
    }

    /// Lets one place stand right after another.
    pub(super) fn link(&mut self, before: usize, after: usize) {
        self.after[before] = Some(after);
        self.before[after] = Some(before);
    }

    /// Parts them again.
    pub(super) fn unlink(&mut self, before: usize, after: usize) {
        self.after[before] = None;
        self.before[after] = None;
    }

    /// Can `after` still come to stand right after `before`?
    pub(super) fn can_link(&self, before: usize, after: usize) -> bool {
        let string = self.string(before);
        if string != self.string(after)
            || self.after[before].is_some()
            || self.before[after].is_some()
            || self.minus[string] == Some(before)
            || self.plus[string] == Some(after)
        {
            return false;
        }
        let (head, n_before) = walk(&self.before, before);
        let (tail, n_after) = walk(&self.after, after);
        // Not into a ring, and from port to port only with every place of the string between.
        let ported = self.plus[string] == Some(head) && self.minus[string] == Some(tail);
        tail != before && (!ported || n_before + n_after == self.n_places(string))
    }

    /// Can a port of today stay at the plus end, with this place first?
    pub(super) fn can_begin(&self, place: usize) -> bool {
        let string = self.string(place);
        let (tail, n) = walk(&self.after, place);
        self.plus[string].is_none()
            && self.before[place].is_none()
            && (self.minus[string] != Some(tail) || n == self.n_places(string))
    }

    /// Can a port of today stay at the minus end, with this place last?
    pub(super) fn can_end(&self, place: usize) -> bool {
        let string = self.string(place);
        let (head, n) = walk(&self.before, place);
        self.minus[string].is_none()
            && self.after[place].is_none()
            && (self.plus[string] != Some(head) || n == self.n_places(string))
    }

    fn n_places(&self, string: usize) -> usize {
        self.problem.plan[string].end - self.problem.plan[string].start
    }

    /// Makes a move; returns what [`State::take_back`] needs.
    pub(super) fn make(&mut self, made: &Move) -> Vec<Meeting> {
        for &(kind, place) in &made.panels {
            self.put(kind, place);
        }
        for &(before, after) in &made.links {
            self.link(before, after);
        }
        for &(place, gain) in &made.gains {
            let string = self.string(place);
            self.kept_in[string] += gain;
            self.kept += gain;
        }
        if let Some(place) = made.plus {
            let string = self.string(place);
            self.plus[string] = Some(place);
        }
        if let Some(place) = made.minus {
            let string = self.string(place);
            self.minus[string] = Some(place);
        }
        let last = self.problem.elements[self.next].last;
        self.next += 1;
        let open = if last { Vec::new() } else { made.meetings.clone() };
        std::mem::replace(&mut self.open, open)
    }

    /// Takes the last move back.
    pub(super) fn take_back(&mut self, made: &Move, open: Vec<Meeting>) {
        self.open = open;
        self.next -= 1;
        if let Some(place) = made.minus {
            let string = self.string(place);
            self.minus[string] = None;
        }
        if let Some(place) = made.plus {
            let string = self.string(place);
            self.plus[string] = None;
        }
        for &(place, gain) in &made.gains {
            let string = self.string(place);
            self.kept_in[string] -= gain;
            self.kept -= gain;
        }
        for &(before, after) in &made.links {
            self.unlink(before, after);
        }
        for &(kind, place) in &made.panels {
            self.take_out(kind, place);
        }
    }
}

/// The end of a chain, and how many places there are up to it.
pub(super) fn walk(step: &[Option<usize>], from: usize) -> (usize, usize) {
    let (mut place, mut n) = (from, 1);
    while let Some(next) = step[place] {
        place = next;
        n += 1;
    }
    (place, n)
}
