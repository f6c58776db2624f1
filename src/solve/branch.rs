//! Branch and bound over intervals of the level, best bound first.

use super::dominance::undominated;
use super::finish::{End, Finish, Reply};
use super::loads::Loads;
use super::node::{Node, Relaxed};
use super::problem::{Choice, Problem, TieBreak};
use super::ties::settle;
use super::watch::Watch;

/// How much work a search may do. Counts, not seconds: same input, same answer, unless it is stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Most nodes in all.
    pub nodes: usize,
    /// Most nodes once the gap is within `proof`, spent on closing it further.
    pub nodes_past_proof: usize,
    /// Gap at which a choice counts as proven, as a fraction of its value.
    pub proof: f64,
    /// Gap at which the search stops at once.
    pub closed: f64,
    /// Gap at which it stops at once, too, in the unit of the values: where a choice is part of more.
    pub negligible: f64,
    /// Steps of the first search of a node's choices; ever more where that does not suffice.
    pub steps: usize,
    /// Most steps in all.
    pub all_steps: usize,
    /// Most nodes spent on each of the two passes over near-ties.
    pub tie_nodes: usize,
    /// Most steps spent on each pass.
    pub tie_steps: usize,
    /// Most choices whose moves are counted.
    pub tie_counts: usize,
    /// Where the search shows itself, and is told to stop.
    pub watch: Watch,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            nodes: 3_000,
            nodes_past_proof: 100,
            proof: 1e-3,
            closed: 2e-5,
            negligible: 0.0,
            steps: 100_000,
            all_steps: 60_000_000,
            tie_nodes: 300,
            tie_steps: 10_000_000,
            tie_counts: 400,
            watch: Watch::default(),
        }
    }
}

impl Effort {
    /// Is a choice with this gap proven? A gap at which a search was stopped may lie beyond it by a
    /// rounding.
    #[must_use]
    pub fn proves(&self, gap: f64) -> bool {
        gap <= self.proof * (1.0 + 1e-9)
    }
}

/// Steps spent on trying every choice of a node, and choices tried: beyond them halving is cheaper.
const SETTLING_STEPS: usize = 2_000;
const SETTLING_TRIALS: usize = 30;

/// Columns searched before all others.
const PROMISING: usize = 150;
/// How much longer a search of choices may be than the one around it that was cut short.
const LONGER: usize = 4;

/// A choice and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Columns and counts.
    pub choice: Choice,
    /// Level at which it is worth most.
    pub level: f64,
    /// Its value, evaluated on the rates themselves.
    pub value: f64,
}

/// What a search found.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The choice of highest value; `None` if none keeps all rows and gates, or none was found.
    pub best: Option<Solution>,
    /// The choice that wins among those within `proof` of the best: fewest of size, fewest moves.
    pub preferred: Option<Solution>,
    /// No choice is worth more than this.
    pub bound: f64,
    /// Was everything searched, so that "none" means "none exists"?
    pub complete: bool,
    /// Nodes worked on.
    pub nodes: usize,
    /// Were all near-ties compared?
    pub ties_complete: bool,
}

impl Outcome {
    /// Gap between the bound and the best choice, as a fraction of its value.
    #[must_use]
    pub fn gap(&self) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |s| relative_gap(self.bound, s.value))
    }
}

/// Gap as a fraction of the value; values below one count as one.
fn relative_gap(bound: f64, value: f64) -> f64 {
    ((bound - value) / value.abs().max(1.0)).max(0.0)
}

/// Everything that a search carries along.
pub(super) struct Search<'a> {
    pub problem: &'a Problem<'a>,
    pub loads: Loads<'a>,
    pub tie_break: &'a dyn TieBreak,
    pub effort: Effort,
    pub best: Option<Solution>,
    /// Nodes that may still hold a choice within `proof` of the best.
    pub left: Vec<Node>,
    pub nodes: usize,
    /// Choices known from the start that keep rows and gates.
    pub known: Vec<Choice>,
    /// Steps left of those allowed in all.
    steps_left: usize,
    /// Was a node put aside that may hold something better than the best?
    open: bool,
}

