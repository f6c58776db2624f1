//! The audit passes what the evaluator says, and catches what is wrong.

use sungraft::model::{InputWiring, Installation, Output};
use sungraft::plan::{
    AuditError, AuditTerms, Bound, CheckRule, Evaluator, Outcome, Plan, Rule, Touch, audit,
    audit_with, fewest_joints,
};
use sungraft::units::{Amps, Volts, Watts};

use crate::build::{
    P50, P100, P200, P250, Strings, fit, input, invented_panels, mppt, pwm, site, with_stock,
};

/// A plan as an honest planner would make it.
fn plan_of(site: &Installation, wiring: &[InputWiring], touch: Touch) -> Plan {
    let catalog = fit(site);
    let evaluator = Evaluator::new(site, &catalog);
    let state = evaluator.state(wiring);
    let charge: f64 = wiring
        .iter()
        .flat_map(|w| w.array.panels())
        .map(|k| (0.02 * site.kind(k).label.p_mp.watts()).max(1.0))
        .sum();
    let watts = state.watts();
    Plan {
        touch,
        added: watts - evaluator.state(&site.installed).watts(),
        charged: watts - Watts(charge),
        bound: Bound { watts: watts * 1.0005, gap: 0.0005, proven: true },
        joints: fewest_joints(&site.installed, wiring).joints,
        state,
        energy: None,
    }
}

fn judge(site: &Installation, plan: &Plan) -> Result<(), AuditError> {
    audit(site, &fit(site), plan, &site.installed)
}

#[track_caller]
fn caught(result: Result<(), AuditError>, words: &[&str]) {
    let said = result.expect_err("the audit must catch this").to_string();
    for word in words {
        assert!(said.contains(word), "`{word}` is not in: {said}");
    }
}

/// Two P100 in series installed; one of each other panel, and one more P100, spare.
fn shed() -> Installation {
    with_stock(
        site(invented_panels(), mppt()),
        &[&[&[P100], &[P100]]],
        &[(P50, 1), (P100, 1), (P200, 1), (P250, 1)],
    )
}

#[test]
fn honest_plans_pass_at_every_touch_level() {
    let site = shed();
    let cases: [(Touch, Strings); 6] = [
        (Touch::None, &[&[&[P100], &[P100]]]),
        (Touch::None, &[&[&[P100], &[P100]], &[&[P250]]]),
        (Touch::Extend, &[&[&[P100], &[P100], &[P100]]]),
        (Touch::Extend, &[&[&[P100], &[P50, P100]], &[&[P250]]]),
        (Touch::Free, &[&[&[P100, P50], &[P250]]]),
        (Touch::Free, &[&[&[P200]], &[&[P50]], &[&[P250]]]),
    ];
    for (touch, strings) in cases {
        let plan = plan_of(&site, &[input(strings)], touch);
        judge(&site, &plan).unwrap_or_else(|e| panic!("{strings:?}: {e}"));
    }
}

#[test]
fn honest_plans_pass_with_pwm_blocking_diodes_and_a_narrow_window() {
    let strings: Strings = &[&[&[P50]], &[&[P100]], &[&[P100]]];
    let mut small =
        with_stock(site(invented_panels(), pwm(14.0)), &[&[&[P100]]], &[(P50, 1), (P100, 1)]);
    judge(&small, &plan_of(&small, &[input(strings)], Touch::None)).expect("pwm");
    small.controllers[0] = mppt();
    small.controllers[0].blocking_diodes = true;
    judge(&small, &plan_of(&small, &[input(strings)], Touch::None)).expect("blocking diodes");
    let mut narrow = shed();
    narrow.controllers[0].window = Some((Volts(32.0), Volts(34.0)));
    narrow.site.hottest = sungraft::units::Celsius(10.0);
    let plan = plan_of(&narrow, &[input(&[&[&[P100], &[P100]]])], Touch::None);
    judge(&narrow, &plan).expect("held at the edge of the window");
}

