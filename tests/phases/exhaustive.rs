//! Two phases, up to four panels: the plan against every way there is.

use sungraft::model::Installation;
use sungraft::plan::{Aim, Phased, Touch};
use sungraft::planner::{Options, PhaseOptions, plan_phases};

use super::every_way::{random_upgrade, try_every_way};
use super::random::Random;
use super::suns::shine_on;

/// A plan this near to the best is the best.
const EQUAL: f64 = 5e-4;

/// By how much typical hours and all hours may disagree about one wiring against another.
const HOURS: f64 = 5e-4;

/// What is changed about a random upgrade.
type Change = fn(&mut Installation, &mut Random);

fn as_it_is(_: &mut Installation, _: &mut Random) {}

/// How a plan stands to the best of all ways.
#[derive(Debug, PartialEq)]
enum Standing {
    Equal,
    WithinBound,
    /// Neither found a way.
    None,
}

fn compare(seed: u64, n_panels: usize, options: &PhaseOptions, change: Change) -> Standing {
    let mut rng = Random::seeded(seed);
    let mut site = random_upgrade(&mut rng, n_panels);
    change(&mut site, &mut rng);
    let best = try_every_way(&site, options);
    let plan = plan_phases(&site, options).expect("labels are legal and steps pass the audit");
    let case = format!("seed {seed}, {n_panels} panels");
    let Some(best) = best else {
        assert!(plan.steps.is_empty() || nothing_wired(&plan), "{case}: a way where none exists");
        return Standing::None;
    };
    assert!(!plan.steps.is_empty(), "{case}: no way, but {:?} is one", best.wirings);
    let (value, bound) = match plan.proof.as_energy {
        None => (plan.proof.value, plan.proof.bound),
        Some((value, bound)) => (value.kilowatt_hours(), bound.kilowatt_hours() * (1.0 + HOURS)),
    };
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
fn missed(
    seeds: std::ops::Range<u64>,
    options: &PhaseOptions,
    change: Change,
) -> (Vec<u64>, usize) {
    let standing = |seed: u64| compare(seed, 1 + (seed as usize) % 4, options, change);
    let standings: Vec<(u64, Standing)> = seeds.map(|seed| (seed, standing(seed))).collect();
    let of = |standing: Standing| standings.iter().filter(move |s| s.1 == standing);
    let beyond = of(Standing::WithinBound).map(|s| s.0).collect();
    (beyond, standings.len() - of(Standing::None).count())
}

#[test]
fn two_phases_are_planned_as_trying_every_way_would() {
    let (missed, of) = missed(0..200, &PhaseOptions::default(), as_it_is);
    assert!(of >= 100, "only {of} cases");
    assert!(missed.len() * 100 <= of * 2, "{missed:?} of {of}");
}

#[test]
fn joints_are_weighed_as_trying_every_way_would() {
    let plan = Options { joint_worth: Some(6.0), ..Options::default() };
    let (missed, of) = missed(1000..1060, &PhaseOptions { plan, money_worth: None }, as_it_is);
    assert!(missed.len() * 100 <= of * 7, "{missed:?} of {of}");
}

#[test]
fn money_is_weighed_as_trying_every_way_would() {
    let options = PhaseOptions { money_worth: Some(1.5), ..PhaseOptions::default() };
    let (missed, of) = missed(2000..2100, &options, as_it_is);
    assert!(missed.len() * 100 <= of * 2, "{missed:?} of {of}");
}

#[test]
fn money_carried_over_is_spent_as_trying_every_way_would() {
    let carry = |site: &mut Installation, rng: &mut Random| {
        for phase in &mut site.phases {
            phase.budget = Some(rng.between(0.0, 120.0).round());
        }
        site.phases[0].carry = true;
    };
    let (missed, of) = missed(5000..5120, &PhaseOptions::default(), carry);
    assert!(of >= 60, "only {of} cases");
    assert!(missed.len() * 100 <= of * 2, "{missed:?} of {of}");
}

#[test]
fn energy_is_planned_as_reckoning_the_year_of_every_way_would() {
    let sunny = |site: &mut Installation, rng: &mut Random| shine_on(site, rng, 4);
    let plan = Options { aim: Some(Aim::Year), ..Options::default() };
    let options = PhaseOptions { plan, money_worth: None };
    let (missed, of) = missed(6000..6160, &options, sunny);
    assert!(of >= 100, "only {of} cases");
    assert!(missed.len() * 100 <= of * 4, "{missed:?} of {of}");
}

#[test]
fn strings_that_may_not_be_touched_stay_as_trying_every_way_would_have_it() {
    for (seeds, touch) in [(8000..8080, Touch::None), (8100..8180, Touch::Extend)] {
        let plan = Options { touch: vec![touch], ..Options::default() };
        let options = PhaseOptions { plan, money_worth: None };
        let (missed, of) = missed(seeds, &options, as_it_is);
        assert!(of >= 30, "{touch:?}: only {of} cases");
        assert!(missed.len() * 100 <= of * 5, "{touch:?}: {missed:?} of {of}");
    }
}
