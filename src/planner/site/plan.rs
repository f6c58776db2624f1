//! Plans of several inputs together, level by level, audited.

use crate::energy::EnergyModel;
use crate::model::{ArrayWiring, InputRef, InputWiring, Installation};
use crate::plan::{
    Aim, Bound, Plan, Rewiring, State, Touch, TouchAnswer, audit_with, beyond_outputs,
    charging_flows, fewest_joints, spare_controllers_used, with_controllers,
};
use crate::planner::desk::too_many_to_list;
use crate::planner::preferred::preferred_plan;
use crate::planner::season::Season;
use crate::planner::terms::{Question, shared_rows, spares_of};
use crate::planner::{Desk, Failure};
use crate::units::Watts;

use super::by_year::choose_together;
use super::level::{Search, SiteAnswer, SiteLevel, Stock};
use super::spares::in_order;
use super::ties::Ties;
use super::{benches, seen_from, sessions};

/// What came of a site.
pub(in crate::planner) struct SitePlanned {
    /// The inputs that were planned together.
    pub inputs: Vec<InputRef>,
    pub plans: Vec<Plan>,
    /// The wirings of each plan, one for each input planned.
    pub arrays: Vec<Vec<ArrayWiring>>,
    pub levels: Vec<(Touch, TouchAnswer)>,
    pub best: Option<usize>,
    pub narrowed: Vec<String>,
    /// What the search for watts found at each level.
    pub(super) found: Vec<(Touch, SiteLevel)>,
}

/// Panels of each kind: installed on these inputs, and spares; and what kinds share.
pub(super) fn stock_of(installation: &Installation, inputs: &[InputRef]) -> Stock {
    let n_kinds = installation.kinds.len();
    let mut installed = vec![0; n_kinds];
    for wiring in installation.installed.iter().filter(|w| inputs.contains(&w.at)) {
        let own = wiring.array.count_by_kind(n_kinds);
        installed.iter_mut().zip(own).for_each(|(all, own)| *all += own);
    }
    let panels = spares_of(installation).iter().zip(&installed).map(|(s, own)| s + own).collect();
    Stock {
        battery: battery_left(installation, inputs),
        shared: shared_rows(installation, &installed),
        ..Stock::of(panels)
    }
}

/// What the limited battery takes from the controllers of some inputs, the others standing. \[A\]
fn battery_left(installation: &Installation, inputs: &[InputRef]) -> Option<f64> {
    let limit = installation.site.battery_charge?;
    let flows = charging_flows(installation, &installation.installed);
    let others = flows.iter().filter(|(c, _)| inputs.iter().all(|at| at.controller != *c));
    Some(limit.amps() - others.map(|(_, amps)| amps.amps()).sum::<f64>())
}

/// Today's wirings of some inputs.
pub(super) fn arrays_today(desk: &Desk, inputs: &[InputRef]) -> Vec<ArrayWiring> {
    let installed = desk.installation.installed.iter();
    installed.filter(|w| inputs.contains(&w.at)).map(|w| w.array.clone()).collect()
}

/// Today's wiring with some inputs rewired.
pub(in crate::planner) fn rewired(
    desk: &Desk,
    inputs: &[InputRef],
    arrays: &[ArrayWiring],
) -> Vec<InputWiring> {
    let mut wiring = desk.installation.installed.clone();
    for (at, array) in inputs.iter().zip(arrays) {
        wiring.iter_mut().filter(|w| w.at == *at).for_each(|w| w.array = array.clone());
    }
    wiring
}

/// Plans every level of touch.
pub(in crate::planner) fn plan_together(
    desk: &Desk,
    inputs: Vec<InputRef>,
    (aim, model): (Aim, Option<&EnergyModel>),
    today: &State,
) -> Result<(SitePlanned, Option<Season>), Failure> {
    let mut planned = SitePlanned {
        inputs,
        plans: Vec::new(),
        arrays: Vec::new(),
        levels: Vec::new(),
        best: None,
        narrowed: Vec::new(),
        found: Vec::new(),
    };
    for &touch in &desk.options.touch {
        if desk.stopped().is_some() && !planned.plans.is_empty() {
            planned.levels.push((touch, TouchAnswer::LimitReached));
            continue;
        }
        desk.shows_level(touch);
        let answer = plan_level(desk, &mut planned, touch, today)?;
        planned.levels.push((touch, answer));
    }
    planned.best = match desk.joint_worth() {
        worth if worth > 0.0 => worthiest(&planned.plans, worth),
        _ => preferred_plan(&planned.plans),
    };
    let season = match model.filter(|_| aim != Aim::Watts) {
        None => None,
        Some(model) => choose_together(desk, &mut planned, (aim, model), today)?,
    };
    Ok((planned, season))
}

/// The plan of most charged watts less the worth of its joints; of equals the first.
fn worthiest(plans: &[Plan], joint_worth: f64) -> Option<usize> {
    let worth = |k: usize| plans[k].charged.watts() - joint_worth * plans[k].joints.total() as f64;
    (0..plans.len()).reduce(|a, b| if worth(b) > worth(a) { b } else { a })
}

