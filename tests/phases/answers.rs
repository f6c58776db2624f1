//! What must hold of every answer.

use sungraft::electrical::Catalog;
use sungraft::model::{InputWiring, Installation, Phase};
use sungraft::plan::{AuditTerms, Outcome, Phased, Ware, audit_with};
use sungraft::planner::{Options, PhaseOptions, advise, plan_phases};

use super::every_way::random_upgrade;
use super::random::Random;
use super::sites::random_site;

pub(crate) fn canonical(wiring: &[InputWiring]) -> Vec<InputWiring> {
    wiring.iter().map(|w| InputWiring { at: w.at, array: w.array.canonical() }).collect()
}

/// A phase with nothing in it.
pub(crate) fn bare_phase(name: &str) -> Phase {
    Phase {
        name: name.to_owned(),
        date: None,
        months: Some(12.0),
        budget: None,
        carry: false,
        spares: Vec::new(),
        controllers: Vec::new(),
        joints: None,
        hours: None,
    }
}

#[test]
fn one_phase_is_what_advise_plans() {
    let mut n_plans = 0;
    for seed in 0..60 {
        let site = random_site(&mut Random::seeded(seed), 2 + (seed as usize) % 4);
        let joint_worth = (seed % 3 == 0).then_some(4.0);
        let options = Options { joint_worth, ..Options::default() };
        let advice = advise(&site, &options).expect("labels are legal");
        let phased = Installation { phases: vec![bare_phase("now")], ..site };
        let options = PhaseOptions { plan: options, money_worth: None };
        let phased = plan_phases(&phased, &options).expect("labels are legal");
        let Some(best) = advice.best.map(|b| &advice.plans[b]) else {
            assert!(phased.steps.is_empty(), "seed {seed}");
            continue;
        };
        let plan = phased.steps[0].plan();
        assert_eq!(canonical(&plan.state.wiring()), canonical(&best.state.wiring()), "seed {seed}");
        assert_eq!(plan.joints, best.joints, "seed {seed}");
        assert!((plan.charged.watts() - best.charged.watts()).abs() < 1e-9, "seed {seed}");
        assert_eq!(phased.proof.proven, best.bound.proven, "seed {seed}");
        n_plans += 1;
    }
    assert!(n_plans > 30, "{n_plans} plans");
}

#[test]
fn one_phase_with_a_budget_that_buys_all_is_as_good_as_what_advise_plans() {
    let mut n_plans = 0;
    for seed in 100..140 {
        let site = random_site(&mut Random::seeded(seed), 2 + (seed as usize) % 4);
        let advice = advise(&site, &Options::default()).expect("labels are legal");
        let Some(best) = advice.best.map(|b| &advice.plans[b]) else { continue };
        // A budget makes the program take the road of several phases.
        let phase = Phase { budget: Some(1e6), ..bare_phase("now") };
        let phased = Installation { phases: vec![phase], ..site };
        let phased = plan_phases(&phased, &PhaseOptions::default()).expect("labels are legal");
        let charged = phased.steps[0].plan().charged.watts();
        let slack = 1.1e-3 * charged.abs().max(1.0);
        assert!((charged - best.charged.watts()).abs() <= slack, "seed {seed}: {charged}");
        n_plans += 1;
    }
    assert!(n_plans > 20, "{n_plans} plans");
}

/// Everything that an answer promises, checked from its data alone.
pub(crate) fn keeps_its_word(site: &Installation, phased: &Phased, case: &str) {
    let mut before = canonical(&site.installed);
    let wired = |wiring: &[InputWiring]| -> Vec<InputWiring> {
        canonical(wiring).into_iter().filter(|w| !w.array.strings.is_empty()).collect()
    };
    let mut spent = 0.0;
    for (step, phase) in phased.steps.iter().zip(&site.phases) {
        let catalog = Catalog::fit(&step.installation.kinds).expect("legal labels");
        let plan = step.plan();
        assert_eq!(
            wired(&step.installation.installed),
            wired(&before),
            "{case}: begins where it ended"
        );
        let today = &step.installation.installed;
        audit_with(&step.installation, &catalog, plan, today, &AuditTerms::default())
            .unwrap_or_else(|e| panic!("{case}: {e:?}"));
        let breached = plan.state.checks.iter().any(|c| c.outcome == Outcome::Breach);
        assert!(!breached, "{case}: a step breaches a limit");
        assert!(
            phase.budget.is_none_or(|b| step.money <= b + step.carried_in + 1e-9),
            "{case}: budget"
        );
        assert!(phase.joints.is_none_or(|n| plan.joints.total() <= n), "{case}: joints");
        assert!(phase.hours.is_none_or(|h| step.hours <= h + 1e-9), "{case}: hours");
        let paid: f64 = step.bought.iter().map(|b| b.each.unwrap_or(0.0) * b.count as f64).sum();
        assert!((paid - step.money).abs() < 1e-6, "{case}: {paid} is not {}", step.money);
        spent += paid;
        before = canonical(&plan.state.wiring());
    }
    assert!((spent - phased.totals.money).abs() < 1e-6, "{case}: the total is the sum");
    let gap = phased.proof.bound - phased.proof.value;
    assert!(gap >= 0.0, "{case}: the bound is below the plan");
}

#[test]
fn every_step_passes_the_audit_and_keeps_its_budget() {
    let mut n_bought = 0;
    for seed in 3000..3080 {
        let site = random_upgrade(&mut Random::seeded(seed), 2 + (seed as usize) % 4);
        let phased = plan_phases(&site, &PhaseOptions::default()).expect("steps pass the audit");
        keeps_its_word(&site, &phased, &format!("seed {seed}"));
        let bought = phased.steps.iter().flat_map(|s| &s.bought);
        n_bought += bought.filter(|b| matches!(b.ware, Ware::Panels(_))).count();
        assert!(phased.totals.idle.is_empty(), "seed {seed}: what was bought stays wired");
    }
    assert!(n_bought > 50, "{n_bought} purchases in all");
}

#[test]
fn limits_on_the_work_of_a_phase_are_kept() {
    let mut n_bound = 0;
    for seed in 4000..4040 {
        let mut site = random_upgrade(&mut Random::seeded(seed), 2 + (seed as usize) % 3);
        let free = plan_phases(&site, &PhaseOptions::default()).expect("steps pass the audit");
        site.phases[0].joints = Some(2);
        site.phases[1].hours = Some(1.6);
        let held = plan_phases(&site, &PhaseOptions::default()).expect("steps pass the audit");
        keeps_its_word(&site, &held, &format!("seed {seed}"));
        if !held.steps.is_empty() && !free.steps.is_empty() {
            n_bound += usize::from(held.proof.value < free.proof.value - 1e-6);
            let slack = 1.1e-3 * free.proof.value.abs();
            assert!(held.proof.value <= free.proof.value + slack, "seed {seed}: a limit helps");
        }
    }
    assert!(n_bound > 5, "{n_bound} upgrades were held back");
}
