//! What the rest of today's strings can keep at most, each as if it had the places left to itself.

use super::problem::Problem;
use super::runs::{Room, Run, overlap, spread};
use super::state::State;

/// What is known of each element of today from the outset.
pub(super) struct TodayBound {
    /// Its fewest meetings.
    spread: Vec<usize>,
    /// Does a run that it is in need a place for the whole of it? (See `runs`.)
    whole: Vec<bool>,
}

impl TodayBound {
    pub(super) fn new(problem: &Problem) -> Self {
        let elements = &problem.elements;
        let spread = elements.iter().map(|e| {
            let overlaps = problem.places.iter().map(|p| overlap(&e.count, &p.count));
            spread(e.count.iter().sum(), overlaps.max().unwrap_or(0))
        });
        let spread: Vec<usize> = spread.collect();
        let whole = (0..elements.len()).map(|e| {
            let before = if elements[e].first { 1 } else { spread[e - 1] };
            let after = if elements[e].last { 1 } else { spread[e + 1] };
            let single = elements[e].count.iter().sum::<usize>() == 1;
            single || (spread[e] == 1 && before == 1 && after == 1)
        });
        let whole = whole.collect();
        Self { spread, whole }
    }

    /// Most joints that the elements from the next one on can keep.
    ///
    /// Their strings are cut into as few runs as can be, so that each run fits some planned string.
    pub(super) fn still(&self, state: &State) -> usize {
        let rooms = rooms(state);
        let (mut total, mut run) = (0, Run::new(state.problem.kinds.len(), state.problem.deep));
        // Rooms that can hold the run. It is cut as late as can be: what fits still fits when shortened.
        let mut fits: Vec<&Room> = Vec::with_capacity(rooms.len());
        let problem = state.problem;
        for (e, element) in problem.elements.iter().enumerate().skip(state.next) {
            let (count, spread) = (&element.count, self.spread[e]);
            let at = problem.today[element.string].at;
            total += 2 * (count.iter().sum::<usize>() - spread);
            let whole = self.whole[e];
            if element.first || e == state.next {
                run.clear();
                fits.clear();
            }
            if whole {
                run.push(count);
            } else {
                run.push_part();
            }
            let holds = |r: &Room, run: &Run| r.holds(run) && (whole || r.takes(count));
            if element.first {
                run.from_port = true;
                let here = |r: &&Room| r.plus && r.at == at && holds(r, &run);
                fits.extend(rooms.iter().filter(here));
                total += usize::from(!fits.is_empty());
            } else if e == state.next {
                let goes_on = state.open.iter().filter(|m| state.may_continue(m.place, e));
                total += goes_on.count().min(spread);
            } else {
                fits.retain(|r| holds(r, &run));
                if !fits.is_empty() {
                    total += spread.min(self.spread[e - 1]);
                }
            }
            // A run that is cut, or may come from elsewhere too, begins here.
            if fits.is_empty() || spread > 1 {
                run.clear();
                if whole {
                    run.push(count);
                } else {
                    run.push_part();
                }
                fits.clear();
                fits.extend(rooms.iter().filter(|r| holds(r, &run)));
            }
            let ends = |r: &&Room| r.minus && r.at == at && (!run.from_port || run.length == r.n);
            if element.last && fits.iter().any(ends) {
                total += 1;
            }
        }
        total
    }
}

fn rooms<'a>(state: &'a State) -> Vec<Room<'a>> {
    let strings = state.problem.plan.iter().enumerate();
    strings
        .filter(|(s, string)| {
            let untouched = |s: usize| state.n_placed[s] == 0;
            state.n_open[*s] > 0 && !(untouched(*s) && (string.like..*s).any(untouched))
        })
        .map(|(s, string)| Room {
            at: string.at,
            having: &state.having[s],
            n: state.n_open[s],
            plus: state.plus[s].is_none(),
            minus: state.minus[s].is_none(),
        })
        .collect()
}
