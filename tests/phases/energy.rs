//! Phases planned for the energy of their years.

use sungraft::input::read_site;
use sungraft::model::Installation;
use sungraft::plan::{Aim, FoilKind, Phased};
use sungraft::planner::{Failure, Options, PhaseOptions, advise, plan_phases};

use super::answers::{bare_phase, canonical, keeps_its_word};
use super::suns::sunny_site;

const SITE: &str = include_str!("../../scenarios/quarry-workshop.yaml");

fn for_year() -> PhaseOptions {
    let plan = Options { aim: Some(Aim::Year), ..Options::default() };
    PhaseOptions { plan, money_worth: None }
}

fn planned(text: &str, options: &PhaseOptions) -> (Installation, Phased) {
    let site = read_site("site.yaml", text.as_bytes()).unwrap_or_else(|e| panic!("{e}")).value;
    let phased = plan_phases(&site, options).expect("passes the audit");
    (site, phased)
}

#[test]
fn one_phase_for_a_year_is_what_advise_plans_for_a_year() {
    let mut n_plans = 0;
    for seed in 0..40 {
        let site = sunny_site(seed, 2 + (seed as usize) % 3);
        let advice = advise(&site, &for_year().plan).expect("labels are legal");
        let phased = Installation { phases: vec![bare_phase("now")], ..site };
        let phased = plan_phases(&phased, &for_year()).expect("labels are legal");
        let Some(best) = advice.best.map(|b| &advice.plans[b]) else {
            assert!(phased.steps.is_empty(), "seed {seed}");
            continue;
        };
        let plan = phased.steps[0].plan();
        assert_eq!(canonical(&plan.state.wiring()), canonical(&best.state.wiring()), "seed {seed}");
        assert_eq!(plan.joints, best.joints, "seed {seed}");
        let proof = best.energy.as_ref().expect("energy was asked for");
        assert_eq!(phased.proof.proven, proof.proven, "seed {seed}");
        let energy = phased.steps[0].energy.expect("the sun is known").kilowatt_hours();
        assert!((energy - proof.brings.energy.kilowatt_hours()).abs() < 1e-6, "seed {seed}");
        n_plans += 1;
    }
    assert!(n_plans > 20, "{n_plans} plans");
}

#[test]
fn the_year_is_what_phases_are_planned_for_where_the_sun_is_known() {
    let (site, phased) = planned(SITE, &PhaseOptions::default());
    assert_eq!(phased.aim, Aim::Year);
    keeps_its_word(&site, &phased, "workshop");
    let (_, by_watts) = planned(
        SITE,
        &PhaseOptions {
            plan: Options { aim: Some(Aim::Watts), ..Options::default() },
            money_worth: None,
        },
    );
    assert_eq!(by_watts.aim, Aim::Watts);
    // What is planned for energy has as much of it as what is planned for watts, and what it is worth
    // is its energy less charges.
    let energy = |p: &Phased| p.totals.energy.expect("the sun is known").kilowatt_hours();
    assert!(energy(&phased) >= 0.999 * energy(&by_watts));
    let (value, bound) = phased.proof.as_energy.expect("energy was sought");
    assert!(value.kilowatt_hours() < energy(&phased) && value <= bound);
    assert!(by_watts.proof.as_energy.is_none());
}

#[test]
fn what_other_ways_and_bad_luck_cost_is_told_in_energy() {
    let (_, phased) = planned(SITE, &for_year());
    let energy = |p: &sungraft::plan::Totals| p.energy.expect("the sun is known").kilowatt_hours();
    let greedy = phased.foils.iter().find(|f| f.kind == FoilKind::Greedy).expect("is there");
    assert!(energy(&greedy.totals) < energy(&phased.totals) - 5_000.0);
    let lost: Vec<f64> = phased
        .cancelled
        .iter()
        .map(|c| c.lost.energy.expect("the sun is known").kilowatt_hours())
        .collect();
    let steps = &phased.steps;
    let kwh = |t: usize| steps[t].energy.expect("the sun is known").kilowatt_hours();
    assert!((lost[1] - steps[2].years * (kwh(2) - kwh(1))).abs() < 1e-6, "{lost:?}");
    assert!(lost[0] > lost[1]);
    let sold_out = phased.sold_out.first().expect("something is bought later");
    assert!(sold_out.lost.is_some_and(|l| l.energy.is_some_and(|e| e.kilowatt_hours() > 0.0)));
}

#[test]
fn without_a_sun_energy_is_not_planned_for() {
    let dark: String = SITE
        .lines()
        .filter(|l| {
            !["sun_kwh", "air_c", "latitude", "tilt", "azimuth"].iter().any(|k| l.contains(k))
        })
        .map(|l| l.to_owned() + "\n")
        .collect();
    let site = read_site("site.yaml", dark.as_bytes()).unwrap_or_else(|e| panic!("{e}")).value;
    assert_eq!(plan_phases(&site, &for_year()).err(), Some(Failure::NoSun));
    let phased = plan_phases(&site, &PhaseOptions::default()).expect("passes the audit");
    assert_eq!(phased.aim, Aim::Watts);
}
