//! What panels are worth where joints are: comparisons under the joints of the best plan, and panels
//! that pay for their places but not for their joints.

use super::found::Found;
use super::front::{Step, limited};
use super::level::LevelAnswer;
use super::terms::Terms;
use super::verdict;
use super::worth::Worth;
use crate::model::{ArrayWiring, KindIdx};

impl Worth<'_> {
    /// The best wiring under some terms; where joints have a worth, with no more of them than the
    /// best plan takes.
    pub(super) fn solve_as_best(&self, terms: &Terms, known: &[ArrayWiring]) -> Option<Found> {
        let Some(most) = self.joints_of_best().filter(|_| self.weighs_joints()) else {
            return self.solve(self.session, terms, known).ok();
        };
        let joiner = self.session.joiner();
        joiner.cap(most);
        match self.session.solve_within(terms, known, &joiner, limited(self.effort)) {
            LevelAnswer::Found(level) => Some(self.found(self.session, level)),
            LevelAnswer::NoWiring(_) | LevelAnswer::LimitReached => None,
        }
    }

    /// The best wiring if joints were free; `None` where they are.
    pub(super) fn best_joints_aside(&self) -> Option<Found> {
        let (_, front) = self.planned.front.as_ref().filter(|_| self.weighs_joints())?;
        let top = front.steps.first()?.level.array.clone();
        Some(self.measure(self.desk.installation, self.desk.catalog, top))
    }

    /// Why the best plan does without panels of a kind that it would wire if joints were free, and
    /// the worth of a joint that would let some in; `None` if it has as many.
    pub(super) fn not_its_joints(&self, kind: KindIdx, aside: &Found) -> Option<(String, String)> {
        let (_, front) = self.planned.front.as_ref().filter(|_| self.weighs_joints())?;
        let wired = self.wired(kind);
        if self.count(&aside.array, kind) <= wired {
            return None;
        }
        let best = &self.planned.plans[self.planned.best?];
        let more = front.steps.first()?.joints.saturating_sub(best.joints.total());
        let own = self.planned.arrays[self.planned.best?].clone();
        let own = self.measure(self.desk.installation, self.desk.catalog, own);
        let because =
            verdict::not_its_joints(self.desk.joint_worth(), more, aside.watts - own.watts);
        let lets_in = |(step, range): (&Step, Option<(f64, Option<f64>)>)| {
            range.filter(|_| self.count(&step.level.array, kind) > wired).and_then(|(_, to)| to)
        };
        let worth = front.steps.iter().zip(front.ranges()).filter_map(lets_in).reduce(f64::max);
        Some((because, verdict::cheaper_joints(worth)))
    }

    fn weighs_joints(&self) -> bool {
        self.desk.joint_worth() > 0.0
    }

    fn joints_of_best(&self) -> Option<usize> {
        self.planned.best.map(|b| self.planned.plans[b].joints.total())
    }
}