#[test]
fn a_wrong_watts_figure_is_caught_with_both_numbers() {
    let site = shed();
    let mut plan = plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P250]]])], Touch::None);
    let wrong = &mut plan.state.inputs[0];
    wrong.power = wrong.power * 1.002;
    caught(judge(&site, &plan), &["power of input 1 of shed", "432.1", "431.2"]);
    // Watts and amps wrong together still disagree with the diode equation.
    let wrong = &mut plan.state.inputs[0];
    wrong.i = wrong.i * 1.002;
    caught(judge(&site, &plan), &["operating power of input 1 of shed"]);
}

#[test]
fn a_wrong_operating_point_is_caught() {
    let site = shed();
    let wiring = input(&[&[&[P100], &[P100]], &[&[P250]]]);
    let mut plan = plan_of(&site, std::slice::from_ref(&wiring), Touch::None);
    // A true point of the curve, one volt beside the best.
    let mut elsewhere = site.clone();
    let v = plan.state.inputs[0].v + Volts(1.0);
    elsewhere.controllers[0].window = Some((v, v));
    let catalog = fit(&elsewhere);
    plan.state.inputs[0] = Evaluator::new(&elsewhere, &catalog).input_state(&wiring);
    caught(judge(&site, &plan), &["largest power of input 1 of shed", "431.2"]);
}

#[test]
fn the_lower_of_two_peaks_is_caught() {
    let site = shed();
    let wiring = input(&[&[&[P100], &[P250]]]);
    let mut plan = plan_of(&site, std::slice::from_ref(&wiring), Touch::Free);
    let mut low = site.clone();
    low.controllers[0].window = Some((Volts(15.0), Volts(35.0)));
    let catalog = fit(&low);
    plan.state.inputs[0] = Evaluator::new(&low, &catalog).input_state(&wiring);
    caught(judge(&site, &plan), &["largest power", "241.9", "294.4"]);
}

#[test]
fn an_operating_point_outside_the_window_is_caught() {
    let mut site = shed();
    let plan = plan_of(&site, &[input(&[&[&[P100], &[P100]]])], Touch::None);
    site.controllers[0].window = Some((Volts(15.0), Volts(34.0)));
    caught(judge(&site, &plan), &["outside 15.000 to 34.000 V"]);
}

#[test]
fn a_panel_used_twice_is_caught() {
    let site = shed();
    let plan =
        plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P250]], &[&[P250]]])], Touch::None);
    caught(judge(&site, &plan), &["2 panels of P250", "0 installed and 1 spare"]);
}

#[test]
fn a_breach_is_caught_even_if_the_plan_calls_it_a_pass() {
    let mut site = shed();
    site.controllers[0].max_pv = Volts(70.0);
    let mut plan = plan_of(&site, &[input(&[&[&[P100], &[P100], &[P100]]])], Touch::Extend);
    caught(judge(&site, &plan), &["`cold_voc`", "74.393 V against 70.000 V", "string 1"]);
    for check in &mut plan.state.checks {
        check.outcome = Outcome::Pass;
    }
    caught(judge(&site, &plan), &["`cold_voc`", "breached"]);
}

#[test]
fn a_breach_of_every_rule_is_caught() {
    type Spoil = fn(&mut Installation);
    let spoils: [(&str, Spoil); 8] = [
        ("cold_voc", |s| s.controllers[0].max_pv = Volts(45.0)),
        ("system_voltage", |s| s.kinds[P250].max_system = Some(Volts(40.0))),
        ("hot_window", |s| s.controllers[0].window = Some((Volts(33.0), Volts(90.0)))),
        ("start_voltage", |s| {
            s.controllers[0].output = Output::Converter { start: Some(Volts(36.0)), max_out: None };
        }),
        ("input_current", |s| s.controllers[0].max_pv_current = Some(Amps(25.0))),
        ("input_power", |s| s.controllers[0].max_pv_power = Some(Watts(500.0))),
        ("string_ports", |s| s.controllers[0].string_ports = 2),
        ("fault_reverse_current", |s| s.kinds[P250].max_fuse = Some(Amps(9.0))),
    ];
    let strings: Strings = &[&[&[P100], &[P100]], &[&[P250]], &[&[P50, P100]]];
    let sound = shed();
    judge(&sound, &plan_of(&sound, &[input(strings)], Touch::None)).expect("sound as it is");
    for (rule, spoil) in spoils {
        let mut site = shed();
        spoil(&mut site);
        let mut plan = plan_of(&site, &[input(strings)], Touch::None);
        // Whatever the plan's own checks say.
        plan.state.checks.iter_mut().for_each(|c| c.outcome = Outcome::Pass);
        caught(judge(&site, &plan), &[rule, "breached"]);
    }
}