/// Maximises over all levels, from the choices already known.
///
/// `known` are choices that keep rows and gates or not (those that do not are passed over).
#[must_use]
pub fn maximise(
    problem: &Problem,
    known: &[Choice],
    tie_break: &dyn TieBreak,
    effort: Effort,
) -> Outcome {
    let mut search = Search {
        problem,
        loads: Loads::new(problem),
        tie_break,
        effort,
        best: None,
        left: Vec::new(),
        nodes: 0,
        known: Vec::new(),
        steps_left: effort.all_steps,
        open: false,
    };
    for choice in known {
        let kept = problem.keeps_rows(choice) && search.loads.closed_gate(choice).is_none();
        if kept && search.keeps_moves(choice) {
            search.offer(choice);
            search.known.push(choice.clone());
        }
    }
    let mut heap = vec![Node::root(problem)];
    let mut bound = f64::NEG_INFINITY;
    let mut closed_at = None;
    while let Some(at) = highest(&heap) {
        let top = heap[at].bound;
        let gap = search.best.as_ref().map_or(f64::INFINITY, |s| relative_gap(top, s.value));
        if gap <= effort.proof && closed_at.is_none() {
            closed_at = Some(search.nodes);
        }
        let past_proof = closed_at.is_some_and(|n| search.nodes >= n + effort.nodes_past_proof);
        effort.watch.reached(search.best_value(), top);
        let spent =
            search.nodes >= effort.nodes || search.steps_left == 0 || effort.watch.is_stopped();
        let negligible = search.best.as_ref().is_some_and(|s| top - s.value <= effort.negligible);
        if gap <= effort.closed || negligible || spent || past_proof {
            bound = bound.max(top);
            break;
        }
        let node = heap.swap_remove(at);
        search.nodes += 1;
        bound = bound.max(search.work(node, &mut heap));
    }
    let complete = (heap.is_empty() && !search.open) || search.best.is_some();
    search.left.append(&mut heap);
    let (preferred, ties_complete) = settle(&mut search, bound);
    // A search that was cut short may meet something better among the near-ties.
    if preferred.as_ref().is_some_and(|s| s.value > search.best_value()) {
        search.best.clone_from(&preferred);
    }
    let bound = bound.max(search.best_value());
    let outcome = Outcome {
        best: search.best,
        preferred,
        bound,
        complete,
        nodes: search.nodes,
        ties_complete,
    };
    #[cfg(test)]
    let outcome = super::double::damaged(problem, outcome);
    outcome
}

/// Index of the node with the highest bound; of equals the first.
fn highest(nodes: &[Node]) -> Option<usize> {
    (0..nodes.len()).reduce(|a, b| if nodes[b].bound > nodes[a].bound { b } else { a })
}

/// What the search of a node's choices came to.
struct Searched {
    end: End,
    /// The choice of highest value by interval values above the best, and that value.
    top: Option<(Choice, f64)>,
}

