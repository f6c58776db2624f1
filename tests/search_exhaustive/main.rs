//! The optimiser against trying every wiring, by this file's own code.
//!
//! For random small inventories, controllers, climates and limits, every wiring (parallel of series
//! of parallel) is evaluated and checked; the best that keeps all limits must be what `advise` finds,
//! at every touch level, by the curves and by the nameplate rule, and never above the bound.
//! `degenerate.rs` does the same with inventories made to be awkward, `nightly.rs` with very many.

#[path = "../support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

mod degenerate;
mod nightly;

use random::Random;
use sites::{Best, charge, random_site, try_all};
use sungraft::model::Installation;
use sungraft::plan::{Plan, Rule, Touch, TouchAnswer};
use sungraft::planner::{Options, advise};

/// Proof gap of the optimiser.
const PROOF: f64 = 1e-3;

fn plan_for(case: &str, site: &Installation, touch: Touch, rule: Rule) -> Option<Plan> {
    let options = Options { touch: vec![touch], rule, ..Options::default() };
    // Labels are legal and plans pass the audit.
    let advice = advise(site, &options).unwrap_or_else(|failure| panic!("{case}: {failure:?}"));
    match &advice.levels[0].1 {
        TouchAnswer::Plan(at) => Some(advice.plans[*at].clone()),
        TouchAnswer::NoPlan(_) => None,
        other => panic!("a single small level is always answered, not {other:?}"),
    }
}

/// What both came to.
struct Compared {
    /// By trying everything; `None` if no wiring keeps the limits.
    best: Option<Best>,
    /// The optimiser's.
    plan: Option<Plan>,
}

impl Compared {
    /// Charged watts by which the optimiser's plan is worse, as a fraction of the best.
    fn worse_by(&self) -> f64 {
        let best = self.best.as_ref().map_or(0.0, |best| best.charged);
        let found = self.plan.as_ref().map_or(best.min(0.0), |plan| plan.charged.watts());
        (best - found) / best.abs().max(1.0)
    }
}

/// Plans and tries everything, and holds the one against the other.
fn compare(case: &str, site: &Installation, touch: Touch, rule: Rule) -> Compared {
    let best = try_all(site, touch, rule);
    let plan = plan_for(case, site, touch, rule);
    match (&best, &plan) {
        (None, None) => {}
        (None, Some(plan)) => panic!("{case}: a plan where none exists: {plan:#?}"),
        (Some(best), None) => {
            // Nothing at all is worth as much as a wiring that is not worth its panels.
            assert!(
                touch == Touch::Free && best.charged <= 1e-9,
                "{case}: missed {:.3} W: {:?}",
                best.charged,
                best.array
            );
        }
        (Some(best), Some(plan)) => {
            let found = plan.charged.watts();
            let slack = PROOF * best.charged.abs().max(1.0) + 1e-6;
            assert!(
                (found - best.charged).abs() <= slack,
                "{case}: found {found:.4} W, best {:.4} W: {:?}",
                best.charged,
                best.array
            );
            let bound = plan.bound.watts.watts() - plan_charge(site, plan);
            assert!(best.charged <= bound + 1e-6, "{case}: {} above {bound}", best.charged);
            assert!(plan.bound.proven, "{case}: not proven, gap {}", plan.bound.gap);
        }
    }
    Compared { best, plan }
}

/// One random inventory.
fn compare_random(seed: u64, n_panels: usize, touch: Touch, rule: Rule) -> Compared {
    let site = random_site(&mut Random::seeded(seed), n_panels);
    compare(&format!("seed {seed}, {n_panels} panels, {touch:?}, {rule:?}"), &site, touch, rule)
}

fn plan_charge(site: &Installation, plan: &Plan) -> f64 {
    plan.state
        .inputs
        .iter()
        .flat_map(|i| &i.strings)
        .flat_map(|s| s.wiring.panels())
        .map(|k| charge(site.kind(k)))
        .sum()
}

#[test]
fn rewiring_freely_finds_what_trying_everything_finds_by_the_curves() {
    for seed in 0..300 {
        compare_random(seed, 1 + (seed as usize) % 5, Touch::Free, Rule::Curve);
    }
}

#[test]
fn rewiring_freely_finds_what_trying_everything_finds_by_the_nameplate_rule() {
    for seed in 1000..1300 {
        compare_random(seed, 1 + (seed as usize) % 5, Touch::Free, Rule::Nameplate);
    }
}

#[test]
fn new_strings_only_finds_what_trying_everything_finds() {
    for seed in 2000..2200 {
        compare_random(seed, 2 + (seed as usize) % 4, Touch::None, Rule::Curve);
    }
}

#[test]
fn lengthening_strings_finds_what_trying_everything_finds() {
    for seed in 3000..3300 {
        compare_random(seed, 2 + (seed as usize) % 4, Touch::Extend, Rule::Curve);
    }
}

/// The audit took a true plan for a wrong one: the end of the window cuts the steep part of today's
/// curve, where the watts of a chord and of the diode equation lie further apart than elsewhere.
#[test]
fn a_plan_is_not_refused_for_the_steep_curve_of_the_array_that_it_replaces() {
    compare_random(500_911, 4, Touch::Free, Rule::Nameplate);
}
