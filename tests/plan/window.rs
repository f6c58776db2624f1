//! `hot_window` and `start_voltage`.

use sungraft::electrical::{fit_label, hot_noon};
use sungraft::model::{BatteryBank, Installation, Output};
use sungraft::plan::{CheckRule, Outcome};
use sungraft::units::{Celsius, Volts};

use crate::build::{P100, P250, alike, check, input, invented_panels, kind, mppt, near, pwm, site};

/// P100 with its cells at 65 °C on the hottest noon: 35 °C of air and a NOCT of 44 °C.
fn at_65_degrees(controller: sungraft::model::Controller) -> Installation {
    let mut kinds = invented_panels();
    kinds.iter_mut().for_each(|k| k.noct = Some(Celsius(44.0)));
    site(kinds, controller)
}

#[test]
fn the_hot_noon_of_these_tests_is_65_degrees() {
    let site = at_65_degrees(mppt());
    near(hot_noon(&site.site, &site.kinds[P100]).temp_cell.celsius(), 65.0, 1e-9);
}

#[test]
fn a_window_above_the_hot_maximum_costs_power_and_then_breaches() {
    // P100 at 65 °C: 82.63 W at 14.88 V, Voc 19.21 V (independent model, tests' data).
    let mut site = at_65_degrees(mppt());
    let found = |site: &Installation, lo: f64| {
        let mut site = site.clone();
        site.controllers[0].window = Some((Volts(lo), Volts(100.0)));
        check(&site, &input(&[&[&[P100]]]), CheckRule::HotWindow).expect("always checked")
    };
    near(found(&site, 14.0).value.expect("known"), 100.0, 1e-6);
    assert_eq!(found(&site, 14.0).outcome, Outcome::Pass);
    // The diode equation itself at the edge, beside the curve.
    let label = site.kinds[P100].label;
    let model = fit_label(&label, &sungraft::electrical::Assumed::for_kind(&site.kinds[P100]))
        .expect("a legal label");
    let diode = model.at(hot_noon(&site.site, &site.kinds[P100]));
    let share = |v: f64| {
        100.0 * v * diode.point_at_junction(diode.junction_at_voltage(v)).1 / 82.63019830682632
    };
    for (lo, outcome) in [(15.5, Outcome::Pass), (16.3, Outcome::Caution), (17.0, Outcome::Breach)]
    {
        let found = found(&site, lo);
        near(found.value.expect("known"), share(lo), 0.02);
        assert_eq!(found.outcome, outcome, "{lo} V: {:?}", found.value);
        assert_eq!(found.limit, Some(90.0));
        assert_eq!(found.note.is_empty(), outcome == Outcome::Pass);
    }
    // A string that stands below the window altogether gives nothing.
    assert_eq!(found(&site, 20.0).value, Some(0.0));
    site.kinds[P100].noct = None;
    assert!(found(&site, 17.0).value < Some(90.0), "without NOCT a usual one is assumed");
}

#[test]
fn a_string_longer_than_the_window_is_held_at_its_top() {
    let mut site = at_65_degrees(mppt());
    site.controllers[0].window = Some((Volts(15.0), Volts(25.0)));
    // Two P100: best at 29.76 V; held at 25 V by the flat side of the curve.
    let found =
        check(&site, &input(&[&[&[P100], &[P100]]]), CheckRule::HotWindow).expect("checked");
    assert_eq!(found.outcome, Outcome::Breach);
    // 25 V of 29.76 V at a slightly higher current: between 84 and 90 %.
    let share = found.value.expect("known");
    assert!((84.0..90.0).contains(&share), "{share}");
}

#[test]
fn pwm_compares_currents_and_never_more_than_100_percent() {
    // P100 at 65 °C has its best point at 14.88 V and 5.553 A (independent model).
    let found = |charge: f64| {
        let site = at_65_degrees(pwm(charge));
        check(&site, &input(&[&[&[P100]]]), CheckRule::HotWindow).expect("always checked")
    };
    near(found(14.0).value.expect("known"), 100.0, 1e-9);
    assert_eq!(found(14.0).outcome, Outcome::Pass);
    let hot = found(16.5);
    assert!(hot.value.expect("known") < 90.0 && hot.outcome == Outcome::Breach, "{hot:?}");
    assert!(hot.note.contains(" A of the 5.6 A"), "{}", hot.note);
}

#[test]
fn a_charger_needs_its_charging_voltage_plus_one_and_is_sure_from_plus_five() {
    // Battery + 5 V to start, + 1 V to run: common practice, no source.
    let mut site = at_65_degrees(mppt());
    // P100 at 65 °C: Voc 19.211 V (independent model).
    for (charge, outcome) in [
        (14.2, Outcome::Pass),
        (14.3, Outcome::Caution),
        (18.2, Outcome::Caution),
        (18.3, Outcome::Breach),
    ] {
        site.controllers[0].output = Output::Battery(BatteryBank {
            nominal: Volts(12.0),
            charge: Some(Volts(charge)),
            charge_limit: None,
        });
        let found =
            check(&site, &input(&[&[&[P100]]]), CheckRule::StartVoltage).expect("a charger starts");
        assert_eq!(found.outcome, outcome, "{charge} V");
        near(found.value.expect("known"), 19.211, 0.002);
        near(found.limit.expect("known"), charge + 1.0, 1e-12);
    }
}

#[test]
fn without_a_charging_voltage_it_is_1_2_times_nominal() {
    let site = at_65_degrees(mppt());
    let found = check(&site, &input(&[&[&[P100]]]), CheckRule::StartVoltage).expect("checked");
    near(found.limit.expect("known"), 1.2 * 12.0 + 1.0, 1e-12);
}

#[test]
fn a_converter_is_checked_only_where_its_start_voltage_is_given() {
    let mut site = at_65_degrees(mppt());
    let mut found = |start: Option<f64>| {
        site.controllers[0].output = Output::Converter { start: start.map(Volts), max_out: None };
        check(&site, &input(&[&[&[P250]]]), CheckRule::StartVoltage).map(|c| c.outcome)
    };
    // P250 at 65 °C stands at about 32.4 V: 37.6 V × (1 − 0.0032 × 40) = 32.79 V by the label.
    assert_eq!(found(None), None);
    assert_eq!(found(Some(27.0)), Some(Outcome::Pass));
    assert_eq!(found(Some(30.0)), Some(Outcome::Caution));
    assert_eq!(found(Some(34.0)), Some(Outcome::Breach));
}

#[test]
fn pwm_has_no_start_voltage() {
    let site = site(vec![kind("a", [18.0, 5.6, 22.3, 5.9])], pwm(14.4));
    assert_eq!(check(&site, &alike(1, 1), CheckRule::StartVoltage), None);
}
