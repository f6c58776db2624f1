//! A way through the phases as an answer: every step laid out, judged and audited.

use super::foils::{self, Account};
use super::orders::{Chosen, Search, on_site};
use super::path::panels_handled;
use super::prepared;
use super::supply::{Good, Purchase, spent_in};
use super::told::{notes, own_assumptions};
use super::{JOINT_MINUTES, PANEL_MINUTES};
use crate::energy::{EnergyAnswer, EnergyModel};
use crate::model::{ArrayWiring, InputWiring, Installation, KindIdx, Spare};
use crate::plan::{
    Advice, Bought, Bound, Evaluator, Gained, PhaseProof, PhaseStep, Phased, Plan, Prepared,
    TouchAnswer, Ware, ask, assumed, audit_with, cautions_for, fewest_joints,
};
use crate::planner::Failure;
use crate::planner::concerned::concerned;
use crate::planner::desk::Desk;
use crate::planner::phases::sequence::laid_on;
use crate::planner::site::first_wired;
use crate::units::{KilowattHours, Watts};

/// The whole answer.
pub(super) fn answer(
    search: &mut Search,
    chosen: &Chosen,
    greedy: Option<Account>,
) -> Result<Phased, Failure> {
    let installation = search.installation;
    let evaluator = Evaluator::new(installation, search.catalog);
    let today = evaluator.state(&installation.installed);
    let energy = EnergyModel::of(installation, search.catalog);
    let today_energy = energy.map(|model| model.year(&installation.installed).out());
    let mut steps = Vec::new();
    let mut before = installation.installed.clone();
    if let Some(way) = &chosen.way {
        for t in 0..way.stands.len() {
            let step = step(search, chosen, t, &before)?;
            before = step.plan().state.wiring();
            steps.push(step);
        }
    }
    prepared::enter(&mut steps, search.catalog);
    let failed = if steps.is_empty() {
        today.checks.iter().filter(|c| c.outcome == crate::plan::Outcome::Breach).cloned().collect()
    } else {
        Vec::new()
    };
    let totals = Account::of_plan(chosen.way.as_ref(), &steps).totals(search);
    search.shows("comparing with other ways");
    let mut foils =
        if search.is_stopped() { Vec::new() } else { foils::foils(search, chosen, greedy)? };
    let mut what_if = if search.is_stopped() {
        (Vec::new(), Vec::new())
    } else {
        search.shows("asking what if a phase never comes, or a kind is sold out");
        (search.cancelled(chosen, &steps), search.sold_out(chosen, &steps))
    };
    if search.is_stopped() {
        // What rests on searches cut short is not told as if it were found.
        (foils, what_if) = Default::default();
        steps.iter_mut().for_each(|step| step.gained_by_that = None);
    }
    let (cancelled, sold_out) = what_if;
    // The last state stands on the controllers of its own time.
    let (there, last) =
        steps.last().map_or((installation, &today), |s| (&s.installation, &s.plan().state));
    let with_all = with_every_kind(installation);
    let mut told = assumed(&with_all, &concerned(&with_all));
    told.extend(own_assumptions(installation, today_energy.is_some()));
    Ok(Phased {
        site: installation.site.name.clone(),
        coldest: installation.site.coldest,
        hottest: installation.site.hottest,
        today_energy,
        failed,
        aim: search.aim,
        touch: search.touch,
        totals,
        proof: proof(search, chosen),
        foils,
        cancelled,
        sold_out,
        joint_worth: search.options.plan.joint_worth.filter(|w| *w > 0.0).map(Watts),
        money_worth: search.options.money_worth.map(Watts),
        assumed: told,
        ask: ask(there, last),
        notes: notes(search, chosen, &steps),
        cautions: cautions_on_the_way(cautions_for(there, last), &steps),
        stopped: search.options.plan.effort.watch.stopped(),
        today,
        steps,
    })
}

