//! What an input gives at standard test conditions.
//!
//! Figures of the invented panels: an independent model, checked against two published ones and a
//! circuit simulator.

use sungraft::model::Installation;
use sungraft::plan::Evaluator;
use sungraft::units::{Volts, Watts};

use crate::build::{
    P50, P100, P250, Strings, alike, fit, input, input_state, invented_panels, kind, mppt, near,
    pwm, site,
};

fn wide() -> Installation {
    site(invented_panels(), mppt())
}

#[test]
fn mixed_arrays_give_the_watts_of_the_independent_model() {
    let site = wide();
    let cases: [(Strings, f64, f64); 7] = [
        (&[&[&[P100], &[P250]]], 269.7, 294.4),
        (&[&[&[P100]], &[&[P250]]], 247.7, 261.2),
        (&[&[&[P100]], &[&[P100], &[P100]]], 200.2, 208.4),
        (&[&[&[P100], &[P100]], &[&[P250]]], 419.7, 431.2),
        (&[&[&[P100, P50], &[P250]]], 396.1, 399.8),
        (&[&[&[P50], &[P100]]], 100.6, 109.7),
        (&[&[&[P50], &[P50], &[P250]]], 185.7, 241.9),
    ];
    for (strings, nameplate, curve) in cases {
        let found = input_state(&site, &input(strings));
        near(found.nameplate.watts(), nameplate, 0.06);
        near(found.power.watts(), curve, 0.002 * curve);
        near(found.power.watts(), found.v.volts() * found.i.amps(), 1e-9);
        let strings: f64 = found.strings.iter().map(|s| s.power.watts()).sum();
        near(found.power.watts(), strings, 1e-6);
    }
}

#[test]
fn pwm_holds_the_array_at_charging_voltage() {
    // P50, two P100 and P250 in parallel at 14.0 V: nameplate 309.82 W, curve 327.12 W.
    let site = site(invented_panels(), pwm(14.0));
    let found = input_state(&site, &input(&[&[&[P50]], &[&[P100]], &[&[P100]], &[&[P250]]]));
    assert_eq!(found.v, Volts(14.0));
    near(found.power.watts(), 327.12, 0.002 * 327.12);
    near(found.nameplate.watts(), 309.82, 0.01);
    assert!(found.other_peaks.is_empty());
}

#[test]
fn the_second_peak_of_an_unequal_string_is_listed_and_ripple_is_not() {
    // P100 − P250: second peak 242 W at 29.6 V.
    let found = input_state(&wide(), &input(&[&[&[P100], &[P250]]]));
    assert_eq!(found.other_peaks.len(), 1, "{:?}", found.other_peaks);
    near(found.other_peaks[0].v.volts(), 29.6, 0.1);
    near(found.other_peaks[0].power.watts(), 242.0, 0.5);
    for strings in 1..4 {
        let alike = input_state(&wide(), &alike(strings, 3));
        assert!(alike.other_peaks.is_empty(), "{:?}", alike.other_peaks);
    }
}

#[test]
fn a_peak_outside_the_window_is_no_trap() {
    let mut site = wide();
    site.controllers[0].window = Some((Volts(40.0), Volts(100.0)));
    let found = input_state(&site, &input(&[&[&[P100], &[P250]]]));
    assert!(found.other_peaks.is_empty(), "{:?}", found.other_peaks);
    // With its bottom on the slope between the peaks, a tracker would stay there.
    site.controllers[0].window = Some((Volts(30.5), Volts(100.0)));
    let found = input_state(&site, &input(&[&[&[P100], &[P250]]]));
    assert_eq!(found.other_peaks.len(), 1);
    near(found.other_peaks[0].v.volts(), 30.5, 1e-9);
}

