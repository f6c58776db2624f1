//! `idle_reverse_current`: the controller draws nothing, the bus floats.
//!
//! Figures of the invented panels: an independent model, checked against a circuit simulator.

use sungraft::model::Installation;
use sungraft::plan::{Check, CheckRule, Outcome};
use sungraft::units::{Amps, Celsius};

use crate::build::{P50, P100, P250, Strings, check, input, invented_panels, mppt, near, site};

/// A mild site, so that the coldest morning is as warm as standard test conditions.
fn mild() -> Installation {
    let mut site = site(invented_panels(), mppt());
    site.site.coldest = Celsius(25.0);
    site
}

fn idle(site: &Installation, strings: Strings) -> Check {
    check(site, &input(strings), CheckRule::IdleReverseCurrent).expect("two strings")
}

#[test]
fn two_panels_in_series_push_their_current_into_one() {
    // P100 ∥ (P100 − P100): 5.88 A (145 W) into the single panel.
    let found = idle(&mild(), &[&[&[P100]], &[&[P100], &[P100]]]);
    near(found.value.expect("known"), 5.88, 0.01);
    assert_eq!((found.string, found.limit, found.outcome), (Some(0), Some(15.0), Outcome::Pass));
}

#[test]
fn a_large_panel_pushes_nearly_three_times_its_short_circuit_current_into_a_small_one() {
    // P50 ∥ P250: 8.61 A into the P50, whose Isc is 3.03 A.
    let mut site = mild();
    let found = idle(&site, &[&[&[P50]], &[&[P250]]]);
    near(found.value.expect("known"), 8.61, 0.01);
    assert_eq!((found.string, found.outcome), (Some(0), Outcome::Caution));
    assert!(found.note.contains("8.6 A") && found.note.contains("3.0 A"), "{}", found.note);
    // A rating of 8 A is passed.
    site.kinds[P50].max_fuse = Some(Amps(8.0));
    let found = idle(&site, &[&[&[P50]], &[&[P250]]]);
    assert_eq!((found.outcome, found.limit), (Outcome::Breach, Some(8.0)));
}

#[test]
fn the_higher_of_two_strings_pushes_into_the_lower() {
    // (P100 − P100) ∥ P250: 4.36 A into the P250.
    let found = idle(&mild(), &[&[&[P100], &[P100]], &[&[P250]]]);
    near(found.value.expect("known"), 4.36, 0.01);
    assert_eq!(found.string, Some(1));
}

#[test]
fn a_missing_rating_is_unknown_with_its_figure_and_never_a_pass() {
    let mut site = mild();
    site.kinds[P50].max_fuse = None;
    let found = idle(&site, &[&[&[P50]], &[&[P250]]]);
    assert_eq!((found.outcome, found.limit), (Outcome::Unknown, None));
    near(found.value.expect("known"), 8.61, 0.01);
    assert!(found.note.contains("more than its short-circuit current of 3.0 A"), "{}", found.note);
    // Two alike push nothing into each other; without a rating even that is no pass.
    let found = idle(&site, &[&[&[P50]], &[&[P50]]]);
    assert_eq!((found.outcome, found.value), (Outcome::Unknown, Some(0.0)));
}

#[test]
fn a_rating_that_is_known_breaches_even_where_another_is_missing() {
    let mut site = mild();
    site.kinds[P50].max_fuse = Some(Amps(5.0));
    site.kinds[P100].max_fuse = None;
    // P50 − P100 beside P250 − P250: far more than 5 A into the short string.
    let found = idle(&site, &[&[&[P50], &[P100]], &[&[P250], &[P250]]]);
    assert_eq!((found.outcome, found.limit), (Outcome::Breach, Some(5.0)), "{}", found.note);
}

#[test]
fn a_block_bears_its_lowest_rating_on_each_of_its_panels() {
    let mut site = mild();
    site.kinds[P50].max_fuse = Some(Amps(4.0));
    site.kinds[P100].max_fuse = Some(Amps(20.0));
    // Two in a block: twice the lowest, 8 A; a single P100 in the same string would bear 20 A.
    let found = idle(&site, &[&[&[P50, P100]], &[&[P100], &[P100]]]);
    assert_eq!(found.limit, Some(8.0));
}

#[test]
fn blocking_diodes_let_nothing_back() {
    let mut site = mild();
    site.controllers[0].blocking_diodes = true;
    site.kinds[P50].max_fuse = None;
    let found = idle(&site, &[&[&[P50]], &[&[P250]]]);
    assert_eq!((found.outcome, found.value), (Outcome::Pass, Some(0.0)));
}

#[test]
fn one_string_has_nothing_to_flow_back() {
    let only = input(&[&[&[P50], &[P250]]]);
    assert_eq!(check(&mild(), &only, CheckRule::IdleReverseCurrent), None);
}

#[test]
fn the_cold_morning_counts_where_it_pushes_more() {
    // Coefficients differ: 100 beside 105 V open at 25 °C are 114 beside 131 V at −10 °C.
    let mut kinds = vec![
        crate::build::kind("flat", [82.0, 5.0, 100.0, 5.4]),
        crate::build::kind("steep", [84.0, 5.0, 101.0, 5.4]),
    ];
    kinds[0].v_oc_coefficient = Some(sungraft::units::PercentPerC(-0.25));
    kinds[1].v_oc_coefficient = Some(sungraft::units::PercentPerC(-0.45));
    let mut site = site(kinds, mppt());
    let warm = {
        site.site.coldest = Celsius(25.0);
        idle(&site, &[&[&[0]], &[&[1]]]).value.expect("known")
    };
    site.site.coldest = Celsius(-25.0);
    let cold = idle(&site, &[&[&[0]], &[&[1]]]).value.expect("known");
    assert!(cold > 2.0 * warm, "{cold} A cold, {warm} A warm");
}