/// One step after the wirings before it, audited.
fn step(
    search: &mut Search,
    chosen: &Chosen,
    t: usize,
    before: &[InputWiring],
) -> Result<PhaseStep, Failure> {
    let way = chosen.way.as_ref().expect("a step is one of a way");
    let phase = &search.installation.phases[t];
    let installation = site_before(search, chosen, t, before);
    let evaluator = Evaluator::new(&installation, search.catalog);
    let wanted = on_site(&installation, &way.stands[t].wiring);
    let rewiring = fewest_joints(&installation.installed, &wanted);
    let wiring = laid_on(&installation.controllers, &rewiring.inputs);
    let today = evaluator.state(&installation.installed);
    let state = evaluator.state(&wiring);
    let desk = Desk::new(&installation, search.catalog, &search.options.plan);
    let question = desk.question(search.touch);
    let inputs = search.ground_of(&chosen.used, t).lot.inputs.clone();
    let bench = desk.bench(inputs[0]);
    let n_kinds = installation.kinds.len();
    let charge: f64 =
        wiring.iter().map(|w| question.charge_of(&bench, &w.array.count_by_kind(n_kinds))).sum();
    let charged = desk.by_rule(state.watts(), state.nameplate()) - charge;
    let labels = labels_at_hand(&installation).max(state.watts().watts());
    let plan = Plan {
        touch: search.touch,
        added: state.watts() - today.watts(),
        charged: Watts(charged),
        // All that is proven of one step alone: no wiring gives more than its labels. What is proven
        // of all steps together stands in the answer.
        bound: Bound {
            watts: Watts(labels),
            gap: (labels - charge - charged) / charged.abs().max(1.0),
            proven: false,
        },
        joints: rewiring.joints,
        state,
        energy: None,
    };
    let terms = search.options.plan.audit_terms(None);
    audit_with(&installation, search.catalog, &plan, &installation.installed, &terms)
        .map_err(Failure::Audit)?;
    let (then, now) = (counts(&installation.installed, n_kinds), counts(&wiring, n_kinds));
    let more = |a: &[usize], b: &[usize]| -> Vec<(KindIdx, usize)> {
        let of = |k: usize| (KindIdx(k), a[k].saturating_sub(b[k]));
        (0..n_kinds).map(of).filter(|(_, n)| *n > 0).collect()
    };
    let taken_out = more(&then, &now);
    let hours = JOINT_MINUTES * rewiring.joints.total() as f64
        + PANEL_MINUTES * panels_handled(&installation.installed, &rewiring) as f64;
    let bought: Vec<Bought> = way
        .bought
        .iter()
        .filter(|p| p.phase == t)
        .flat_map(|p| bought(search, chosen, p))
        .collect();
    let gained_by_that = if taken_out.is_empty() || search.is_stopped() {
        None
    } else {
        search.gain_of_taking_out(chosen, t, &then)
    };
    let gained_by_that = gained_by_that.map(|gain| match search.basis {
        None => Gained::Watts(Watts(gain)),
        Some(basis) => Gained::Energy(basis.energy(gain)),
    });
    let energy = EnergyModel::of(&installation, search.catalog).map(|model| EnergyAnswer {
        today: model.year(&installation.installed),
        plans: vec![model.year(&wiring)],
    });
    let out = energy.as_ref().map(|e| e.plans[0].out());
    let spent: Vec<f64> = (0..way.stands.len()).map(|s| spent_in(&way.bought, s)).collect();
    let carried = search.supply.carried_on(&spent);
    let goes_on = t + 1 < spent.len() && search.supply.purse_since(t + 1) <= t;
    let step = PhaseStep {
        name: phase.name.clone(),
        date: phase.date,
        years: phase.years(),
        money: spent_in(&way.bought, t),
        budget: phase.budget,
        carried_in: t.checked_sub(1).map_or(0.0, |before| carried[before]),
        carried_on: goes_on.then(|| carried[t]),
        wired: more(&now, &then),
        taken_out,
        gained_by_that,
        hours: hours / 60.0,
        most: (phase.hours, phase.joints),
        prepared: Vec::new(),
        energy: out,
        advice: Advice {
            site: installation.site.name.clone(),
            coldest: installation.site.coldest,
            hottest: installation.site.hottest,
            rule: search.options.plan.rule,
            aim: search.aim,
            planned: first_wired(&installation, &inputs),
            together: inputs,
            assumed: assumed(&installation, &concerned(&installation)),
            ask: ask(&installation, &plan.state),
            cautions: cautions_for(&installation, &plan.state),
            today,
            plans: vec![plan],
            levels: vec![(search.touch, TouchAnswer::Plan(0))],
            best: Some(0),
            spares: Vec::new(),
            idle: Vec::new(),
            controllers: Vec::new(),
            own_controllers: Vec::new(),
            joint_worth: None,
            joint_curve: None,
            energy,
            notes: Vec::new(),
        },
        bought,
        installation,
    };
    Ok(step)
}

/// The site before the work of a step: its controllers are there, what is at hand is spare.
fn site_before(search: &Search, chosen: &Chosen, t: usize, before: &[InputWiring]) -> Installation {
    let way = chosen.way.as_ref().expect("a step is one of a way");
    let lot = search.ground_of(&chosen.used, t).lot;
    let mut site = lot.site.clone();
    site.installed = laid_on(&site.controllers, before);
    let mut at_hand = search.supply.own.clone();
    for purchase in way.bought.iter().filter(|p| p.phase <= t) {
        if let Good::Panels(kind) = purchase.good {
            at_hand[kind.0] += purchase.count;
        }
    }
    let free = site.installed.iter().filter(|w| !site.kept.contains(&w.at));
    for kind in free.flat_map(|w| w.array.panels()) {
        at_hand[kind.0] = at_hand[kind.0].saturating_sub(1);
    }
    let spare = |(k, n): (usize, &usize)| Spare {
        kind: KindIdx(k),
        count: *n,
        price: search.supply.price[t][k],
        places: Vec::new(),
    };
    site.spares = at_hand.iter().enumerate().map(spare).filter(|s| s.count > 0).collect();
    site.phases = Vec::new();
    site
}