impl Search<'_> {
    /// Value below which nothing matters any more: the best less what near-ties may lose.
    pub(super) fn tie_floor(&self) -> f64 {
        self.best
            .as_ref()
            .map_or(f64::NEG_INFINITY, |s| s.value - self.effort.proof * s.value.abs())
    }

    fn best_value(&self) -> f64 {
        self.best.as_ref().map_or(f64::NEG_INFINITY, |s| s.value)
    }

    /// Does a choice need no more moves than any may?
    pub(super) fn keeps_moves(&self, choice: &[(usize, usize)]) -> bool {
        self.tie_break.most_moves().is_none_or(|most| !self.tie_break.exceeds(choice, most))
    }

    /// Takes a choice that keeps the rows as the best if the gates allow it and it is better.
    fn offer(&mut self, choice: &[(usize, usize)]) {
        let best = self.best_value();
        let Some((level, value)) = self.problem.evaluate_above(choice, best) else { return };
        if self.loads.closed_gate(choice).is_none() && self.keeps_moves(choice) {
            self.best = Some(Solution { choice: choice.to_vec(), level, value });
        }
    }

    /// Works on one node; pushes what is left of it. Returns the bound of what was settled for good.
    fn work(&mut self, node: Node, heap: &mut Vec<Node>) -> f64 {
        let relaxed = node.relax(self.problem, &self.loads, self.tie_floor());
        let Some(relaxed) = relaxed else { return f64::NEG_INFINITY };
        if relaxed.bound <= self.tie_floor() {
            return f64::NEG_INFINITY;
        }
        if self.settles(&relaxed) {
            let best = self.best_value();
            return self.put_aside(node.narrowed(&relaxed, best.min(relaxed.bound)));
        }
        let before = self.best_value();
        let Searched { end, top } = self.search_choices(&node, &relaxed);
        let value = top.as_ref().map_or(before, |(_, value)| *value);
        // A step limit leaves the linear bound open.
        let bound = if end == End::Complete { value } else { relaxed.bound };
        let mut node = node.narrowed(&relaxed, bound.min(relaxed.bound));
        node.cut_short += u32::from(end == End::StepLimit);
        if node.bound <= self.best_value() {
            return self.put_aside(node);
        }
        let halves = node.halves();
        if let Some((choice, value)) = &top
            && let Some((gate, key)) = self.loads.closed_gate(choice)
        {
            // A choice that a gate forbids is cut off by the gate once the interval is not what hides it.
            let truly = self.problem.evaluate(choice).map_or(f64::NEG_INFINITY, |(_, value)| value);
            let near = value - truly <= 0.5 * (value - self.best_value()).max(0.0);
            let branches = || node.by_gate(gate, self.branching_key(&node, gate, key, choice));
            if (near || halves.is_none())
                && let Some(branches) = branches()
            {
                heap.extend(branches);
                return f64::NEG_INFINITY;
            }
        }
        let Some(halves) = halves else { return self.put_aside(node) };
        heap.extend(halves);
        f64::NEG_INFINITY
    }

    /// Tries every choice that may beat the best, where there are few: then nothing in the node does
    /// any more. Interval values of many columns add up to what no single level gives, so this ends
    /// long before halving would.
    fn settles(&mut self, relaxed: &Relaxed) -> bool {
        let finish = Finish {
            problem: self.problem,
            rows: &relaxed.rows,
            candidates: relaxed.above(self.best_value()),
            limits: None,
            watch: self.effort.watch,
        };
        let mut trials = SETTLING_TRIALS;
        let mut steps = SETTLING_STEPS.min(self.effort.steps);
        let end = finish.run(self.best_value(), &mut steps, &mut |choice, _| {
            if trials == 0 {
                return Reply::Stop;
            }
            trials -= 1;
            self.offer(choice);
            Reply::Seek { above: self.best_value(), limits: None }
        });
        end == End::Complete
    }

    /// Leaves a node for the near-ties.
    fn put_aside(&mut self, node: Node) -> f64 {
        let bound = node.bound;
        self.open |= bound > self.best_value();
        self.left.push(node);
        bound
    }

    /// The key at which to branch on a gate that forbids a choice, at its weakest column's `key` at least.
    ///
    /// Any key up to the last one at which the rule is broken cuts the choice off on both sides. If the
    /// rule is broken even at the last key of all, its row there holds for every choice that the gate
    /// concerns; else the middle one tells most.
    fn branching_key(&self, node: &Node, gate: usize, key: f64, choice: &[(usize, usize)]) -> f64 {
        let keys = node.keys_from(self.problem, gate, key);
        let n_broken = keys.partition_point(|k| self.loads.breaks(gate, *k, choice));
        match n_broken {
            0 => key,
            n if n == keys.len() => keys[n - 1],
            n => keys[(n - 1) / 2],
        }
    }

    /// The best choice by interval values, and how its search ended. All that it meets is offered.
    ///
    /// Where halving the interval does not make the search easier, only a longer one helps, so each
    /// that was cut short lengthens those after it.
    fn search_choices(&mut self, node: &Node, relaxed: &Relaxed) -> Searched {
        let longer = LONGER.saturating_pow(node.cut_short);
        let allowed = self.effort.steps.saturating_mul(longer).min(self.steps_left);
        let mut searched = Searched { end: End::Complete, top: None };
        let mut threshold = self.best_value();
        // The few that the linear program likes best give a high threshold for the search of all.
        for n_columns in [PROMISING, usize::MAX] {
            let candidates = relaxed.above(threshold);
            if n_columns == PROMISING && candidates.len() < 2 * PROMISING {
                continue;
            }
            let candidates = &candidates[..n_columns.min(candidates.len())];
            // Of two columns that the rows cannot tell apart one may need more moves.
            let candidates = match self.tie_break.most_moves() {
                None => undominated(candidates, &relaxed.rows),
                Some(_) => candidates.to_vec(),
            };
            let finish = Finish {
                problem: self.problem,
                rows: &relaxed.rows,
                candidates: &candidates,
                limits: None,
                watch: self.effort.watch,
            };
            let mut steps = if n_columns == PROMISING { allowed / 4 } else { allowed };
            let before = steps;
            searched.end = finish.run(threshold, &mut steps, &mut |choice, value| {
                // Too many moves are too many at every level: passed over, not halved away.
                if !self.keeps_moves(choice) {
                    return Reply::Seek { above: threshold, limits: None };
                }
                self.offer(choice);
                threshold = value;
                searched.top = Some((choice.to_vec(), value));
                Reply::Seek { above: value, limits: None }
            });
            self.steps_left = self.steps_left.saturating_sub(before - steps);
        }
        // A search needs some steps to be worth beginning: what is left of too few counts as none.
        if searched.end == End::StepLimit && allowed >= self.steps_left {
            self.steps_left = 0;
        }
        searched
    }
}
