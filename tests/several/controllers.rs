//! Spare controllers and a battery's limit, held against every way to share panels out.

use std::collections::BTreeMap;

use sungraft::electrical::{Catalog, charging_current};
use sungraft::model::{
    BatteryBank, Controller, InputRef, InputWiring, Installation, Output, SpareUnit,
};
use sungraft::plan::{CheckRule, Evaluator, Outcome, Rule, Touch, Verdict};
use sungraft::planner::{Options, advise, plan_only};
use sungraft::solve::Effort;
use sungraft::units::Amps;

use crate::exhaustive::inventory;
use crate::random::Random;
use crate::sites::{charge, in_search_space, keeps_touch, random_site};
use crate::two::two_inputs;
use crate::wirings::{LoneBlocks, wirings_of_any};

/// Near-ties and proof are held to this here, so that what is found is the best within it.
const PROOF: f64 = 2.5e-4;
/// Found and best by trying differ by no more, as a fraction.
const EQUAL: f64 = 5e-4;
/// Charge on each spare controller used. \[W\]
const CONTROLLER: f64 = 10.0;
/// Label watts that a spare controller is given at most, as a part of its output.
const MOST_OF_OUTPUT: f64 = 1.25;

/// What stands, and some controllers that stand ready for the same battery.
fn with_spares(seed: u64, n_panels: usize) -> Installation {
    let mut rng = Random::seeded(seed);
    let mut site = if rng.below(4) == 0 {
        two_inputs(seed, n_panels)
    } else {
        random_site(&mut rng, n_panels)
    };
    let nominal = site.controllers[0].battery().expect("they charge batteries");
    let like = random_site(&mut rng, 1).controllers.swap_remove(0);
    let Output::Battery(bank) = like.output else { unreachable!("they charge batteries") };
    let most = [4.0, 8.0, 15.0, 30.0][rng.below(4)];
    let output = Output::Battery(BatteryBank { nominal, charge_limit: Some(Amps(most)), ..bank });
    let of = 1 + rng.below(2);
    let n_inputs = if of == 1 { 1 + rng.below(2) } else { 1 };
    for unit in 1..=of {
        let spare = Some(SpareUnit { sort: "spare".to_owned(), unit, of, price: None });
        let id = format!("spare {unit}");
        let controller = site.controllers.len();
        site.controllers.push(Controller { id, output, n_inputs, spare, ..like.clone() });
        for input in 1..=n_inputs {
            let at = InputRef { controller, input };
            site.installed.push(InputWiring { at, array: Default::default() });
        }
    }
    // Of a window that the battery's voltage fits.
    for controller in &mut site.controllers {
        if let Some((low, high)) = controller.window {
            controller.window = Some((low.min(high * 0.8), high));
        }
    }
    limited(&mut site, &mut rng);
    site
}

/// Sometimes with a limit on the battery, which sometimes binds.
fn limited(site: &mut Installation, rng: &mut Random) {
    let Some(nominal) = site.limited_battery() else { return };
    let installed = site.installed.iter().flat_map(|w| w.array.panels());
    let spare = site.spares.iter().flat_map(|s| std::iter::repeat_n(s.kind, s.count));
    let watts: f64 = installed.chain(spare).map(|k| site.kind(k).label.p_mp.watts()).sum();
    if rng.below(2) == 0 {
        let share = rng.between(0.4, 1.0);
        site.site.battery_charge = Some(Amps(share * watts / nominal.volts()));
    }
}

/// Best charged watts of one input for every set of panels on it and every current that it pushes.
type Choices = BTreeMap<(Vec<usize>, u64), f64>;

