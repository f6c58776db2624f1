//! Plans of one input, chosen for energy.

use super::{JUDGED, Line, Pool, ROUNDS, comparing, proof, season};
use crate::energy::{EnergyModel, Grain};
use crate::model::{ArrayWiring, InputWiring};
use crate::plan::{Aim, State, Touch, TouchAnswer};
use crate::planner::desk::Planned;
use crate::planner::level::{Level, LevelAnswer, Pick, Session, label_bound};
use crate::planner::season::Season;
use crate::planner::terms::Terms;
use crate::planner::{Desk, Failure};
use crate::solve::judge_all;

impl Desk<'_> {
    /// Replaces the plan of each level by the one of most energy, where energy is sought, and gives
    /// the season by which panels are compared; nothing is changed where there is no plan.
    pub(in crate::planner) fn choose_for_energy(
        &self,
        planned: &mut Planned,
        (aim, model): (Aim, Option<&EnergyModel>),
        today: &State,
    ) -> Result<Option<Season>, Failure> {
        let Some(model) = model.filter(|_| aim != Aim::Watts) else { return Ok(None) };
        let Some(first) = planned.best.map(|b| vec![planned.arrays[b].clone()]) else {
            return Ok(None);
        };
        let inputs = [planned.at];
        let mut pool = Pool::new(self, model, &inputs, aim, &first);
        for (touch, level) in &planned.found {
            pool.enter(vec![level.array.clone()], *touch);
        }
        if let Some((touch, front)) = &planned.front {
            for step in &front.steps {
                pool.enter(vec![step.level.array.clone()], *touch);
            }
        }
        let mut bounds = Vec::with_capacity(planned.found.len());
        for (touch, _) in &planned.found {
            bounds.push(self.search_energy(&mut pool, *touch));
        }
        self.enter_chosen(planned, &pool, &bounds, today)?;
        let best = planned.best.map(|b| vec![planned.arrays[b].clone()]);
        Ok(best.map(|arrays| comparing(&pool, &arrays)))
    }

    /// Finds wirings of much energy at one level; no wiring there has more charged energy than the
    /// answer.
    fn search_energy(&self, pool: &mut Pool, touch: Touch) -> f64 {
        let bench = self.bench(pool.inputs[0]);
        let terms = Terms::of(&bench);
        let listed = Session::new(&bench, self.question(touch));
        for _ in 0..ROUNDS {
            let Some(best) = pool.highest(touch) else { break };
            let there = pool.site(&pool.met[best].arrays);
            let slopes = pool.model.slopes(&self.installation.installed, &there);
            let season = season(pool, (pool.met[best].span, Grain::Coarse), &slopes);
            let over = self.over(Some(&season));
            let session = listed.asking(over.question(touch));
            let known: Vec<ArrayWiring> =
                pool.allowed(touch).map(|k| pool.met[k].arrays[0].clone()).collect();
            let found = session.solve(&terms, &known, self.options.effort, Pick::Preferred);
            let LevelAnswer::Found(level) = found else { break };
            if !pool.enter(vec![level.array], touch).1 {
                break;
            }
        }
        let Some(best) = pool.highest(touch) else { return f64::INFINITY };
        let line = Line::touching(pool, best, std::slice::from_ref(&bench));
        let over = self.over(Some(&line.season));
        let session = listed.under_ceilings(over.question(touch), &line.season);
        let candidates = &session.candidates;
        let problem = candidates.problem(&bench, &session.question, &terms);
        let known = line.own(pool, pool.met[best].charged);
        let mut judge = |choice: &[(usize, usize)]| {
            let (at, _) = pool.enter(vec![candidates.wiring_of(choice)], touch);
            line.own(pool, pool.met[at].charged)
        };
        let judged = judge_all(&problem, known, &mut judge, JUDGED, self.options.effort);
        let most = label_bound(&bench, &session.question, &terms);
        let bound = if candidates.narrowed.is_some() { most } else { judged.bound.min(most) };
        let best = pool.highest(touch).map_or(f64::INFINITY, |k| pool.met[k].charged);
        line.bound(pool, bound).max(best)
    }

    /// Enters the chosen wiring of each level as its plan.
    fn enter_chosen(
        &self,
        planned: &mut Planned,
        pool: &Pool,
        bounds: &[f64],
        today: &State,
    ) -> Result<(), Failure> {
        let bench = self.bench(planned.at);
        planned.plans.clear();
        planned.arrays.clear();
        planned.narrowed.clear();
        planned.best = None;
        let found = planned.found.clone();
        for (touch, answer) in std::mem::take(&mut planned.levels) {
            let Some(at) = found.iter().position(|(t, _)| *t == touch) else {
                planned.levels.push((touch, answer));
                continue;
            };
            let (by_watts, bound) = (&found[at].1, bounds[at]);
            let chosen = pool.preferred(touch, bound).expect("a level that was found has a wiring");
            let array = pool.met[chosen].arrays[0].clone();
            let charged = self.charged_watts(&bench, touch, &array);
            let level =
                Level { array, charged, bound: by_watts.bound.max(charged), ..by_watts.clone() };
            let answer = self.enter(planned, &bench, touch, level, today)?;
            if let TouchAnswer::Plan(k) = answer {
                planned.plans[k].energy = Some(proof(pool, chosen, bound));
            }
            if let TouchAnswer::Plan(k) | TouchAnswer::SameAs(k) = answer {
                planned.best = Some(k);
            }
            planned.levels.push((touch, answer));
        }
        Ok(())
    }

    /// Watts of one input less the charges on its panels.
    fn charged_watts(
        &self,
        bench: &crate::patterns::Bench,
        touch: Touch,
        array: &ArrayWiring,
    ) -> f64 {
        let counts = array.count_by_kind(self.installation.kinds.len());
        let wiring = InputWiring { at: bench.at, array: array.clone() };
        let state = self.evaluator.input_state(&wiring);
        self.by_rule(state.power, state.nameplate) - self.question(touch).charge_of(bench, &counts)
    }
}
