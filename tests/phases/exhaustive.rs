//! Two phases, up to four panels: the plan against every way there is.

use sungraft::plan::Phased;
use sungraft::planner::{Options, PhaseOptions, plan_phases};

use super::every_way::{random_upgrade, try_every_way};
use super::random::Random;

/// A plan this near to the best is the best.
const EQUAL: f64 = 5e-4;

/// How a plan stands to the best of all ways.
#[derive(Debug, PartialEq)]
enum Standing {
    Equal,
    WithinBound,
    /// Neither found a way.
    None,
}

fn compare(seed: u64, n_panels: usize, options: &PhaseOptions) -> Standing {
    let site = random_upgrade(&mut Random::seeded(seed), n_panels);
    let best = try_every_way(&site, options);
    let plan = plan_phases(&site, options).expect("labels are legal and steps pass the audit");
    let case = format!("seed {seed}, {n_panels} panels");
    let Some(best) = best else {
        assert!(plan.steps.is_empty() || nothing_wired(&plan), "{case}: a way where none exists");
        return Standing::None;
    };
    assert!(!plan.steps.is_empty(), "{case}: no way, but {:?} is one", best.wirings);
    let (value, bound) = (plan.proof.value, plan.proof.bound);
    let slack = EQUAL * best.value.abs().max(1.0);
    assert!(value <= best.value + slack, "{case}: {value} is above the best, {}", best.value);
    assert!(
        best.value <= bound + 1e-6 * bound.abs() + 1e-6,
        "{case}: the best, {}, is above the bound {bound}: {:?}",
        best.value,
        best.wirings
    );
    if value >= best.value - slack { Standing::Equal } else { Standing::WithinBound }
}

fn nothing_wired(plan: &Phased) -> bool {
    plan.steps.iter().any(|s| s.plan().state.label().watts() == 0.0)
}

/// The seeds of random upgrades of which the plan is not the best way, and how many have a way.
fn missed(seeds: std::ops::Range<u64>, options: &PhaseOptions) -> (Vec<u64>, usize) {
    let standings: Vec<(u64, Standing)> =
        seeds.map(|seed| (seed, compare(seed, 1 + (seed as usize) % 4, options))).collect();
    let of = |standing: Standing| standings.iter().filter(move |s| s.1 == standing);
    let beyond = of(Standing::WithinBound).map(|s| s.0).collect();
    (beyond, standings.len() - of(Standing::None).count())
}

#[test]
fn two_phases_are_planned_as_trying_every_way_would() {
    let (missed, of) = missed(0..200, &PhaseOptions::default());
    assert!(of >= 100, "only {of} cases");
    assert!(missed.len() * 100 <= of * 2, "{missed:?} of {of}");
}

#[test]
fn joints_are_weighed_as_trying_every_way_would() {
    let plan = Options { joint_worth: Some(6.0), ..Options::default() };
    let (missed, of) = missed(1000..1060, &PhaseOptions { plan, money_worth: None });
    assert!(missed.len() * 100 <= of * 7, "{missed:?} of {of}");
}

#[test]
fn money_is_weighed_as_trying_every_way_would() {
    let options = PhaseOptions { money_worth: Some(1.5), ..PhaseOptions::default() };
    let (missed, of) = missed(2000..2100, &options);
    assert!(missed.len() * 100 <= of * 2, "{missed:?} of {of}");
}