fn choices_of(site: &Installation, input: usize, touch: Touch) -> Choices {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let evaluator = Evaluator::new(site, &catalog);
    let n_kinds = site.kinds.len();
    let standing = &site.installed[input];
    let controller = site.controller(standing.at);
    let nominal = controller.battery().expect("they charge batteries");
    let inventory = inventory(site, standing.at, touch);
    let strings = if touch == Touch::Free { &[][..] } else { &standing.array.strings[..] };
    let entry = if site.is_spare(standing.at) { CONTROLLER } else { 0.0 };
    let most = controller.clip_limit().map_or(f64::INFINITY, |p| MOST_OF_OUTPUT * p.watts());
    let mut best = Choices::new();
    if strings.is_empty() {
        best.insert((vec![0; n_kinds], 0), 0.0);
    }
    for array in wirings_of_any(&inventory, LoneBlocks::Kept) {
        if !in_search_space(&array, site) || !keeps_touch(&array, strings, touch) {
            continue;
        }
        let label: f64 = array.panels().map(|k| site.kind(k).label.p_mp.watts()).sum();
        if entry > 0.0 && label > most {
            continue;
        }
        let wiring = InputWiring { at: standing.at, array };
        if evaluator.checks(&wiring).iter().any(|c| c.outcome == Outcome::Breach) {
            continue;
        }
        let charges: f64 = wiring.array.panels().map(|k| charge(site.kind(k))).sum();
        // The charge on a spare controller is that of its first input.
        let entry = if standing.at.input == 1 { entry } else { 0.0 };
        // Watts beyond an output of one input count half, where spare controllers can be used.
        let output = controller.clip_limit().filter(|_| controller.n_inputs == 1);
        let output = output.filter(|_| site.weighs_outputs());
        let beyond = output.map_or(0.0, |most| 0.5 * (label - most.watts()).max(0.0));
        let worth = evaluator.watts(&wiring).watts() - charges - entry - beyond;
        let pushed = if site.charges_limited_battery(standing.at.controller) {
            charging_current(&wiring.array, controller, nominal, &site.kinds).amps()
        } else {
            0.0
        };
        let key = (wiring.array.count_by_kind(n_kinds), pushed.to_bits());
        let value: &mut f64 = best.entry(key).or_insert(f64::NEG_INFINITY);
        *value = value.max(worth);
    }
    best
}

/// The best of all ways to share the panels out, and whether any of them is allowed.
fn try_all(site: &Installation, touch: Touch) -> Option<f64> {
    let mut stock = vec![0; site.kinds.len()];
    site.installed.iter().flat_map(|w| w.array.panels()).for_each(|k| stock[k.0] += 1);
    site.spares.iter().for_each(|s| stock[s.kind.0] += s.count);
    let choices: Vec<Choices> =
        (0..site.installed.len()).map(|input| choices_of(site, input, touch)).collect();
    let mut pushed = vec![0.0; site.controllers.len()];
    share(site, &choices, 0, &stock, &mut pushed, true)
}

fn share(
    site: &Installation,
    choices: &[Choices],
    input: usize,
    stock: &[usize],
    pushed: &mut [f64],
    first_used: bool,
) -> Option<f64> {
    let Some(own) = choices.get(input) else {
        let flows =
            site.controllers.iter().zip(pushed).map(|(c, pushed)| {
                c.charge_limit().map_or(*pushed, |most| most.amps().min(*pushed))
            });
        let flow: f64 = flows.sum();
        let kept = site.site.battery_charge.is_none_or(|limit| flow <= limit.amps() + 1e-9);
        return kept.then_some(0.0);
    };
    let at = site.installed[input].at;
    let mut best: Option<f64> = None;
    for ((counts, amps), value) in own {
        let used = counts.iter().any(|n| *n > 0);
        let fits = counts.iter().zip(stock).all(|(n, left)| n <= left);
        // Inputs of one spare controller are alike: the first is used first.
        let skips = site.is_spare(at) && at.input > 1 && used && !first_used;
        if !fits || skips {
            continue;
        }
        let left: Vec<usize> = stock.iter().zip(counts).map(|(left, n)| left - n).collect();
        let amps = f64::from_bits(*amps);
        pushed[at.controller] += amps;
        if let Some(rest) = share(site, choices, input + 1, &left, pushed, used) {
            best = Some(best.map_or(value + rest, |b| b.max(value + rest)));
        }
        pushed[at.controller] -= amps;
    }
    best
}

fn options(touch: Touch) -> Options {
    let effort = Effort { proof: PROOF, ..Effort::default() };
    Options { touch: vec![touch], rule: Rule::Curve, effort, ..Options::default() }
}

/// One site, one level of touch; whether a spare controller is used, and whether the battery binds.
fn compare(site: &Installation, touch: Touch, case: &str) -> (bool, bool) {
    let best = try_all(site, touch);
    let plans = plan_only(site, &options(touch));
    let plans = plans.unwrap_or_else(|failure| panic!("{case}: {failure:?}"));
    match (best, plans.first()) {
        (None, None) => (false, false),
        (None, Some(plan)) => panic!("{case}: a plan where none exists: {plan:#?}"),
        (Some(best), None) => {
            assert!(best <= 0.0, "{case}: missed {best:.3} W");
            (false, false)
        }
        (Some(best), Some(plan)) => {
            let found = plan.charged.watts();
            let off = if best <= 0.0 && found <= best { 0.0 } else { (found - best).abs() };
            assert!(
                off <= EQUAL * best.abs().max(1.0) + 1e-6,
                "{case}: found {found:.4} W, best {best:.4} W: {:#?} of {site:#?}",
                plan.state.inputs
            );
            let used = plan.state.inputs.iter().filter(|i| site.is_spare(i.at));
            let used = used.clone().any(|i| !i.strings.is_empty());
            let check = plan.state.checks.iter().find(|c| c.rule == CheckRule::BatteryCharge);
            let near = |c: &sungraft::plan::Check| {
                c.value.zip(c.limit).is_some_and(|(value, limit)| value > 0.7 * limit)
            };
            (used, check.is_some_and(near))
        }
    }
}

