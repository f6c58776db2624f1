//! Joints against watts: plans by a joint's worth, and the curve from today's wiring to the best.

use super::front::Front;
use super::level::{Level, Session};
use super::terms::Terms;
use super::worth::freest;
use super::{Desk, Failure, Planned};
use crate::patterns::Bench;
use crate::plan::{JointCurve, JointPoint, Plan, State, Touch, TouchAnswer, WorthRange};
use crate::units::Watts;

impl Desk<'_> {
    /// Watts that a joint must bring; 0 where joints settle near-ties alone.
    pub(super) fn joint_worth(&self) -> f64 {
        self.options.joint_worth.unwrap_or(0.0)
    }

    /// Replaces the plan of each level by the one of most charged watts less the worth of its joints.
    pub(super) fn weigh_joints(
        &self,
        planned: &mut Planned,
        bench: &Bench,
        today: &State,
    ) -> Result<(), Failure> {
        let worth = self.joint_worth();
        let Some(freest) = freest_found(planned) else { return Ok(()) };
        let mut fronts = self.fronts(planned, bench);
        planned.plans.clear();
        planned.arrays.clear();
        planned.narrowed.clear();
        for (touch, answer) in std::mem::take(&mut planned.levels) {
            let Some(at) = fronts.iter().position(|(t, _)| *t == touch) else {
                planned.levels.push((touch, answer));
                continue;
            };
            let (_, front) = fronts.swap_remove(at);
            let step = front.at_worth(worth);
            let paid = worth * step.joints as f64;
            let bound = (front.bound_at(worth) + paid).max(step.level.charged);
            let weighed = Level { bound, ..step.level.clone() };
            let answer = self.enter(planned, bench, touch, weighed, today)?;
            if touch == freest {
                planned.best = match answer {
                    TouchAnswer::Plan(at) | TouchAnswer::SameAs(at) => Some(at),
                    _ => None,
                };
                planned.front = Some((touch, front));
            }
            planned.levels.push((touch, answer));
        }
        Ok(())
    }

    /// Draws watts against joints at the freest level that has a plan.
    pub(super) fn draw_front(&self, planned: &mut Planned) {
        let Some(freest) = freest_found(planned).filter(|_| self.stopped().is_none()) else {
            return;
        };
        let fronts = self.fronts(planned, &self.bench(planned.at));
        planned.front = fronts.into_iter().find(|(touch, _)| *touch == freest);
    }

    /// Watts against joints at each level that has a plan. What is found where less may be disturbed
    /// is known where more may.
    fn fronts(&self, planned: &Planned, bench: &Bench) -> Vec<(Touch, Front)> {
        let mut known = planned.arrays.clone();
        let mut fronts = Vec::with_capacity(planned.found.len());
        for (touch, level) in &planned.found {
            let session = Session::new(bench, self.question(*touch));
            let top = self.top(planned, *touch, level);
            let front =
                session.front(&Terms::of(bench), top, &known, self.options.effort, |_, _| true);
            known.extend(front.steps.iter().map(|s| s.level.array.clone()));
            fronts.push((*touch, front));
        }
        fronts
    }

    /// Where a level's curve begins: its plan, at the freest level the best of all plans, which may
    /// be one of less disturbance.
    fn top(&self, planned: &Planned, touch: Touch, level: &Level) -> Level {
        let freest = freest_found(planned) == Some(touch);
        let best = planned.best.filter(|_| freest).map(|b| planned.arrays[b].canonical());
        let of_best = planned.found.iter().find(|(_, l)| Some(l.array.canonical()) == best);
        of_best.map_or_else(
            || level.clone(),
            |(_, best)| Level { bound: level.bound.max(best.charged), ..best.clone() },
        )
    }

    /// The curve of an answer, each of its plans audited.
    pub(super) fn joint_curve(
        &self,
        planned: &Planned,
        bench: &Bench,
        today: &State,
    ) -> Result<Option<JointCurve>, Failure> {
        let Some((touch, front)) = planned.front.as_ref().filter(|_| self.options.joint_curve)
        else {
            return Ok(None);
        };
        let mut points = Vec::with_capacity(front.steps.len());
        for (step, range) in front.steps.iter().zip(front.ranges()).rev() {
            let (plan, _) = self.audited(bench, *touch, &step.level, today)?;
            let worths =
                range.map(|(from, to)| WorthRange { from: Watts(from), to: to.map(Watts) });
            points.push(JointPoint { plan, worths });
        }
        let best = planned.best.map(|b| &planned.plans[b]);
        let same = |p: &JointPoint, best: &Plan| p.plan.state.inputs == best.state.inputs;
        let chosen = best.and_then(|best| points.iter().position(|p| same(p, best)));
        Ok(Some(JointCurve { points, chosen, complete: front.is_complete() }))
    }
}

/// The freest level at which there is a plan.
fn freest_found(planned: &Planned) -> Option<Touch> {
    let found: Vec<Touch> = planned.found.iter().map(|(touch, _)| *touch).collect();
    (!found.is_empty()).then(|| freest(&found))
}
