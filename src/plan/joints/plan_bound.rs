//! What the places still open can keep at most, each string as if it had all of today to itself.

use super::flow::{heaviest_flow, most_pairs};
use super::problem::{PlanElement, PlanString, Problem, TodayString};
use super::runs::{Having, overlap, spread};
use super::state::State;

/// What each planned string could keep alone, and how far its places can share.
pub(super) struct PlanBound {
    /// By planned string.
    string: Vec<usize>,
    /// By place: most panels that an element of today could have in it.
    together: Vec<usize>,
}

impl PlanBound {
    pub(super) fn new(problem: &Problem) -> Self {
        let together = problem.places.iter().map(|p| {
            let overlaps = problem.elements.iter().map(|e| overlap(&e.count, &p.count));
            overlaps.max().unwrap_or(0)
        });
        let together: Vec<usize> = together.collect();
        let mut string: Vec<usize> = Vec::with_capacity(problem.plan.len());
        for (i, planned) in problem.plan.iter().enumerate() {
            string.push(if planned.like < i {
                string[planned.like]
            } else {
                string_bound(problem, planned, &together)
            });
        }
        Self { string, together }
    }

    /// Most joints that the places still open can keep.
    pub(super) fn still(&self, state: &State) -> usize {
        let coming = &state.problem.coming[state.next];
        let mut total = 0;
        for (s, string) in state.problem.plan.iter().enumerate() {
            let mut open = 0;
            for place in string.start..string.end {
                if state.size[place] == 0 {
                    continue;
                }
                let room = state.room[place].iter().zip(&coming.kind);
                let size: usize = room.filter(|(_, coming)| **coming).map(|(n, _)| n).sum();
                // Inside the block, and towards the place or port before each meeting.
                let spread = spread(size, self.together[place]);
                open += 2 * (size - spread) + spread;
            }
            if open > 0 && state.minus[s].is_none() && coming.minus[s] {
                open += 1;
            }
            total += open.min(self.string[s].saturating_sub(state.kept_in[s]));
        }
        total
    }
}

/// Places of a string that are alike.
struct Slot<'p> {
    n: usize,
    place: &'p PlanElement,
    spread: usize,
}

/// The same for one string: each place has one before it and one after it, of whatever kind is best.
fn string_bound(problem: &Problem, string: &PlanString, together: &[usize]) -> usize {
    let mut slots: Vec<Slot> = Vec::new();
    let places = problem.places.iter().zip(together);
    for (place, together) in places.take(string.end).skip(string.start) {
        match slots.last_mut() {
            Some(slot) if slot.place.members == place.members => slot.n += 1,
            _ => slots.push(Slot { n: 1, place, spread: spread(place.members.len(), *together) }),
        }
    }
    let room = room_between(problem, string, &slots);
    let weight = weight_between(problem, &slots);
    let supply: Vec<usize> = slots.iter().map(|s| s.n).chain([1]).collect();
    let in_series = heaviest_flow(&supply, &room, &weight);
    let inside = slots.iter().map(|s| 2 * s.n * (s.place.members.len() - s.spread));
    let whole = in_series == string.end - string.start + 1 && slots.iter().all(|s| s.spread == 1);
    // All joints in series can stay only if one string of today on this input is laid out like it.
    let lost = whole && !problem.today.iter().any(|t| could_be(problem, t, string));
    inside.sum::<usize>() + in_series - usize::from(lost)
}

/// How many times one kind of place (row) could stand before another (column) with a joint of today
/// kept between; the last row and column are the ports.
fn room_between(problem: &Problem, string: &PlanString, slots: &[Slot]) -> Vec<Vec<usize>> {
    let n = slots.len();
    let size = |e: usize| problem.elements[e].count.iter().sum::<usize>();
    // See `runs` for when a place in a run has to be filled from one element.
    let whole = slots.iter().all(|s| s.spread == 1);
    let shares = |slot: usize, e: usize| {
        let place = slots[slot].place;
        let shared = overlap(&problem.elements[e].count, &place.count);
        shared > 0 && (!whole || shared == place.members.len())
    };
    let mut room = vec![vec![0; n + 1]; n + 1];
    for (e, element) in problem.elements.iter().enumerate() {
        let on_input = problem.today[element.string].at == string.at;
        for slot in (0..n).filter(|slot| shares(*slot, e)) {
            if element.first && on_input {
                room[n][slot] = 1;
            }
            if element.last {
                room[slot][n] = room[slot][n].max(usize::from(on_input));
                continue;
            }
            for after in (0..n).filter(|after| shares(*after, e + 1)) {
                room[slot][after] += size(e).min(size(e + 1));
            }
        }
    }
    for (i, a) in slots.iter().enumerate() {
        for (j, b) in slots.iter().enumerate() {
            let pairs = if i == j { a.n - 1 } else { a.n.min(b.n) };
            room[i][j] = room[i][j].min(pairs);
        }
    }
    room
}

/// How many joints of today could stay where one kind of place stands before another.
fn weight_between(problem: &Problem, slots: &[Slot]) -> Vec<Vec<usize>> {
    let n = slots.len();
    let follows = |k: usize, l: usize| {
        problem
            .elements
            .windows(2)
            .any(|pair| !pair[0].last && pair[0].count[k] > 0 && pair[1].count[l] > 0)
    };
    let weight = |i: usize, j: usize| {
        if i == n || j == n {
            return 1;
        }
        let (a, b) = (&slots[i], &slots[j]);
        let (left, right) = (&a.place.members, &b.place.members);
        let pairs = most_pairs(left.len(), right.len(), |x, y| follows(left[x], right[y]));
        pairs.min(a.spread).min(b.spread)
    };
    (0..=n).map(|i| (0..=n).map(|j| weight(i, j)).collect()).collect()
}

/// Could today's string become this planned one with every joint in series kept?
///
/// A necessary condition only: each place is filled from one element, but kinds are counted one by one.
fn could_be(problem: &Problem, today: &TodayString, string: &PlanString) -> bool {
    let elements = &problem.elements[today.start..today.end];
    let places = &problem.places[string.start..string.end];
    if elements.len() != places.len() || today.at != string.at {
        return false;
    }
    let having = |counts: &mut dyn Iterator<Item = &Vec<usize>>| {
        Having::new(counts, problem.kinds.len(), problem.deep)
    };
    let needed = having(&mut places.iter().map(|p| &p.count));
    having(&mut elements.iter().map(|e| &e.count)).covers(&needed)
}
