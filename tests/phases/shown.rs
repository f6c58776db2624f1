//! What the scenario's head says, and what single keys of the file do.

use sungraft::input::read_site;
use sungraft::plan::{Aim, FoilKind, Phased, Prepared, Ware};
use sungraft::planner::{Options, PhaseOptions, plan_phases};

const SITE: &str = include_str!("../../scenarios/quarry-workshop.yaml");

fn planned(site: &str, joint_worth: Option<f64>) -> Phased {
    let read = read_site("site.yaml", site.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    let plan = Options { joint_worth, ..Options::default() };
    let options = PhaseOptions { plan, money_worth: None };
    plan_phases(&read.value, &options).expect("passes the audit")
}

/// Kinds and controllers bought in a phase, by what they are called in the file.
fn bought(phased: &Phased, t: usize) -> Vec<String> {
    let step = &phased.steps[t];
    let name = |ware: &Ware| match ware {
        Ware::Panels(kind) => step.installation.kind(*kind).id.clone(),
        Ware::Controller(id, _) => id.clone(),
    };
    step.bought.iter().map(|b| format!("{} {}", b.count, name(&b.ware))).collect()
}

#[test]
fn taking_each_phase_by_itself_buys_the_other_lot_and_loses() {
    let phased = planned(SITE, None);
    assert_eq!(bought(&phased, 0), ["2 ridge-390"]);
    assert!(phased.proof.gap < 0.015, "{:?}", phased.proof);
    let plan = Options { aim: Some(Aim::Watts), ..Options::default() };
    let by_watts = PhaseOptions { plan, money_worth: None };
    let site = read_site("site.yaml", SITE.as_bytes()).expect("a sound site file").value;
    let by_watts = plan_phases(&site, &by_watts).expect("passes the audit");
    assert_eq!(bought(&by_watts, 0), ["2 ridge-390"]);
    assert!(by_watts.proof.proven, "{:?}", by_watts.proof);
    let foil = |kind: FoilKind| {
        let found = phased.foils.iter().find(|f| f.kind == kind).expect("both are there");
        found.totals.clone()
    };
    let (greedy, at_once) = (foil(FoilKind::Greedy), foil(FoilKind::AtOnce));
    assert!(greedy.money == 160.0, "four quarry-120: {greedy:?}");
    assert!(greedy.watt_years < phased.totals.watt_years - 5_000.0, "{greedy:?}");
    assert!(at_once.watt_years < phased.totals.watt_years - 500.0, "{at_once:?}");
    assert_eq!(at_once.repeated, 0);
}

#[test]
fn with_a_worth_of_joints_the_lot_waits_in_store_and_no_string_is_rewired_twice() {
    let phased = planned(SITE, Some(5.0));
    let ahead = &phased.steps[0].bought[0];
    assert_eq!((ahead.count, ahead.used_in, ahead.last_chance), (2, 1, true));
    assert_eq!((phased.totals.repeated, phased.totals.joints.opened), (0, 0));
    let stored = |p: &Prepared| matches!(p, Prepared::Panels { count: 2, phase: 1, .. });
    assert!(phased.steps[0].prepared.iter().any(stored), "{:?}", phased.steps[0].prepared);
}

#[test]
fn the_larger_controller_comes_in_the_second_phase_in_place_of_the_old_one() {
    let phased = planned(SITE, None);
    assert!(bought(&phased, 1).contains(&"1 bench-large".to_owned()), "{:?}", bought(&phased, 1));
    assert_eq!(phased.steps[0].installation.controllers[0].id, "bench");
    assert_eq!(phased.steps[1].installation.controllers[0].id, "bench-large");
    assert_eq!(phased.steps[1].installation.controllers.len(), 1);
}

#[test]
fn what_later_phases_need_is_prepared() {
    let phased = planned(SITE, None);
    let prepared = &phased.steps[0].prepared;
    assert!(prepared.iter().any(|p| matches!(p, Prepared::Cable { .. })), "{prepared:?}");
}

#[test]
fn without_money_nothing_is_bought() {
    let mut site = SITE.to_owned();
    for budget in ["budget: 190", "budget: 320", "budget: 250"] {
        assert!(site.contains(budget));
        site = site.replacen(budget, "budget: 10", 1);
    }
    let read = read_site("site.yaml", site.as_bytes()).expect("warned of, but sound");
    let low = read.warnings.0.iter().filter(|w| w.code == "W430").count();
    assert_eq!(low, 3, "{}", read.warnings);
    let phased = plan_phases(&read.value, &PhaseOptions::default()).expect("passes the audit");
    assert!(phased.totals.money == 0.0 && phased.totals.joints.total() == 0);
}

#[test]
fn a_phase_in_which_no_joint_may_be_touched_buys_ahead() {
    let from = "    budget: 190\n";
    assert!(SITE.contains(from));
    let phased = planned(&SITE.replacen(from, "    budget: 190\n    joints: 0\n", 1), None);
    assert_eq!(phased.steps[0].plan().joints.total(), 0);
    assert_eq!(bought(&phased, 0), ["2 ridge-390"]);
    assert_eq!(phased.steps[0].bought[0].used_in, 1);
}

#[test]
fn a_kind_that_is_sold_out_later_is_told_with_what_would_fit() {
    let phased = planned(SITE, None);
    let lost = phased.sold_out.iter().find(|s| s.phase == 2).expect("bought in the last phase");
    assert!(lost.lost.is_some_and(|l| l.watt_years > 1000.0), "{lost:?}");
    assert!(!lost.substitutes.is_empty());
    assert_eq!(phased.cancelled.len(), 2);
    assert!(phased.cancelled[0].lost.watt_years > phased.cancelled[1].lost.watt_years);
}

#[test]
fn a_budget_that_carries_over_buys_later_what_was_saved() {
    // Ten short of the controller: what the first phase leaves over makes it up, if it may.
    let short = SITE.replacen("budget: 320", "budget: 285", 1);
    assert!(!bought(&planned(&short, None), 1).contains(&"1 bench-large".to_owned()));
    let carried = short.replacen("    budget: 190\n", "    budget: 200\n    carry: true\n", 1);
    let phased = planned(&carried, None);
    assert!(bought(&phased, 1).contains(&"1 bench-large".to_owned()), "{:?}", bought(&phased, 1));
    let (first, second) = (&phased.steps[0], &phased.steps[1]);
    assert_eq!((first.carried_on, second.carried_in), (Some(10.0), 10.0));
    assert!(second.money > 285.0 && second.carried_on.is_none());
}

#[test]
fn to_carry_over_there_must_be_a_budget() {
    let bad = SITE.replacen("    budget: 190\n", "    carry: true\n", 1);
    let errors = read_site("site.yaml", bad.as_bytes()).expect_err("nothing to carry").to_string();
    assert!(errors.contains("carries over what is left of its `budget`, but has none"), "{errors}");
}