fn plan_level(
    desk: &Desk,
    planned: &mut SitePlanned,
    touch: Touch,
    today: &State,
) -> Result<TouchAnswer, Failure> {
    let inputs = planned.inputs.clone();
    let stock = stock_of(desk.installation, &inputs);
    let seen = seen_from(desk.installation, &inputs, touch);
    let benches = benches(desk, &seen, &inputs);
    let sessions = sessions(&benches, desk.question(touch));
    let mut search = Search::new(&sessions, desk.options.controller_watts, desk.options.effort);
    // What a level that disturbs less allows, this one allows too.
    let mut known = planned.arrays.clone();
    known.push(arrays_today(desk, &inputs));
    let best = match search.best(&stock, &known) {
        SiteAnswer::Found(best) => best,
        SiteAnswer::NoWiring(at, screening) => {
            return Ok(TouchAnswer::NoPlan(desk.breaches(&benches[at], touch, &screening)));
        }
        SiteAnswer::LimitReached => return Ok(TouchAnswer::LimitReached),
    };
    let ties =
        Ties { today: &desk.installation.installed, stock: &stock, effort: desk.options.effort };
    let mut level = if best.arrays.iter().all(|a| a.strings.is_empty()) {
        // Where no panel is worth its charge, today's wiring stays rather than nothing at all.
        match search.today(&known) {
            Some((arrays, charged)) => SiteLevel { arrays, charged, ..best },
            None => {
                let screening = &sessions[0].candidates.screening;
                return Ok(TouchAnswer::NoPlan(desk.breaches(&benches[0], touch, screening)));
            }
        }
    } else {
        ties.settle(&mut search, best)
    };
    in_order(desk.installation, &inputs, &mut level.arrays);
    planned.found.push((touch, level.clone()));
    let narrowed = sessions.iter().filter_map(|s| s.candidates.narrowed.clone()).collect();
    enter(desk, planned, (touch, level), narrowed, today)
}

/// Audits wirings and enters them, unless a level that disturbs less has the same.
pub(super) fn enter(
    desk: &Desk,
    planned: &mut SitePlanned,
    (touch, level): (Touch, SiteLevel),
    narrowed: Vec<String>,
    today: &State,
) -> Result<TouchAnswer, Failure> {
    let inputs = planned.inputs.clone();
    let canonical: Vec<ArrayWiring> = level.arrays.iter().map(ArrayWiring::canonical).collect();
    let same = |arrays: &Vec<ArrayWiring>| {
        arrays.iter().map(ArrayWiring::canonical).eq(canonical.iter().cloned())
    };
    if let Some(same) = planned.arrays.iter().position(same) {
        return Ok(TouchAnswer::SameAs(same));
    }
    let (plan, arrays) = plan_of(desk, &inputs, touch, &level, today);
    let terms = desk.options.audit_terms(None);
    audit_with(desk.installation, desk.catalog, &plan, &desk.installation.installed, &terms)
        .map_err(Failure::Audit)?;
    planned.narrowed.extend(narrowed.iter().map(|words| too_many_to_list(words)));
    if !level.ties_complete {
        planned.narrowed.push(
            "Very many wirings are as good as each other: not all were compared for their panels."
                .to_owned(),
        );
    }
    planned.plans.push(plan);
    planned.arrays.push(arrays);
    Ok(TouchAnswer::Plan(planned.plans.len() - 1))
}

fn plan_of(
    desk: &Desk,
    inputs: &[InputRef],
    touch: Touch,
    level: &SiteLevel,
    today: &State,
) -> (Plan, Vec<ArrayWiring>) {
    let n_kinds = desk.installation.kinds.len();
    let installed = &desk.installation.installed;
    let wanted = rewired(desk, inputs, &level.arrays);
    let Rewiring { joints, inputs: laid_out, .. } = fewest_joints(installed, &wanted);
    let array = |at: &InputRef| {
        let laid_out = laid_out.iter().find(|w| w.at == *at);
        laid_out.or_else(|| wanted.iter().find(|w| w.at == *at)).map(|w| w.array.clone())
    };
    let arrays: Vec<ArrayWiring> = inputs.iter().filter_map(array).collect();
    let wiring = rewired(desk, inputs, &arrays);
    let state = desk.evaluator.state(&wiring);
    let question = Question { season: None, ..desk.question(touch) };
    let bench = desk.bench(inputs[0]);
    let n_used = spare_controllers_used(desk.installation, &wiring).len();
    let entries = n_used as f64 * desk.options.controller_watts;
    let charge_of = |planned: fn(bool) -> bool| -> f64 {
        let some = wiring.iter().filter(|w| planned(inputs.contains(&w.at)));
        let charges = some.map(|w| question.charge_of(&bench, &w.array.count_by_kind(n_kinds)));
        charges.sum::<f64>() + entries
    };
    let beyond = beyond_outputs(desk.installation, &wiring);
    let of_planned = beyond.iter().filter(|(c, _)| inputs.iter().any(|at| at.controller == *c));
    let beyond_planned: f64 = of_planned.map(|(_, watts)| watts.watts()).sum();
    let beyond: f64 = beyond.iter().map(|(_, watts)| watts.watts()).sum();
    // Inputs that stay: their watts stand beside the bound of those that were searched.
    let stay = state.inputs.iter().filter(|i| !inputs.contains(&i.at));
    let elsewhere: f64 = stay.map(|i| desk.by_rule(i.power, i.nameplate)).sum();
    let charge = charge_of(|_| true);
    let plan = Plan {
        touch,
        added: state.watts() - today.watts(),
        charged: Watts(desk.by_rule(state.watts(), state.nameplate()) - charge - beyond),
        bound: Bound {
            watts: Watts(level.bound + charge_of(|planned| planned) + beyond_planned + elsewhere),
            gap: level.gap(),
            proven: level.gap() <= desk.options.effort.proof,
        },
        joints: with_controllers(joints, n_used),
        state,
        energy: None,
    };
    (plan, arrays)
}
