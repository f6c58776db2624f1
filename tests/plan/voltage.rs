//! `cold_voc` and `system_voltage`.

use sungraft::model::Installation;
use sungraft::plan::{Check, CheckRule, Outcome};
use sungraft::units::{Celsius, PercentPerC, Volts};

use crate::build::{alike, check, input, kind, mppt, near, site};

/// The panel of a public training lesson: Voc 49.5 V, −0.27 %/°C.
fn lesson(coefficient: Option<f64>) -> Installation {
    let mut panel = kind("lesson", [41.0, 10.6, 49.5, 11.2]);
    panel.v_oc_coefficient = coefficient.map(PercentPerC);
    panel.max_system = Some(Volts(1500.0));
    site(vec![panel], mppt())
}

fn cold(site: &Installation, length: usize) -> Check {
    check(site, &alike(1, length), CheckRule::ColdVoc).expect("always checked")
}

#[test]
fn the_lessons_label_coefficient_allows_eleven_in_series_under_600_v() {
    // A public training lesson: 49.5 V, −0.27 %/°C, −10 °C → 54.18 V → 11 under 600 V.
    let site = lesson(Some(-0.27));
    near(cold(&site, 1).value.expect("known"), 54.18, 0.005);
    assert_ne!(cold(&site, 11).outcome, Outcome::Breach);
    assert_eq!(cold(&site, 12).outcome, Outcome::Breach);
    assert!(cold(&site, 12).note.contains("650.1"), "{}", cold(&site, 12).note);
    assert!(cold(&site, 12).note.contains("600"), "{}", cold(&site, 12).note);
}

#[test]
fn the_codes_table_allows_the_lesson_only_ten() {
    // The same lesson: table factor 1.14 at −10 °C → 56.43 V → 10 under 600 V.
    let site = lesson(None);
    near(cold(&site, 1).value.expect("known"), 56.43, 0.005);
    assert_eq!(cold(&site, 10).outcome, Outcome::Pass);
    assert_eq!(cold(&site, 11).outcome, Outcome::Breach);
    assert!(cold(&site, 11).note.contains("factor 1.14 at -10 °C"), "{}", cold(&site, 11).note);
    assert!(cold(&site, 11).basis.contains("table"));
}

#[test]
fn the_codes_table_is_followed_band_by_band() {
    // US NEC table 690.7(A), crystalline silicon, from secondary sources: check your edition.
    // Lowest and highest whole degree of each band, and its factor.
    let bands = [
        (20, 24, 1.02),
        (15, 19, 1.04),
        (10, 14, 1.06),
        (5, 9, 1.08),
        (0, 4, 1.10),
        (-5, -1, 1.12),
        (-10, -6, 1.14),
        (-15, -11, 1.16),
        (-20, -16, 1.18),
        (-25, -21, 1.20),
        (-30, -26, 1.21),
        (-35, -31, 1.23),
        (-40, -36, 1.25),
    ];
    let mut site = lesson(None);
    for (lowest, highest, factor) in bands {
        for coldest in lowest..=highest {
            site.site.coldest = Celsius(f64::from(coldest));
            near(cold(&site, 1).value.expect("known"), 49.5 * factor, 1e-9);
        }
    }
}

#[test]
fn coefficient_and_table_that_disagree_about_the_verdict_are_a_caution_with_both_numbers() {
    // 11 in series: 595.98 V by the label, 620.73 V by the table, 600 V allowed.
    let found = cold(&lesson(Some(-0.27)), 11);
    assert_eq!(found.outcome, Outcome::Caution);
    assert!(found.note.contains("596.0") && found.note.contains("620.7"), "{}", found.note);
    assert!(found.basis.contains("coefficient"));
}

#[test]
fn a_steep_coefficient_breaches_even_where_the_table_passes() {
    let mut site = lesson(Some(-0.50));
    site.controllers[0].max_pv = Volts(700.0);
    site.site.coldest = Celsius(-20.0);
    // 0.50 % × 45 K: factor 1.225. 12 × 49.5 × 1.225 = 727.65 V; the table 12 × 49.5 × 1.18 = 700.92 V.
    assert_eq!(cold(&site, 12).outcome, Outcome::Breach);
    site.controllers[0].max_pv = Volts(701.0);
    let found = cold(&site, 12);
    assert_eq!(found.outcome, Outcome::Breach);
    assert!(found.note.contains("727.7") && found.note.contains("700.9"), "{}", found.note);
}

#[test]
fn from_97_percent_on_it_is_a_caution_and_a_limit_met_exactly_is_kept() {
    let mut panel = kind("round", [80.0, 5.0, 100.0, 5.5]);
    panel.v_oc_coefficient = Some(PercentPerC(-0.4));
    let mut site = site(vec![panel], mppt());
    // 100 V × (1 + 0.004 × 35) = 114 V; the table says the same, 1.14.
    for (max_pv, outcome) in [
        (118.0, Outcome::Pass),
        (117.0, Outcome::Caution),
        (114.0, Outcome::Caution),
        (113.9, Outcome::Breach),
    ] {
        site.controllers[0].max_pv = Volts(max_pv);
        assert_eq!(cold(&site, 1).outcome, outcome, "{max_pv} V");
    }
}

#[test]
fn the_longest_string_is_the_one_reported() {
    let site = site(vec![kind("a", [18.0, 5.6, 22.3, 5.9])], mppt());
    let array = input(&[&[&[0]], &[&[0], &[0], &[0]], &[&[0], &[0]]]);
    let found = check(&site, &array, CheckRule::ColdVoc).expect("always checked");
    assert_eq!(found.string, Some(1));
    // 3 × 22.3 V × (1 + 0.0032 × 35)
    near(found.value.expect("known"), 74.3928, 1e-9);
}

#[test]
fn system_voltage_counts_the_lowest_label_in_the_string() {
    let mut weak = kind("weak", [40.0, 5.6, 50.0, 5.9]);
    weak.max_system = Some(Volts(100.0));
    let strong = kind("strong", [40.0, 5.6, 50.0, 5.9]);
    let site = site(vec![weak, strong], mppt());
    let found = |array| check(&site, &array, CheckRule::SystemVoltage).expect("always checked");
    // Two of 50 V × 1.112 = 111.2 V.
    let mixed = found(input(&[&[&[0], &[1]]]));
    assert_eq!((mixed.outcome, mixed.limit), (Outcome::Breach, Some(100.0)));
    assert!(mixed.note.contains("weak") && !mixed.note.contains("strong"), "{}", mixed.note);
    assert_eq!(found(input(&[&[&[1], &[1]]])).outcome, Outcome::Pass);
}

#[test]
fn a_label_without_system_voltage_is_asked_for_and_never_passes() {
    let mut silent = kind("silent", [40.0, 5.6, 50.0, 5.9]);
    silent.max_system = None;
    let mut known = kind("known", [40.0, 5.6, 50.0, 5.9]);
    known.max_system = Some(Volts(100.0));
    let site = site(vec![silent, known], mppt());
    let found = |array| check(&site, &array, CheckRule::SystemVoltage).expect("always checked");
    let alone = found(input(&[&[&[0]]]));
    assert_eq!((alone.outcome, alone.limit), (Outcome::Unknown, None));
    assert!(alone.note.contains("silent") && alone.note.contains("55.6 V"), "{}", alone.note);
    // What is known breaches already: the missing figure could not save it.
    assert_eq!(found(input(&[&[&[0], &[1]]])).outcome, Outcome::Breach);
}