#[test]
fn an_idle_current_above_a_rating_is_caught() {
    // P50 ∥ P250: 8.61 A at full sun into the P50 (independent model).
    let mut site = with_stock(site(invented_panels(), mppt()), &[&[&[P250]]], &[(P50, 1)]);
    site.kinds[P50].max_fuse = Some(Amps(8.5));
    // A fault feeds 1.25 × 8.71 = 10.9 A: with a rating of 8.5 A a fuse of 5 A keeps it.
    let mut plan = plan_of(&site, &[input(&[&[&[P50]], &[&[P250]]])], Touch::None);
    plan.state.checks.iter_mut().for_each(|c| c.outcome = Outcome::Pass);
    caught(judge(&site, &plan), &["idle_reverse_current", "string 1", "8.500 A"]);
}

#[test]
fn a_wrong_figure_in_a_check_is_caught() {
    let strings: Strings = &[&[&[P100], &[P100]], &[&[P250]]];
    let site = shed();
    let honest = plan_of(&site, &[input(strings)], Touch::None);
    for rule in [
        CheckRule::ColdVoc,
        CheckRule::SystemVoltage,
        CheckRule::HotWindow,
        CheckRule::StartVoltage,
        CheckRule::InputCurrent,
        CheckRule::StringPorts,
        CheckRule::IdleReverseCurrent,
        CheckRule::FaultReverseCurrent,
    ] {
        let mut plan = honest.clone();
        let check = plan.state.checks.iter_mut().find(|c| c.rule == rule).expect("checked");
        check.value = check.value.map(|v| 0.9 * v);
        caught(judge(&site, &plan), &[rule.name(), "the plan says"]);
        let mut plan = honest.clone();
        plan.state.checks.retain(|c| c.rule != rule);
        caught(judge(&site, &plan), &[rule.name(), "not at all"]);
    }
}

#[test]
fn a_missing_rating_that_passes_is_caught() {
    let mut site = shed();
    site.kinds[P250].max_fuse = None;
    let mut plan = plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P250]]])], Touch::None);
    judge(&site, &plan).expect("unknown is said to be unknown");
    for check in &mut plan.state.checks {
        check.outcome = Outcome::Pass;
    }
    caught(judge(&site, &plan), &["lacks a label figure", "`pass`"]);
}

#[test]
fn a_broken_touch_level_is_caught() {
    let site = shed();
    let cases: [(Touch, Strings); 5] = [
        (Touch::None, &[&[&[P100], &[P100], &[P100]]]),
        (Touch::None, &[&[&[P250]]]),
        (Touch::Extend, &[&[&[P100]], &[&[P100]]]),
        (Touch::Extend, &[&[&[P100, P100]]]),
        (Touch::Extend, &[&[&[P250], &[P100, P50]]]),
    ];
    for (touch, strings) in cases {
        let plan = plan_of(&site, &[input(strings)], touch);
        caught(judge(&site, &plan), &["0 of 1 installed strings", touch.name()]);
        let mut free = plan;
        free.touch = Touch::Free;
        judge(&site, &free).expect("free may do this");
    }
}

#[test]
fn two_installed_strings_need_two_strings_to_stay_in() {
    let site = with_stock(site(invented_panels(), mppt()), &[&[&[P100]], &[&[P100]]], &[(P100, 2)]);
    let plan = plan_of(&site, &[input(&[&[&[P100], &[P100]]])], Touch::Extend);
    caught(judge(&site, &plan), &["1 of 2 installed strings"]);
    let plan = plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P100], &[P100]]])], Touch::Extend);
    judge(&site, &plan).expect("each is lengthened");
}

