//! What was assumed, what to ask for, and which panels idle today.

use sungraft::model::{BatteryBank, Output};
use sungraft::plan::{ask, assumed, idle_today};
use sungraft::units::{Celsius, Volts};

use crate::build::{P50, P100, P250, input, invented_panels, kind, mppt, site, state};

#[test]
fn figures_that_a_label_lacks_are_said_once_for_kinds_alike() {
    let mut kinds: Vec<_> =
        ["creek", "shed", "full"].map(|id| kind(id, [18.4, 8.7, 22.4, 9.3])).into();
    for silent in &mut kinds[..2] {
        silent.v_oc_coefficient = None;
        silent.i_sc_coefficient = None;
        silent.p_mp_coefficient = None;
        silent.bypass_diodes = None;
        silent.noct = None;
    }
    let mut site = site(kinds, mppt());
    site.site.coldest = Celsius(-22.0);
    let said = assumed(&site, &[input(&[&[&[0], &[1]], &[&[2], &[2]]])]);
    assert_eq!(
        said,
        [
            "creek and shed: bypass diodes 2, voltage -0.33 %/°C, current 0.05 %/°C, power -0.45 \
             %/°C, NOCT 46 °C (not on the label)",
            "creek and shed: voltage on the coldest morning by the code's table of factors, 1.20 \
             at -22 °C (no coefficient on the label)",
            "shed: charging voltage 14.4 V, 1.2 × the nominal 12 V (not given)",
        ]
    );
}

#[test]
fn nothing_is_said_to_be_assumed_where_everything_is_given() {
    let mut site = site(vec![kind("full", [18.4, 8.7, 22.4, 9.3])], mppt());
    site.controllers[0].output = Output::Battery(BatteryBank {
        nominal: Volts(12.0),
        charge: Some(Volts(14.4)),
        charge_limit: None,
    });
    assert!(assumed(&site, &[input(&[&[&[0]]])]).is_empty());
}

#[test]
fn kinds_that_are_not_wired_are_not_spoken_of() {
    let mut kinds: Vec<_> = ["a", "b"].map(|id| kind(id, [18.4, 8.7, 22.4, 9.3])).into();
    kinds[1].noct = None;
    let site = site(kinds, mppt());
    assert!(!assumed(&site, &[input(&[&[&[0]]])]).iter().any(|line| line.starts_with('b')));
}

#[test]
fn missing_figures_are_asked_for_once_with_all_their_kinds() {
    let mut kinds: Vec<_> =
        ["creek-90", "shed-160", "full"].map(|id| kind(id, [18.4, 8.7, 22.4, 9.3])).into();
    kinds[0].max_fuse = None;
    kinds[1].max_fuse = None;
    kinds[1].max_system = None;
    let mut site = site(kinds, mppt());
    site.controllers[0].max_pv_current = None;
    let state = state(&site, &input(&[&[&[0]], &[&[1]], &[&[2]]]));
    assert_eq!(
        ask(&site, &state),
        ["max_fuse_a of creek-90 and shed-160", "max_system_v of shed-160", "max_pv_a of shed"]
    );
}

#[test]
fn a_rating_that_no_limit_needs_is_not_asked_for() {
    let mut kinds = vec![kind("a", [18.4, 8.7, 22.4, 9.3])];
    kinds[0].max_fuse = None;
    let site = site(kinds, mppt());
    // One string: nothing can flow back into it.
    assert!(ask(&site, &state(&site, &input(&[&[&[0], &[0]]]))).is_empty());
}

#[test]
fn bypassed_panels_are_idle_and_both_currents_are_named() {
    let site = site(invented_panels(), mppt());
    let idle = idle_today(&site, &state(&site, &input(&[&[&[P50], &[P250], &[P50]]])));
    assert_eq!(idle.len(), 1);
    assert_eq!((idle[0].kind.0, idle[0].count), (P50, 2));
    let because = &idle[0].because;
    assert!(because.contains("string 1") && because.contains("8."), "{because}");
    assert!(because.contains("3.0 A"), "{because}");
}

#[test]
fn a_string_that_takes_power_is_idle_and_both_powers_are_named() {
    let mut site = site(invented_panels(), mppt());
    // Just above the P100's 22.3 V open the P250 still gives more than the P100 takes.
    site.controllers[0].window = Some((Volts(23.0), Volts(100.0)));
    let idle = idle_today(&site, &state(&site, &input(&[&[&[P250]], &[&[P100]]])));
    assert_eq!(idle.len(), 1);
    assert_eq!((idle[0].kind.0, idle[0].count), (P100, 1));
    let because = &idle[0].because;
    assert!(because.starts_with("string 2 takes"), "{because}");
    assert!(because.contains("100.1 W"), "{because}");
}

#[test]
fn below_the_window_all_panels_are_idle() {
    let mut site = site(invented_panels(), mppt());
    site.controllers[0].window = Some((Volts(40.0), Volts(100.0)));
    let idle = idle_today(&site, &state(&site, &input(&[&[&[P250]], &[&[P250]]])));
    assert_eq!(idle.iter().map(|i| i.count).sum::<usize>(), 2);
    assert!(idle[0].because.contains("37.6 V") && idle[0].because.contains("40.0 V"));
}

#[test]
fn a_sound_array_has_no_idle_panels() {
    let site = site(invented_panels(), mppt());
    let array = input(&[&[&[P100], &[P100]], &[&[P250]]]);
    assert!(idle_today(&site, &state(&site, &array)).is_empty());
}
