//! Every wiring of every way to put the spares on the planes.

use std::collections::BTreeMap;

use sungraft::electrical::Catalog;
use sungraft::model::{InputWiring, Installation, KindIdx};
use sungraft::plan::{Evaluator, Outcome, Rule, Touch, TouchAnswer};
use sungraft::planner::{Options, advise, plan_only};

use crate::random::Random;
use crate::site::at_random;
use crate::sites::{charge, in_search_space, keeps_touch, random_site};
use crate::wirings::{LoneBlocks, wirings_of_any};

/// Proof gap of the optimiser.
const PROOF: f64 = 1e-3;

/// Every choice of a plane for every spare, as the kinds that they become.
pub(crate) fn ways_to_put_up(site: &Installation) -> Vec<Vec<usize>> {
    let mut ways: Vec<Vec<usize>> = vec![Vec::new()];
    for spare in &site.spares {
        for _ in 0..spare.count {
            let longer = ways.iter().flat_map(|way| {
                spare.places.iter().map(|k| {
                    let mut way = way.clone();
                    way.push(k.0);
                    way.sort_unstable();
                    way
                })
            });
            ways = longer.collect();
        }
    }
    ways.sort();
    ways.dedup();
    ways
}

/// Panels of each kind that stand today.
pub(crate) fn standing(site: &Installation) -> Vec<usize> {
    let mut counts = vec![0; site.kinds.len()];
    site.installed.iter().flat_map(|w| w.array.panels()).for_each(|k| counts[k.0] += 1);
    counts
}

/// Are there so many spares of each label, and so much room on each plane? What stands stays there.
pub(crate) fn can_be_put_up(site: &Installation, counts: &[usize]) -> bool {
    let own = standing(site);
    let more = |k: usize| counts[k].saturating_sub(own[k]);
    let of_label = site.labels().into_iter().all(|kinds| {
        let spares: usize =
            site.spares.iter().filter(|s| kinds.contains(&s.kind)).map(|s| s.count).sum();
        kinds.iter().map(|k| more(k.0)).sum::<usize>() <= spares
    });
    let room = site.site.sun.planes.iter().enumerate().all(|(p, plane)| {
        let here = (0..counts.len()).filter(|k| {
            site.kind(KindIdx(*k)).placed.as_ref().is_some_and(|placed| placed.plane.0 == p)
        });
        plane.room.is_none_or(|room| here.map(more).sum::<usize>() <= room)
    });
    of_label && room
}

/// Highest charged value of one input for every set of panels on it.
fn best_by_counts(
    site: &Installation,
    input: usize,
    touch: Touch,
    charged: impl Fn(&Evaluator, &InputWiring) -> f64,
) -> BTreeMap<Vec<usize>, f64> {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let evaluator = Evaluator::new(site, &catalog);
    let stands = &site.installed[input];
    let movable = site.installed.iter().filter(|w| touch == Touch::Free || w.at == stands.at);
    let own: Vec<usize> = movable.flat_map(|w| w.array.panels()).map(|k| k.0).collect();
    let strings = if touch == Touch::Free { &[][..] } else { &stands.array.strings[..] };
    let mut best = BTreeMap::new();
    if strings.is_empty() {
        best.insert(vec![0; site.kinds.len()], 0.0);
    }
    for way in ways_to_put_up(site) {
        let inventory: Vec<usize> = own.iter().copied().chain(way).collect();
        for array in wirings_of_any(&inventory, LoneBlocks::Kept) {
            if !in_search_space(&array, site) || !keeps_touch(&array, strings, touch) {
                continue;
            }
            let counts = array.count_by_kind(site.kinds.len());
            let wiring = InputWiring { at: stands.at, array };
            let here = charged(&evaluator, &wiring);
            let value: &mut f64 = best.entry(counts).or_insert(f64::NEG_INFINITY);
            let kept = || !evaluator.checks(&wiring).iter().any(|c| c.outcome == Outcome::Breach);
            if here > *value && kept() {
                *value = here;
            }
        }
    }
    best
}

/// Most charged watts of all.
fn try_all(site: &Installation, touch: Touch, rule: Rule) -> Option<f64> {
    try_all_for(site, touch, |evaluator, wiring| {
        let charges: f64 = wiring.array.panels().map(|k| charge(site.kind(k))).sum();
        let watts = match rule {
            Rule::Curve => evaluator.watts(wiring).watts(),
            Rule::Nameplate => evaluator.input_state(wiring).nameplate.watts(),
        };
        watts - charges
    })
}

/// The highest sum over inputs of some charged value.
pub(crate) fn try_all_for(
    site: &Installation,
    touch: Touch,
    charged: impl Fn(&Evaluator, &InputWiring) -> f64,
) -> Option<f64> {
    let n_kinds = site.kinds.len();
    let own = standing(site);
    let mut sums = BTreeMap::from([(vec![0; n_kinds], 0.0_f64)]);
    for input in 0..site.installed.len() {
        let mut longer: BTreeMap<Vec<usize>, f64> = BTreeMap::new();
        let here = best_by_counts(site, input, touch, &charged);
        for (counts, value) in &sums {
            for (more, other) in &here {
                let all: Vec<usize> = counts.iter().zip(more).map(|(a, b)| a + b).collect();
                let best = longer.entry(all).or_insert(f64::NEG_INFINITY);
                *best = best.max(value + other);
            }
        }
        sums = longer;
    }
    // Panels of one kind are as many as stand and are put up: with two inputs both may want the same.
    let there = |counts: &[usize]| {
        let placed = |k: usize| site.n_spare(KindIdx(k)) + own[k];
        (0..n_kinds).all(|k| counts[k] <= placed(k)) && can_be_put_up(site, counts)
    };
    let best = sums.into_iter().filter(|(counts, _)| there(counts)).map(|(_, value)| value);
    best.filter(|value| value.is_finite()).reduce(f64::max)
}