#[test]
fn oversize_and_uneven_blocks_are_caught_unless_they_stand_today() {
    let site_of = |installed: Strings| {
        with_stock(site(invented_panels(), mppt()), installed, &[(P100, 3), (P250, 1)])
    };
    let oversize: Strings = &[&[&[P100, P100, P100]]];
    let bare = site_of(&[]);
    let plan = plan_of(&bare, &[input(oversize)], Touch::Free);
    caught(judge(&bare, &plan), &["a block of 3 panels", "where 2 are allowed"]);
    let standing = site_of(oversize);
    let plan = plan_of(&standing, &[input(oversize)], Touch::None);
    judge(&standing, &plan).expect("it stands today");
    let twice = plan_of(&standing, &[input(&[oversize[0], oversize[0]])], Touch::None);
    caught(judge(&standing, &twice), &["a block of 3 panels"]);
    let plan = plan_of(&bare, &[input(&[&[&[P100, P250]]])], Touch::Free);
    caught(judge(&bare, &plan), &["22.3 V and 37.6 V", "15 %"]);
}

#[test]
fn sums_that_do_not_add_up_are_caught() {
    let site = shed();
    let honest = plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P250]]])], Touch::None);
    type Spoil = fn(&mut Plan);
    let spoils: [(&str, Spoil); 8] = [
        ("watts added", |p| p.added += Watts(1.0)),
        ("charged watts", |p| p.charged += Watts(0.1)),
        ("no wiring is said to give more", |p| p.bound.watts = Watts(400.0)),
        ("label watts of input 1", |p| p.state.inputs[0].label += Watts(1.0)),
        ("nameplate watts of input 1", |p| p.state.inputs[0].nameplate += Watts(1.0)),
        ("clipped watts", |p| p.state.inputs[0].clipped = Some(Watts(100.0))),
        ("own maximum of string 2", |p| p.state.inputs[0].strings[1].own_maximum += Watts(1.0)),
        ("cold voltage of string 1", |p| p.state.inputs[0].strings[0].cold_v_oc += Volts(0.1)),
    ];
    for (words, spoil) in spoils {
        let mut plan = honest.clone();
        spoil(&mut plan);
        caught(judge(&site, &plan), &[words]);
    }
}

#[test]
fn a_plan_by_the_nameplate_rule_is_charged_on_its_own_watts() {
    let site = shed();
    let mut plan = plan_of(&site, &[input(&[&[&[P100], &[P100]], &[&[P250]]])], Touch::None);
    let difference = plan.state.nameplate() - plan.state.watts();
    plan.charged += difference;
    plan.bound.watts += difference;
    caught(judge(&site, &plan), &["charged watts"]);
    let terms = AuditTerms { rule: Rule::Nameplate, ..AuditTerms::default() };
    audit_with(&site, &fit(&site), &plan, &site.installed, &terms).expect("by its own rule");
}

#[test]
fn inputs_that_were_not_planned_must_stand_as_today() {
    let mut site = shed();
    site.controllers[0].n_inputs = 2;
    let second = |strings: Strings| {
        let mut wiring = input(strings);
        wiring.at.input = 2;
        wiring
    };
    // The second input breaches today: a finding about today, no fault of a plan for the first.
    site.installed.push(second(&[&[&[P250]]]));
    site.kinds[P250].max_system = Some(Volts(40.0));
    let first = input(&[&[&[P100], &[P100], &[P100]]]);
    let plan = plan_of(&site, &[first.clone(), second(&[&[&[P250]]])], Touch::Extend);
    caught(judge(&site, &plan), &["system_voltage", "input 2 of shed"]);
    let terms = AuditTerms { planned: Some(first.at), ..AuditTerms::default() };
    audit_with(&site, &fit(&site), &plan, &site.installed, &terms).expect("it stands as today");
    let plan = plan_of(&site, &[first, second(&[])], Touch::Free);
    caught(
        audit_with(&site, &fit(&site), &plan, &site.installed, &terms),
        &["input 2 of shed was not planned"],
    );
}
