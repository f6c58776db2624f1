//! What a meter should show.

use sungraft::plan::{Measured, SHEET_TEMPERATURES};
use sungraft::units::{Celsius, Irradiance};

use crate::{input, kinds, method, site};

fn at(irradiance: f64, temp_cell: f64) -> Option<Measured> {
    Some(Measured { irradiance: Irradiance(irradiance), temp_cell: Celsius(temp_cell) })
}

#[test]
fn at_standard_test_conditions_a_string_shows_its_labels() {
    let wired = input(&[&[&[0], &[0]], &[&[2]]]);
    let site = site(kinds(), vec![wired.clone()]);
    let sheet = method(&site, &[wired], at(1000.0, 25.0)).tests;
    let string = &sheet.inputs[0].strings[0];
    assert!((string.v_oc.volts() - 44.6).abs() < 0.01, "{:?}", string.v_oc);
    assert!((string.i_sc.amps() - 5.90).abs() < 0.01, "{:?}", string.i_sc);
    let measured = string.v_oc_measured.expect("it was asked for");
    assert!((measured.expected - string.v_oc.volts()).abs() < 1e-9);
    let current = string.i_sc_measured.expect("it was asked for");
    assert!((current.expected - string.i_sc.amps()).abs() < 1e-9);
    assert_eq!(sheet.inputs[0].operating_measured, Some(sheet.inputs[0].operating));
}

#[test]
fn readings_in_other_sun_agree_with_the_equations_of_the_trade() {
    // IEC 60891 procedure 1 in its simplest form: current by the sun and the label's coefficient, voltage
    // by the coefficient and a small term for the sun, here n·kT/q for each of 36 cells with n between 1
    // and 1.3 (from memory, check your edition).
    let wired = input(&[&[&[0], &[0]]]);
    let site = site(kinds(), vec![wired.clone()]);
    let sheet = method(&site, &[wired], at(780.0, 41.0)).tests;
    let string = &sheet.inputs[0].strings[0];
    let i_sc = 5.90 * 0.78 * (1.0 + 0.0005 * 16.0);
    let found = string.i_sc_measured.expect("it was asked for");
    assert!((found.expected / i_sc - 1.0).abs() < 0.01, "{found:?} against {i_sc}");
    let heat = 44.6 * (1.0 - 0.0032 * 16.0);
    let dim = |n: f64| 2.0 * 36.0 * n * 8.617e-5 * 314.15 * (0.78_f64).ln();
    let found = string.v_oc_measured.expect("it was asked for");
    let (low, high) = (heat + dim(1.3) - 0.1, heat + dim(1.0) + 0.1);
    assert!(low < found.expected && found.expected < high, "{found:?}: {low} to {high}");
}

#[test]
fn a_string_with_its_smallest_panel_left_out_does_not_pass() {
    for n in 2..=16 {
        let one: &[usize] = &[0];
        let (whole, short) = (vec![one; n], vec![one; n - 1]);
        let wired = input(&[&whole]);
        let site = site(kinds(), vec![wired.clone()]);
        let sheet = method(&site, &[wired], at(700.0, 35.0)).tests;
        let passes = sheet.inputs[0].strings[0].v_oc_measured.expect("it was asked for");
        let less = method(&site, &[input(&[&short])], at(700.0, 35.0)).tests;
        let reads = less.inputs[0].strings[0].v_oc_measured.expect("it was asked for").expected;
        assert!(reads < passes.low, "{n} panels: {reads} passes {passes:?}");
    }
}

#[test]
fn a_warm_array_reads_fewer_volts_and_an_old_one_may_read_fewer_amps() {
    let wired = input(&[&[&[0], &[1]]]);
    let mut site = site(kinds(), vec![wired.clone()]);
    let new = method(&site, std::slice::from_ref(&wired), None).tests;
    let string = &new.inputs[0].strings[0];
    assert!(string.v_oc_at.windows(2).all(|pair| pair[1] < pair[0]));
    let stc = SHEET_TEMPERATURES.iter().position(|t| *t == Celsius(25.0)).expect("it is listed");
    assert!((string.v_oc_at[stc].volts() - string.v_oc.volts()).abs() < 1e-9);
    assert_eq!(string.v_oc_measured, None);
    // Twenty years at 0.5 % (Jordan and Kurtz, Prog. Photovoltaics 21, 2013): ten percent less passes.
    site.kinds[1].age_years = Some(20.0);
    let old = method(&site, &[wired], None).tests;
    let low = |t: &sungraft::plan::TestSheet| t.inputs[0].strings[0].i_sc_band_low;
    assert!((low(&new) - 0.12).abs() < 1e-9);
    assert!((low(&old) - (1.0 - 0.9 * 0.88)).abs() < 1e-9);
}