fn compare(site: &Installation, touch: Touch, rule: Rule, case: &str) {
    let best = try_all(site, touch, rule);
    let options = Options { touch: vec![touch], rule, ..Options::default() };
    let plans = plan_only(site, &options).expect("labels are legal and plans pass the audit");
    match (best, plans.first()) {
        (None, None) => {}
        (None, Some(plan)) => panic!("{case}: a plan where none exists: {plan:#?}"),
        (Some(best), None) => assert!(best <= 1e-6, "{case}: missed {best:.3} W"),
        (Some(best), Some(plan)) => {
            let found = plan.charged.watts();
            // Today's wiring stays where no panel is worth its charge.
            let off = if best <= 0.0 && found <= best { 0.0 } else { (found - best).abs() };
            let slack = PROOF * best.abs().max(1.0) + 1e-6;
            assert!(off <= slack, "{case}: found {found:.4} W, best {best:.4} W: {plan:#?}");
            let charges: f64 = plan
                .state
                .wiring()
                .iter()
                .flat_map(|w| w.array.panels().collect::<Vec<_>>())
                .map(|k| charge(site.kind(k)))
                .sum();
            let bound = plan.bound.watts.watts() - charges;
            assert!(best <= bound + 1e-6, "{case}: {best} above the bound {bound}");
            assert!(plan.bound.proven || best <= 0.0, "{case}: gap {}", plan.bound.gap);
        }
    }
}

fn compare_random(seed: u64, touch: Touch, rule: Rule) {
    let mut rng = Random::seeded(seed);
    let n_panels = 2 + (seed as usize) % 4;
    let site = random_site(&mut rng, n_panels);
    let site = at_random(&mut rng, &site);
    compare(&site, touch, rule, &format!("seed {seed}, {n_panels} panels, {touch:?}, {rule:?}"));
}

#[test]
fn rewiring_freely_on_two_planes_finds_what_trying_everything_finds() {
    for seed in 0..160 {
        compare_random(seed, Touch::Free, Rule::Curve);
    }
}

#[test]
fn so_do_the_other_levels_and_the_rule_of_thumb() {
    for seed in 1000..1040 {
        compare_random(seed, Touch::None, Rule::Curve);
        compare_random(seed, Touch::Extend, Rule::Curve);
        compare_random(seed, Touch::Free, Rule::Nameplate);
    }
}

/// The same site with a second input, which has one of its strings if there are two.
pub(crate) fn with_two_inputs(mut site: Installation) -> Installation {
    site.controllers[0].n_inputs = 2;
    let at = sungraft::model::InputRef { controller: 0, input: 2 };
    let mut there = sungraft::model::ArrayWiring::default();
    if site.installed[0].array.strings.len() > 1 {
        there.strings.extend(site.installed[0].array.strings.pop());
    }
    site.installed.push(InputWiring { at, array: there });
    site
}

/// Two inputs and two planes: any input may have panels of either.
#[test]
fn two_inputs_share_spares_and_room_as_trying_everything_does() {
    for seed in 2000..2040 {
        let mut rng = Random::seeded(seed);
        let n_panels = 2 + (seed as usize) % 3;
        let site = with_two_inputs(random_site(&mut rng, n_panels));
        let site = at_random(&mut rng, &site);
        for touch in [Touch::Free, Touch::Extend] {
            compare(&site, touch, Rule::Curve, &format!("seed {seed}, two inputs, {touch:?}"));
        }
    }
}

/// Verdicts speak of labels: what they count is what the plan puts up.
#[test]
fn the_verdict_on_a_label_counts_its_panels_on_all_planes() {
    for seed in 3000..3030 {
        let mut rng = Random::seeded(seed);
        let site = random_site(&mut rng, 4);
        let site = at_random(&mut rng, &site);
        let options = Options { touch: vec![Touch::Free], ..Options::default() };
        let advice = advise(&site, &options).expect("plans pass the audit");
        let TouchAnswer::Plan(_) = advice.levels[0].1 else { continue };
        let mut wired = vec![0_usize; site.kinds.len()];
        let best = &advice.plans[advice.best.expect("there is a plan")].state;
        for wiring in best.wiring() {
            wiring.array.panels().for_each(|k| wired[k.0] += 1);
        }
        let own = standing(&site);
        assert_eq!(advice.spares.len(), site.spares.len(), "seed {seed}: one verdict a label");
        for (answer, spare) in advice.spares.iter().zip(&site.spares) {
            let more: usize =
                spare.places.iter().map(|k| wired[k.0].saturating_sub(own[k.0])).sum();
            assert_eq!(answer.used, more, "seed {seed}");
        }
    }
}
