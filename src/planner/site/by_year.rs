//! Plans of several inputs together, chosen for energy.

use crate::energy::{EnergyModel, Grain};
use crate::model::ArrayWiring;
use crate::patterns::Bench;
use crate::plan::{Aim, State, Touch, TouchAnswer, beyond_outputs, spare_controllers_used};
use crate::planner::by_year::{Line, Pool, ROUNDS, comparing, proof, season};
use crate::planner::level::Session;
use crate::planner::season::Season;
use crate::planner::{Desk, Failure};
use crate::units::Watts;

use super::level::{Search, SiteAnswer, SiteLevel};
use super::plan::{SitePlanned, arrays_today, enter, stock_of};
use super::spares::in_order;
use super::{benches, seen_from, sessions};

/// Replaces the plan of each level by the one of most energy, and gives the season by which panels
/// are compared; nothing is changed where there is no plan.
pub(super) fn choose_together(
    desk: &Desk,
    planned: &mut SitePlanned,
    (aim, model): (Aim, &EnergyModel),
    today: &State,
) -> Result<Option<Season>, Failure> {
    let Some(first) = planned.best.map(|b| planned.arrays[b].clone()) else { return Ok(None) };
    let inputs = planned.inputs.clone();
    let mut pool = Pool::new(desk, model, &inputs, aim, &first);
    for (touch, level) in &planned.found {
        pool.enter(level.arrays.clone(), *touch);
    }
    let mut bounds = Vec::with_capacity(planned.found.len());
    for (touch, _) in &planned.found {
        bounds.push(search_energy(desk, &mut pool, *touch));
    }
    enter_chosen(desk, planned, &pool, &bounds, today)?;
    let best = planned.best.map(|b| planned.arrays[b].clone());
    Ok(best.map(|arrays| comparing(&pool, &arrays)))
}

/// The same sessions over a season.
fn over<'b>(listed: &[Session<'b>], desk: &'b Desk, touch: Touch) -> Vec<Session<'b>> {
    listed.iter().map(|session| session.asking(desk.question(touch))).collect()
}

/// Finds wirings of much energy at one level; none there has more charged energy than the answer.
fn search_energy(desk: &Desk, pool: &mut Pool, touch: Touch) -> f64 {
    let inputs = pool.inputs;
    let stock = stock_of(desk.installation, inputs);
    let seen = seen_from(desk.installation, inputs, touch);
    let benches: Vec<Bench> = benches(desk, &seen, inputs);
    let listed = sessions(&benches, desk.question(touch));
    let known = |pool: &Pool| -> Vec<Vec<ArrayWiring>> {
        let mut known: Vec<_> = pool.allowed(touch).map(|k| pool.met[k].arrays.clone()).collect();
        known.push(arrays_today(desk, inputs));
        known
    };
    for _ in 0..ROUNDS {
        let Some(best) = pool.highest(touch) else { break };
        let there = pool.site(&pool.met[best].arrays);
        let slopes = pool.model.slopes(&desk.installation.installed, &there);
        let season = season(pool, (pool.met[best].span, Grain::Coarse), &slopes);
        let asked = desk.over(Some(&season));
        let sessions = over(&listed, &asked, touch);
        let mut search = Search::new(&sessions, desk.options.controller_watts, desk.options.effort);
        let SiteAnswer::Found(mut level) = search.best(&stock, &known(pool)) else { break };
        in_order(desk.installation, inputs, &mut level.arrays);
        let wired = level.arrays.iter().any(|a| !a.strings.is_empty());
        if !wired || !pool.enter(level.arrays, touch).1 {
            break;
        }
    }
    let Some(best) = pool.highest(touch) else { return f64::INFINITY };
    let line = Line::touching(pool, best, &benches);
    let asked = desk.over(Some(&line.season));
    let sessions: Vec<Session> = listed
        .iter()
        .map(|session| session.under_ceilings(asked.question(touch), &line.season))
        .collect();
    let mut search = Search::new(&sessions, desk.options.controller_watts, desk.options.effort);
    let bound = match search.best(&stock, &known(pool)) {
        SiteAnswer::Found(level) => level.bound,
        SiteAnswer::NoWiring(..) | SiteAnswer::LimitReached => f64::INFINITY,
    };
    line.bound(pool, bound).max(pool.met[best].charged)
}

/// Enters the chosen wirings of each level as its plan.
fn enter_chosen(
    desk: &Desk,
    planned: &mut SitePlanned,
    pool: &Pool,
    bounds: &[f64],
    today: &State,
) -> Result<(), Failure> {
    planned.plans.clear();
    planned.arrays.clear();
    planned.best = None;
    let narrowed = std::mem::take(&mut planned.narrowed);
    let found = planned.found.clone();
    for (touch, answer) in std::mem::take(&mut planned.levels) {
        let Some(at) = found.iter().position(|(t, _)| *t == touch) else {
            planned.levels.push((touch, answer));
            continue;
        };
        let (by_watts, bound) = (&found[at].1, bounds[at]);
        let chosen = pool.preferred(touch, bound).expect("a level that was found has wirings");
        let arrays = pool.met[chosen].arrays.clone();
        let charged = charged_watts(desk, pool, touch, &arrays);
        let level = SiteLevel {
            arrays,
            charged,
            bound: by_watts.bound.max(charged),
            ties_complete: by_watts.ties_complete,
        };
        let answer = enter(desk, planned, (touch, level), Vec::new(), today)?;
        if let TouchAnswer::Plan(k) = answer {
            planned.plans[k].energy = Some(proof(pool, chosen, bound));
        }
        if let TouchAnswer::Plan(k) | TouchAnswer::SameAs(k) = answer {
            planned.best = Some(k);
        }
        planned.levels.push((touch, answer));
    }
    planned.narrowed = narrowed;
    Ok(())
}

/// Watts of the inputs that are planned, less the charges on their panels.
fn charged_watts(desk: &Desk, pool: &Pool, touch: Touch, arrays: &[ArrayWiring]) -> f64 {
    let state = desk.evaluator.state(&pool.site(arrays));
    let own = state.inputs.iter().filter(|i| pool.inputs.contains(&i.at));
    let watts: Watts = own.map(|i| Watts(desk.by_rule(i.power, i.nameplate))).sum();
    let bench = desk.bench(pool.inputs[0]);
    let question = desk.question(touch);
    let n_kinds = desk.installation.kinds.len();
    let charges = arrays.iter().map(|a| question.charge_of(&bench, &a.count_by_kind(n_kinds)));
    let n_used = spare_controllers_used(desk.installation, &pool.site(arrays)).len();
    let beyond = beyond_outputs(desk.installation, &pool.site(arrays)).into_iter();
    let own = beyond.filter(|(c, _)| pool.inputs.iter().any(|at| at.controller == *c));
    let beyond: f64 = own.map(|(_, watts)| watts.watts()).sum();
    let entries = n_used as f64 * desk.options.controller_watts;
    watts.watts() - charges.sum::<f64>() - entries - beyond
}