/// A purchase, split by the phases in which its panels are first wired.
fn bought(search: &Search, chosen: &Chosen, purchase: &Purchase) -> Vec<Bought> {
    let way = chosen.way.as_ref().expect("something is bought for a way");
    let supply = search.supply;
    match purchase.good {
        Good::Controller(c) => {
            let offer = supply.controllers[c];
            let phases = &search.installation.phases;
            let new = &phases[offer.phase].controllers[offer.place].controller;
            let old = offer.replaces.map(|at| search.installation.controllers[at].id.clone());
            vec![Bought {
                ware: Ware::Controller(new.id.clone(), old),
                count: 1,
                each: phases[offer.phase].controllers[offer.place].price,
                used_in: chosen.used[c].unwrap_or(purchase.phase),
                last_chance: offer.last_chance,
            }]
        }
        Good::Panels(kind) => {
            let k = kind.0;
            let stands: Vec<_> = way.stands.iter().collect();
            let needs = search.campaign(&chosen.used).measures.needs(&stands);
            // Of one kind the first bought are the first wired.
            let earlier = |p: &&Purchase| p.good == purchase.good && p.phase < purchase.phase;
            let before: usize = way.bought.iter().filter(earlier).map(|p| p.count).sum();
            let mut split: Vec<Bought> = Vec::new();
            for unit in before + 1..=before + purchase.count {
                let used_in = needs.iter().position(|n| n[k] >= unit).unwrap_or(purchase.phase);
                match split.last_mut().filter(|b| b.used_in == used_in) {
                    Some(last) => last.count += 1,
                    None => split.push(Bought {
                        ware: Ware::Panels(kind),
                        count: 1,
                        each: purchase.each,
                        used_in,
                        last_chance: supply.last[k] == Some(purchase.phase),
                    }),
                }
            }
            split
        }
    }
}

fn labels_at_hand(site: &Installation) -> f64 {
    let mut all = counts(&site.installed, site.kinds.len());
    site.spares.iter().for_each(|s| all[s.kind.0] += s.count);
    let label = |k: usize| {
        let label = site.kinds[k].label;
        label.p_mp.watts().max((label.v_mp * label.i_mp).watts())
    };
    all.iter().enumerate().map(|(k, n)| label(k) * *n as f64).sum()
}

pub(super) fn counts(wiring: &[InputWiring], n_kinds: usize) -> Vec<usize> {
    let mut counts = vec![0; n_kinds];
    let panels = wiring.iter().map(|w| &w.array).flat_map(ArrayWiring::panels);
    panels.for_each(|k| counts[k.0] += 1);
    counts
}

fn proof(search: &Search, chosen: &Chosen) -> PhaseProof {
    let value = chosen.way.as_ref().map_or(0.0, |w| w.value);
    let gap = ((chosen.bound - value) / value.abs().max(1.0)).max(0.0);
    let within = search.options.plan.effort.proves(gap);
    let pool = |t: usize| search.ground_of(&chosen.used, t).stands.len();
    let bound = chosen.bound.max(value);
    PhaseProof {
        value,
        bound,
        as_energy: search.basis.map(|basis| (basis.energy(value), basis.energy(bound))),
        gap,
        proven: chosen.way.is_some() && within && chosen.settled,
        pools: (0..search.supply.n_phases()).map(pool).collect(),
    }
}

/// The installation with the panels of every phase as spares, so that each is spoken of.
fn with_every_kind(installation: &Installation) -> Installation {
    let mut all = installation.clone();
    for spare in installation.phases.iter().flat_map(|p| &p.spares) {
        if !all.spares.iter().any(|s| s.kind == spare.kind) {
            let &crate::model::PhaseSpare { kind, count, price, .. } = spare;
            all.spares.push(Spare { kind, count, price, places: Vec::new() });
        }
    }
    all
}

/// Those of the last state, and before the last word those of the states that lead to it.
fn cautions_on_the_way(last: Vec<&'static str>, steps: &[PhaseStep]) -> Vec<&'static str> {
    let mut all = last;
    for caution in steps.iter().flat_map(|s| &s.advice.cautions) {
        if !all.contains(caution) {
            all.insert(all.len() - 1, caution);
        }
    }
    all
}

/// Energy over the phases, where the sun is known. \[kWh\]
pub(super) fn energy_of(steps: &[PhaseStep]) -> Option<KilowattHours> {
    steps.iter().map(|s| s.energy.map(|e| e * s.years)).sum()
}

/// Panels bought ahead are there for a later step.
pub(super) fn bought_ahead(step: &PhaseStep, t: usize) -> Vec<Prepared> {
    let panels = |b: &Bought| match b.ware {
        Ware::Panels(kind) if b.used_in > t => {
            Some(Prepared::Panels { kind, count: b.count, phase: b.used_in })
        }
        _ => None,
    };
    step.bought.iter().filter_map(panels).collect()
}