#[test]
fn small_panels_in_a_strong_string_are_bypassed() {
    // P50 − P50 − P250: both P50 bypassed (independent model).
    let found = input_state(&wide(), &input(&[&[&[P50], &[P250], &[P50]]]));
    assert_eq!(found.strings[0].bypassed, [0, 2]);
    let found = input_state(&wide(), &input(&[&[&[P50], &[P100]]]));
    assert!(found.strings[0].bypassed == [0] || found.strings[0].bypassed.is_empty());
    // Without diodes nothing is bypassed: the panel chokes the string.
    let mut site = wide();
    site.kinds[P50].bypass_diodes = Some(0);
    let found = input_state(&site, &input(&[&[&[P50], &[P250], &[P50]]]));
    assert!(found.strings[0].bypassed.is_empty());
    assert!(found.i.amps() < 3.1, "{:?}", found.i);
}

#[test]
fn a_string_below_the_bus_is_a_load_unless_a_diode_blocks_it() {
    let mut site = wide();
    site.controllers[0].window = Some((Volts(30.0), Volts(100.0)));
    let array = input(&[&[&[P100]], &[&[P250], &[P250]]]);
    let found = input_state(&site, &array);
    assert!(found.strings[0].current.amps() < 0.0, "{:?}", found.strings[0].current);
    site.controllers[0].blocking_diodes = true;
    let found = input_state(&site, &array);
    assert_eq!(found.strings[0].current.amps(), 0.0);
    // Half a volt of 61 V is lost.
    near(found.power.watts(), 2.0 * 250.1 * 60.5 / 61.0, 0.3);
}

#[test]
fn own_maximum_of_a_panel_alone_is_its_label() {
    let found = input_state(&wide(), &input(&[&[&[P100]], &[&[P250], &[P250]]]));
    near(found.strings[0].own_maximum.watts(), 18.0 * 5.56, 0.02);
    near(found.strings[1].own_maximum.watts(), 2.0 * 30.5 * 8.2, 0.04);
    // 22.3 V × (1 + 0.0032 × 35)
    near(found.strings[0].cold_v_oc.volts(), 24.7976, 1e-9);
}

#[test]
fn an_array_below_the_window_floats_and_gives_nothing() {
    let mut site = wide();
    site.controllers[0].window = Some((Volts(40.0), Volts(100.0)));
    // P100 ∥ (P100 − P100) floats at 24.65 V with 5.88 A into the single one (independent model).
    let found = input_state(&site, &input(&[&[&[P100]], &[&[P100], &[P100]]]));
    assert_eq!((found.power, found.i.amps()), (Watts(0.0), 0.0));
    near(found.v.volts(), 24.65, 0.01);
    near(found.strings[0].current.amps(), -5.88, 0.01);
    near(found.strings[1].current.amps(), 5.88, 0.01);
}

#[test]
fn nothing_wired_gives_zeros_and_no_limits() {
    let site = wide();
    let catalog = fit(&site);
    let state = Evaluator::new(&site, &catalog).state(&site.installed);
    assert!(state.checks.is_empty());
    assert_eq!(
        (state.watts(), state.label(), state.nameplate()),
        (Watts(0.0), Watts(0.0), Watts(0.0))
    );
    assert_eq!(state.utilization(), 0.0);
}

#[test]
fn watts_alone_are_those_of_the_whole_state() {
    let site = wide();
    let catalog = fit(&site);
    let evaluator = Evaluator::new(&site, &catalog);
    let array = input(&[&[&[P100], &[P50, P100]], &[&[P250]]]);
    assert_eq!(evaluator.watts(&array), evaluator.input_state(&array).power);
}

#[test]
fn equal_panels_give_their_labels() {
    let site = site(vec![kind("a", [20.0, 5.0, 24.0, 5.4])], mppt());
    let found = input_state(&site, &alike(3, 4));
    near(found.power.watts(), 1200.0, 0.05);
    near(found.label.watts(), 1200.0, 1e-9);
    near(found.nameplate.watts(), 1200.0, 1e-9);
}