#[test]
fn spare_controllers_are_used_where_trying_everything_uses_them() {
    let (mut used, mut near) = (0, 0);
    for seed in 0..120 {
        let n_panels = 2 + (seed as usize) % 4;
        let site = with_spares(seed, n_panels);
        let (uses, binds) =
            compare(&site, Touch::Free, &format!("seed {seed}, {n_panels} panels, free"));
        used += usize::from(uses);
        near += usize::from(binds);
    }
    assert!(used >= 15 && near >= 10, "{used} spare controllers used, {near} limits near");
}

#[test]
fn spare_controllers_carry_new_strings_where_nothing_may_be_touched() {
    let mut used = 0;
    for seed in 1000..1040 {
        for touch in [Touch::None, Touch::Extend] {
            let site = with_spares(seed, 2 + (seed as usize) % 3);
            let (uses, _) = compare(&site, touch, &format!("seed {seed}, {touch:?}"));
            used += usize::from(uses);
        }
    }
    assert!(used >= 10, "{used} spare controllers used");
}

#[test]
fn two_controllers_on_one_battery_keep_its_limit_as_trying_everything_does() {
    let mut near = 0;
    for seed in 2000..2100 {
        let mut site = two_inputs(seed, 2 + (seed as usize) % 4);
        // The second controller charges the same battery; both have limits that sometimes bind.
        let nominal = site.controllers[0].battery().expect("they charge batteries");
        let mut rng = Random::seeded(seed);
        for controller in &mut site.controllers {
            let Output::Battery(bank) = controller.output else { continue };
            let most = [5.0, 10.0, 30.0][rng.below(3)];
            let charge_limit = Some(Amps(most));
            controller.output = Output::Battery(BatteryBank { nominal, charge_limit, ..bank });
        }
        limited(&mut site, &mut rng);
        let (_, binds) = compare(&site, Touch::Free, &format!("seed {seed}, one battery"));
        near += usize::from(binds);
    }
    assert!(near >= 10, "{near} limits near");
}

#[test]
fn one_input_keeps_the_battery_s_limit_by_itself() {
    let mut near = 0;
    for seed in 3000..3060 {
        let mut rng = Random::seeded(seed);
        let mut site = random_site(&mut rng, 2 + (seed as usize) % 4);
        limited(&mut site, &mut rng);
        let (_, binds) = compare(&site, Touch::Free, &format!("seed {seed}, one input"));
        near += usize::from(binds);
    }
    assert!(near >= 10, "{near} limits near");
}

#[test]
fn a_spare_controller_adds_what_trying_everything_loses_without_it() {
    let mut held = 0;
    for seed in 4000..4030 {
        let site = with_spares(seed, 3 + (seed as usize) % 3);
        let advice = advise(&site, &options(Touch::Free)).expect("audited");
        let answer = advice.controllers.first().expect("one sort");
        assert_eq!(advice.controllers.len(), 1);
        let Some(best) = advice.best.filter(|_| answer.used > 0) else {
            let idle = [Verdict::AddsNothing, Verdict::Breaches];
            assert!(idle.contains(&answer.verdict), "seed {seed}: {:?}", answer.verdict);
            assert!(!answer.because.is_empty(), "seed {seed}: no reason");
            continue;
        };
        let with = advice.plans[best].charged.watts();
        // The same with no place for a string on any of them.
        let mut closed = site.clone();
        closed
            .controllers
            .iter_mut()
            .filter(|c| c.spare.is_some())
            .for_each(|c| c.string_ports = 0);
        let without = try_all(&closed, Touch::Free).unwrap_or(0.0);
        let gain = with - without;
        if advice.plans[best].state.clipped().is_none() {
            // What comes out without them is no more than what their panels give then.
            let charges: f64 = site.kinds.iter().map(charge).sum::<f64>() * 5.0;
            let least = gain - charges - 2e-3 * with.abs();
            assert!(answer.adds.watts() >= least, "seed {seed}: {:?} of {gain:.2} W", answer.adds);
        }
        assert!(gain > -1e-3 * with.abs() - 1e-6, "seed {seed}: used, but worth nothing");
        held += 1;
    }
    assert!(held >= 4, "{held} used");
}
