//! Choices judged one by one where ceilings alone leave a gap: what each brings over all hours.

use super::unit::Unit;
use crate::model::ArrayWiring;
use crate::planner::level::label_bound;
use crate::planner::terms::{CountRow, Terms};
use crate::solve::master::Reply;
use crate::solve::{Choice, Effort, Outcome, Problem, judge_all};

/// A choice that is worth at most this part more than the best need not be found.
const FINE: f64 = 1e-4;

/// Reckons what a wiring and its panels are worth, so many times at most.
pub(super) struct Judge<'s> {
    pub worth: Worth<'s>,
    pub left: usize,
}

/// What a wiring with so many panels of each kind is worth.
pub(super) type Worth<'s> = Box<dyn Fn(&ArrayWiring, &[usize]) -> f64 + 's>;

impl Unit<'_, '_> {
    /// The best at some prices by a judge's word, below what ceilings allow.
    pub(super) fn judged(
        &mut self,
        problem: &Problem,
        outcome: &Outcome,
        (terms, rows): (&Terms, &[CountRow]),
        effort: Effort,
    ) -> Option<Reply> {
        let best = outcome.best.as_ref()?;
        let mut judge = self.judge.take()?;
        let session = self.session;
        let reckon = |choice: &Choice| {
            let array = session.candidates.wiring_of(choice);
            (judge.worth)(&array, &session.counts(choice))
        };
        if self.tag_of(&best.choice).is_none() {
            self.enter(best.choice.clone(), reckon(&best.choice));
        }
        let net =
            |unit: &Self, tag: usize| unit.met[tag].value - terms.price_of(&unit.met[tag].counts);
        let known = |unit: &Self| {
            let allowed =
                (0..unit.met.len()).filter(|tag| problem.keeps_rows(&unit.met[*tag].choice));
            allowed.max_by(|a, b| net(unit, *a).total_cmp(&net(unit, *b)))
        };
        let least = known(self).map_or(f64::NEG_INFINITY, |tag| net(self, tag));
        let mut fresh: Vec<(Choice, f64)> = Vec::new();
        let mut ask = |choice: &[(usize, usize)]| {
            let choice = choice.to_vec();
            if let Some(tag) = self.tag_of(&choice) {
                return net(self, tag);
            }
            let worth = reckon(&choice);
            let price = terms.price_of(&session.counts(&choice));
            fresh.push((choice, worth));
            worth - price
        };
        let most_asked = judge.left + self.met.len();
        let effort = Effort { proof: FINE, ..effort };
        let judged = judge_all(problem, least, &mut ask, most_asked, effort);
        judge.left = judge.left.saturating_sub(fresh.len());
        self.judge = Some(judge);
        fresh.into_iter().for_each(|(choice, worth)| {
            self.enter(choice, worth);
        });
        let tag = known(self)?;
        let most = label_bound(session.bench, &session.question, terms);
        let bound = judged.bound.min(outcome.bound).min(most).max(net(self, tag));
        Some(Reply { offers: vec![self.offer(tag, rows)], bound })
    }
}
