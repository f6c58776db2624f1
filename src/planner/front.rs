//! The best wirings of a level by the joints that they take: fewer joints, fewer watts.

use super::level::{Level, LevelAnswer, Session};
use super::terms::Terms;
use crate::model::ArrayWiring;
use crate::solve::Effort;

/// Effort on each step: many small searches, each of which only has to tell what the next one is.
const NODES: usize = 400;
const STEPS: usize = 1_000_000;
const TIE_NODES: usize = 60;
const TIE_STEPS: usize = 1_000_000;
const TIE_COUNTS: usize = 100;

/// Watts a joint by which two prices differ from rounding alone.
const SAME_PRICE: f64 = 1e-6;

/// Wirings of which none has both fewer joints and as many charged watts as another.
pub(super) struct Front {
    /// From most joints to fewest.
    pub steps: Vec<Step>,
    /// No wiring with this many joints or more has more charged watts than this, unless an earlier
    /// entry is about it; joints fall, the last are zero unless nothing takes fewer.
    ceilings: Vec<(usize, f64)>,
    /// Did no step end at a limit of the search?
    complete: bool,
}

/// One wiring of a front.
pub(super) struct Step {
    /// Its bound: no wiring that takes fewer joints than the step before has more charged watts.
    pub level: Level,
    /// Joints opened and made.
    pub joints: usize,
}

/// The effort on one search within a cap on joints.
pub(super) fn limited(effort: Effort) -> Effort {
    Effort {
        nodes: effort.nodes.min(NODES),
        nodes_past_proof: 0,
        all_steps: effort.all_steps.min(STEPS),
        tie_nodes: effort.tie_nodes.min(TIE_NODES),
        tie_steps: effort.tie_steps.min(TIE_STEPS),
        tie_counts: effort.tie_counts.min(TIE_COUNTS),
        ..effort
    }
}

impl Session<'_> {
    /// Every step below a wiring that is known to be the best of its level, down to the fewest
    /// joints with which there is one.
    ///
    /// Each step is the best wiring with fewer joints than the one before, of near-ties the one
    /// with fewest. So wirings that differ by less than the proof gap make one step. `matters` is asked
    /// before each step whether another one does, which cannot have more charged watts than so many.
    pub(super) fn front(
        &self,
        terms: &Terms,
        top: Level,
        known: &[ArrayWiring],
        effort: Effort,
        matters: impl Fn(&Front, f64) -> bool,
    ) -> Front {
        let effort = limited(effort);
        let joiner = self.joiner();
        let mut known = known.to_vec();
        let (mut joints, mut bound) = (joiner.joints_of(top.array.clone()), top.bound);
        let mut front = Front { steps: Vec::new(), ceilings: Vec::new(), complete: true };
        front.enter(Step { level: top, joints });
        while joints > 0 && matters(&front, bound) {
            joiner.cap(joints - 1);
            match self.solve_within(terms, &known, &joiner, effort) {
                LevelAnswer::Found(mut level) => {
                    joints = joiner.joints_of(level.array.clone());
                    // With fewer joints no more is possible than with more.
                    level.bound = level.bound.min(bound).max(level.charged);
                    bound = level.bound;
                    known.push(level.array.clone());
                    front.enter(Step { level, joints });
                }
                LevelAnswer::NoWiring(_) => break,
                LevelAnswer::LimitReached => {
                    front.ceilings.push((0, bound));
                    front.complete = false;
                    break;
                }
            }
        }
        front
    }
}

impl Front {
    fn enter(&mut self, step: Step) {
        self.ceilings.push((step.joints, step.level.bound));
        while self.steps.last().is_some_and(|s| s.level.charged <= step.level.charged) {
            self.steps.pop();
        }
        self.steps.push(step);
    }

    /// Is it ruled out that there are wirings with fewer joints than the last step?
    pub(super) fn is_complete(&self) -> bool {
        self.complete
    }

    /// The step of most charged watts less this worth of each joint; of equals the one with fewest
    /// joints.
    pub(super) fn at_worth(&self, worth: f64) -> &Step {
        let value = |s: &Step| s.level.charged - worth * s.joints as f64;
        self.steps
            .iter()
            .reduce(|best, next| if value(next) >= value(best) { next } else { best })
            .expect("a front begins with a step")
    }

    /// No wiring of the level has more charged watts less this worth of each joint.
    pub(super) fn bound_at(&self, worth: f64) -> f64 {
        let most = |&(joints, bound): &(usize, f64)| bound - worth * joints as f64;
        self.ceilings.iter().map(most).fold(f64::NEG_INFINITY, f64::max)
    }

    /// From which worth of a joint up to which each step is the best; `None` where it never is.
    pub(super) fn ranges(&self) -> Vec<Option<(f64, Option<f64>)>> {
        let price = |a: usize, b: usize| {
            let (a, b) = (&self.steps[a], &self.steps[b]);
            (a.level.charged - b.level.charged) / (a.joints - b.joints) as f64
        };
        // Corners of the upper hull; at each the worth grows.
        let mut corners: Vec<usize> = Vec::new();
        for step in 0..self.steps.len() {
            while let [.., a, b] = corners[..]
                && price(b, step) <= price(a, b) + SAME_PRICE
            {
                corners.pop();
            }
            corners.push(step);
        }
        let mut ranges = vec![None; self.steps.len()];
        for (c, &at) in corners.iter().enumerate() {
            let from = if c == 0 { 0.0 } else { price(corners[c - 1], at) };
            ranges[at] = Some((from, corners.get(c + 1).map(|&next| price(at, next))));
        }
        ranges
    }
}
