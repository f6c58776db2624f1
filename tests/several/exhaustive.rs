//! Every wiring of every part of the stock on each input, in every combination.

use std::collections::BTreeMap;

use sungraft::electrical::Catalog;
use sungraft::model::{InputRef, InputWiring, Installation};
use sungraft::plan::{Evaluator, Outcome, Rule, Touch, TouchAnswer};
use sungraft::planner::{Options, advise, plan_only};
use sungraft::solve::Effort;

use crate::sites::{charge, in_search_space, keeps_touch};
use crate::two::{plan_charge, two_inputs};
use crate::wirings::{LoneBlocks, wirings_of_any};

/// Near-ties and proof are held to this here, so that what is found is the best within it.
const PROOF: f64 = 2.5e-4;
/// Found and best by trying differ by no more, as a fraction.
const EQUAL: f64 = 5e-4;

/// Kinds of the panels that may stand on an input: its own, the spares, and where all may move those
/// of the others.
pub(crate) fn inventory(site: &Installation, at: InputRef, touch: Touch) -> Vec<usize> {
    let standing = site.installed.iter().filter(|w| touch == Touch::Free || w.at == at);
    let mut inventory: Vec<usize> = standing.flat_map(|w| w.array.panels()).map(|k| k.0).collect();
    for spare in &site.spares {
        inventory.extend(std::iter::repeat_n(spare.kind.0, spare.count));
    }
    inventory
}

/// Best charged watts of one input for every set of panels on it.
fn best_by_counts(
    site: &Installation,
    input: usize,
    touch: Touch,
    rule: Rule,
) -> BTreeMap<Vec<usize>, f64> {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let evaluator = Evaluator::new(site, &catalog);
    let n_kinds = site.kinds.len();
    let standing = &site.installed[input];
    let inventory = inventory(site, standing.at, touch);
    let strings = if touch == Touch::Free { &[][..] } else { &standing.array.strings[..] };
    let mut best = BTreeMap::new();
    if strings.is_empty() {
        best.insert(vec![0; n_kinds], 0.0);
    }
    for array in wirings_of_any(&inventory, LoneBlocks::Kept) {
        if !in_search_space(&array, site) || !keeps_touch(&array, strings, touch) {
            continue;
        }
        let wiring = InputWiring { at: standing.at, array };
        if evaluator.checks(&wiring).iter().any(|c| c.outcome == Outcome::Breach) {
            continue;
        }
        let state = evaluator.input_state(&wiring);
        let watts = match rule {
            Rule::Curve => state.power.watts(),
            Rule::Nameplate => state.nameplate.watts(),
        };
        let charges: f64 = wiring.array.panels().map(|k| charge(site.kind(k))).sum();
        let value: &mut f64 =
            best.entry(wiring.array.count_by_kind(n_kinds)).or_insert(f64::NEG_INFINITY);
        *value = value.max(watts - charges);
    }
    best
}

/// The best of all ways to share the panels out.
fn try_all_together(site: &Installation, touch: Touch, rule: Rule) -> Option<f64> {
    let n_kinds = site.kinds.len();
    let mut stock = vec![0; n_kinds];
    for wiring in &site.installed {
        wiring.array.panels().for_each(|k| stock[k.0] += 1);
    }
    site.spares.iter().for_each(|s| stock[s.kind.0] += s.count);
    let [first, second] = [0, 1].map(|input| best_by_counts(site, input, touch, rule));
    let mut best: Option<f64> = None;
    for (here, value) in &first {
        for (there, other) in &second {
            let fits = (0..n_kinds).all(|k| here[k] + there[k] <= stock[k]);
            if fits {
                best = Some(best.map_or(value + other, |b| b.max(value + other)));
            }
        }
    }
    best
}

fn options(touch: Touch, rule: Rule) -> Options {
    let effort = Effort { proof: PROOF, ..Effort::default() };
    Options { touch: vec![touch], rule, effort, ..Options::default() }
}

