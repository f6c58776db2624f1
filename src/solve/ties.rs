//! Near-ties: among all choices within the proof gap of the best, the fewest of size, then the
//! fewest moves, then the highest value, then the earliest columns.
//!
//! Two passes over what the search has left: the first asks only for less of size, which the linear
//! programs can often rule out at once; the second compares all that have as much.

use std::collections::{BTreeSet, VecDeque};

use super::branch::{Search, Solution};
use super::finish::{End, Finish, Limits, Reply};
use super::node::Node;
use super::problem::Choice;

/// Steps of the first look into a node, and how many times longer each further look may be.
const STEPS: usize = 20_000;
const LONGER: usize = 4;

/// The preferred choice, and whether every near-tie was compared.
pub(super) fn settle(search: &mut Search, bound: f64) -> (Option<Solution>, bool) {
    let Some(best) = search.best.clone() else { return (None, true) };
    // What is preferred stays within the proof gap of the bound, too, if the best does.
    let within = bound / (1.0 + search.effort.proof);
    let floor = search.tie_floor();
    let floor = if within <= best.value { floor.max(within) } else { floor };
    let nodes = std::mem::take(&mut search.left);
    let mut pass = Pass {
        search,
        floor,
        counts_left: search.effort.tie_counts,
        top: Ranked {
            size: size_of(search, &best.choice),
            moves: search.tie_break.moves(&best.choice),
            solution: best,
        },
        counted: BTreeSet::new(),
    };
    for choice in &search.known {
        pass.consider(choice);
    }
    let (smallest, looked_into) = pass.look(Seek::LessOfSize, nodes.clone());
    let (compared, again) = pass.look(Seek::AsMuchOfSize, nodes);
    let preferred = pass.top.solution;
    search.nodes += looked_into + again;
    (Some(preferred), smallest && compared)
}

fn size_of(search: &Search, choice: &[(usize, usize)]) -> usize {
    choice.iter().map(|&(j, n)| search.problem.columns[j].size * n).sum()
}

/// What is compared, in order; smaller wins.
struct Ranked {
    size: usize,
    moves: usize,
    solution: Solution,
}

/// What a pass looks for.
#[derive(Clone, Copy, PartialEq)]
enum Seek {
    LessOfSize,
    AsMuchOfSize,
}

struct Pass<'a> {
    search: &'a Search<'a>,
    floor: f64,
    counts_left: usize,
    top: Ranked,
    /// Choices whose moves have been counted.
    counted: BTreeSet<Choice>,
}

/// What became of one near-tie.
#[derive(PartialEq)]
enum Seen {
    /// Taken, or not preferred.
    Settled,
    /// It would be preferred, if it were worth enough.
    WorthTooLittle,
}

impl Pass<'_> {
    /// Looks into all nodes. Says whether nothing was left out, and how many nodes it took.
    fn look(&mut self, seek: Seek, nodes: Vec<Node>) -> (bool, usize) {
        let mut queue: VecDeque<Node> = nodes.into();
        queue.make_contiguous().sort_by(|a, b| b.bound.total_cmp(&a.bound));
        queue.iter_mut().for_each(|node| node.cut_short = 0);
        let mut steps_left = self.search.effort.tie_steps;
        let mut n_nodes = 0;
        let mut whole = true;
        while let Some(node) = queue.pop_front() {
            if node.bound <= self.floor {
                continue;
            }
            let spent =
                n_nodes == self.search.effort.tie_nodes || steps_left == 0 || self.counts_left == 0;
            if spent || self.search.effort.watch.is_stopped() {
                return (false, n_nodes);
            }
            n_nodes += 1;
            match self.look_into(seek, &node, &mut steps_left) {
                None => {}
                Some(rest) => match rest.halves() {
                    Some(halves) => queue.extend(halves),
                    None => whole = false,
                },
            }
        }
        (whole, n_nodes)
    }

    /// Considers the choices of a node; what is left of it, if some may have been missed.
    fn look_into(&mut self, seek: Seek, node: &Node, steps_left: &mut usize) -> Option<Node> {
        let relaxed = node.relax(self.search.problem, &self.search.loads, self.floor)?;
        let finish = Finish {
            problem: self.search.problem,
            rows: &relaxed.rows,
            candidates: &relaxed.candidates,
            limits: Some(self.limits(seek)?),
            watch: self.search.effort.watch,
        };
        let above = self.floor;
        let mut hidden = false;
        let allowed = STEPS.saturating_mul(LONGER.saturating_pow(node.cut_short)).min(*steps_left);
        let mut steps = allowed;
        let end = finish.run(above, &mut steps, &mut |choice, _| {
            hidden |= self.consider(choice) == Seen::WorthTooLittle;
            match self.limits(seek) {
                Some(limits) if self.counts_left > 0 => Reply::Seek { above, limits: Some(limits) },
                _ => Reply::Stop,
            }
        });
        *steps_left = if end == End::StepLimit && allowed == *steps_left {
            0
        } else {
            *steps_left - (allowed - steps)
        };
        if end == End::Complete && !hidden {
            return None;
        }
        let mut rest = node.narrowed(&relaxed, relaxed.bound);
        rest.cut_short += u32::from(end == End::StepLimit);
        Some(rest)
    }

    /// Limits within which a choice is still of interest; `None` if there can be none.
    fn limits(&self, seek: Seek) -> Option<Limits> {
        let (size, moves) = (self.top.size, self.top.moves);
        match seek {
            Seek::LessOfSize => {
                let size = size.checked_sub(1)? as f64;
                Some(Limits { size, least_moves: f64::from(u32::MAX) })
            }
            Seek::AsMuchOfSize => Some(Limits { size: size as f64, least_moves: moves as f64 }),
        }
    }

    fn consider(&mut self, choice: &[(usize, usize)]) -> Seen {
        let problem = self.search.problem;
        let size = size_of(self.search, choice);
        let least: usize = choice.iter().map(|&(j, n)| problem.columns[j].least_moves * n).sum();
        if size > self.top.size || (size == self.top.size && least > self.top.moves) {
            return Seen::Settled;
        }
        if choice == self.top.solution.choice.as_slice()
            || self.counted.contains(choice)
            || self.search.loads.closed_gate(choice).is_some()
            || !self.search.keeps_moves(choice)
        {
            return Seen::Settled;
        }
        let Some((level, value)) = problem.evaluate(choice) else { return Seen::WorthTooLittle };
        if value < self.floor {
            return Seen::WorthTooLittle;
        }
        self.counts_left = self.counts_left.saturating_sub(1);
        self.counted.insert(choice.to_vec());
        let moves = self.search.tie_break.moves(choice);
        let before = (self.top.size, self.top.moves);
        let gain = value - self.top.solution.value;
        let slight = 1e-9 * value.abs();
        let preferred = (size, moves) < before
            || ((size, moves) == before
                && (gain > slight
                    || (gain >= -slight && choice < self.top.solution.choice.as_slice())));
        if preferred {
            let solution = Solution { choice: choice.to_vec(), level, value };
            self.top = Ranked { size, moves, solution };
        }
        Seen::Settled
    }
}
