//! Branch and bound over what becomes of today's elements, one after another.

use super::key::key;
use super::plan_bound::PlanBound;
use super::problem::Problem;
use super::state::{Move, State};
use super::today_bound::TodayBound;
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// The best layout found.
pub(super) struct Found {
    /// Joints kept, and what becomes of each element of today, in the order of
    /// [`Problem::elements`]. `None` if no layout was found that keeps enough.
    pub(super) best: Option<(usize, Vec<Move>)>,
    /// Is it proven that no layout keeps more, or enough?
    pub(super) proven: bool,
    /// Moves weighed.
    pub(super) weighed: usize,
}

/// Most joints that any layout could keep.
pub(super) fn bound_kept(problem: &Problem) -> usize {
    Search::new(problem, 0, 0).at_most()
}

/// The same as [`keep_most`] with no state given up for its bound, to hold the bounds against.
#[cfg(test)]
pub(super) fn keep_most_unbounded(problem: &Problem) -> usize {
    let mut search = Search::new(problem, 0, usize::MAX);
    search.slack = problem.joints_today;
    search.descend(search.at_most());
    search.best.expect("there is always a layout").0
}

/// Keeps as many joints as can be, but at least `enough`.
///
/// Gives up the proof after `limit` moves were weighed. With `enough` 0 there is always a layout.
pub(super) fn keep_most(problem: &Problem, enough: usize, limit: usize) -> Found {
    let mut search = Search::new(problem, enough, limit);
    let at_most = search.at_most();
    search.descend(at_most);
    let reached = matches!(&search.best, Some((kept, _)) if *kept == at_most);
    Found { proven: reached || search.weighed <= limit, best: search.best, weighed: search.weighed }
}

struct Search<'p> {
    plan: PlanBound,
    today: TodayBound,
    state: State<'p>,
    path: Vec<Move>,
    best: Option<(usize, Vec<Move>)>,
    /// States met, with the most joints kept on the way there.
    seen: HashMap<Box<[u16]>, usize>,
    weighed: usize,
    enough: usize,
    limit: usize,
    /// Added to every bound: 0, but for tests.
    slack: usize,
}

impl<'p> Search<'p> {
    fn new(problem: &'p Problem, enough: usize, limit: usize) -> Self {
        Self {
            plan: PlanBound::new(problem),
            today: TodayBound::new(problem),
            state: State::new(problem),
            path: Vec::new(),
            best: None,
            seen: HashMap::new(),
            weighed: 0,
            enough,
            limit,
            slack: 0,
        }
    }

    /// Most joints that a layout which begins as the state does can keep.
    fn at_most(&self) -> usize {
        if self.complete() {
            return self.state.kept;
        }
        let (plan, today) = (self.plan.still(&self.state), self.today.still(&self.state));
        self.state.kept + plan.min(today) + self.slack
    }

    fn complete(&self) -> bool {
        self.state.next == self.state.problem.elements.len()
    }

    /// Can nothing better come of a state that keeps at most so many?
    fn hopeless(&self, at_most: usize) -> bool {
        match &self.best {
            Some((kept, _)) => at_most <= *kept,
            None => at_most < self.enough,
        }
    }

    /// Is the limit reached? Without any layout in hand the search goes on, if it has to find one.
    fn spent(&self) -> bool {
        self.weighed > self.limit && (self.best.is_some() || self.enough > 0)
    }

    fn descend(&mut self, at_most: usize) {
        if self.hopeless(at_most) || self.spent() {
            return;
        }
        if self.complete() {
            self.best = Some((self.state.kept, self.path.clone()));
            return;
        }
        match self.seen.entry(key(&self.state)) {
            Entry::Occupied(kept) if *kept.get() >= self.state.kept => return,
            Entry::Occupied(mut kept) => _ = kept.insert(self.state.kept),
            Entry::Vacant(new) => _ = new.insert(self.state.kept),
        }
        for (at_most, made) in self.weigh() {
            if self.hopeless(at_most) || self.spent() {
                break;
            }
            let open = self.state.make(&made);
            self.path.push(made);
            self.descend(at_most);
            let made = self.path.pop().expect("it was pushed above");
            self.state.take_back(&made, open);
        }
    }

    /// Every next move that may lead to more than the best so far, most promising first.
    fn weigh(&mut self) -> Vec<(usize, Move)> {
        let mut weighed = Vec::new();
        for made in self.state.moves() {
            self.weighed += 1;
            let open = self.state.make(&made);
            let at_most = self.at_most();
            self.state.take_back(&made, open);
            if !self.hopeless(at_most) {
                weighed.push((at_most, made));
            }
        }
        let gain = |made: &Move| made.gains.iter().map(|(_, gain)| gain).sum::<usize>();
        weighed.sort_by_key(|(at_most, made)| std::cmp::Reverse((*at_most, gain(made))));
        weighed
    }
}