/// One site, one level of touch, one arithmetic.
fn compare(seed: u64, n_panels: usize, touch: Touch, rule: Rule) {
    let site = two_inputs(seed, n_panels);
    let best = try_all_together(&site, touch, rule);
    let plans = plan_only(&site, &options(touch, rule)).expect("plans pass the audit");
    let case = format!("seed {seed}, {n_panels} panels, {touch:?}, {rule:?}");
    match (best, plans.first()) {
        (None, None) => {}
        (None, Some(plan)) => panic!("{case}: a plan where none exists: {plan:#?}"),
        (Some(best), None) => {
            // Nothing at all is worth as much as a wiring that is not worth its panels.
            assert!(best <= 0.0, "{case}: missed {best:.3} W");
        }
        (Some(best), Some(plan)) => {
            let found = plan.charged.watts();
            // Today's wiring stays where no panel is worth its charge.
            let off = if best <= 0.0 && found <= best { 0.0 } else { (found - best).abs() };
            assert!(
                off <= EQUAL * best.abs().max(1.0) + 1e-6,
                "{case}: found {found:.4} W, best {best:.4} W: {:#?}",
                plan.state.inputs
            );
            let bound = plan.bound.watts.watts() - plan_charge(&site, plan);
            assert!(best <= bound + 1e-6, "{case}: {best} above the bound {bound}");
            assert!(plan.bound.proven || best <= 0.0, "{case}: gap {}", plan.bound.gap);
        }
    }
}

#[test]
fn rewiring_freely_over_two_inputs_finds_what_trying_everything_finds() {
    for seed in 0..160 {
        compare(seed, 2 + (seed as usize) % 4, Touch::Free, Rule::Curve);
    }
}

#[test]
fn lengthening_strings_on_two_inputs_finds_what_trying_everything_finds() {
    for seed in 1000..1080 {
        compare(seed, 2 + (seed as usize) % 4, Touch::Extend, Rule::Curve);
    }
}

#[test]
fn new_strings_on_two_inputs_find_what_trying_everything_finds() {
    for seed in 2000..2060 {
        compare(seed, 2 + (seed as usize) % 4, Touch::None, Rule::Curve);
    }
}

#[test]
fn the_rule_of_thumb_over_two_inputs_finds_what_trying_everything_finds() {
    for seed in 3000..3060 {
        compare(seed, 2 + (seed as usize) % 4, Touch::Free, Rule::Nameplate);
    }
}

#[test]
fn what_a_spare_kind_adds_is_what_trying_everything_loses_without_it() {
    for seed in 4000..4040 {
        let site = two_inputs(seed, 3 + (seed as usize) % 3);
        let advice = advise(&site, &options(Touch::Free, Rule::Curve)).expect("audited");
        for (idx, answer) in advice.spares.iter().enumerate() {
            assert!(answer.used <= answer.offered);
            let (Some(with), true) = (advice.best, answer.used > 0) else { continue };
            let with = advice.plans[with].charged.watts();
            let mut fewer = site.clone();
            fewer.spares.remove(idx);
            let without = try_all_together(&fewer, Touch::Free, Rule::Curve).unwrap_or(0.0);
            // Watts differ from charged watts by the charges of panels that come and go.
            let charges: f64 = site.kinds.iter().map(charge).sum::<f64>() * 5.0;
            let gain = with - without;
            assert!(
                (answer.adds.watts() - gain).abs() <= charges + 2e-3 * with.abs() + 1e-6,
                "seed {seed}: {} adds {:.2} W, charged {gain:.2} W",
                site.kind(answer.kind).id,
                answer.adds.watts()
            );
            assert!(gain > -1e-3 * with.abs() - 1e-6, "seed {seed}: used, but worth nothing");
        }
        assert!(advice.levels.iter().all(|(_, a)| *a != TouchAnswer::LimitReached));
    }
}
