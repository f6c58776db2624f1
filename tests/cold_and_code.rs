//! Cold voltage, the code's table of factors, and label sums.

#[path = "support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;

use sungraft::electrical::{
    Catalog, VocSource, cold_factor, cold_morning, cold_v_oc, element_i_sc, standard_fuse,
    string_curve, string_i_sc,
};
use sungraft::model::{Element, Kind, KindIdx, PanelString, Site, SunData};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts};

fn string_of(n: usize, kind: usize) -> PanelString {
    PanelString::new(vec![Element::single(KindIdx(kind)); n])
}

#[test]
fn the_table_of_cold_factors_has_its_thirteen_bands() {
    // Source: US NEC table 690.7(A), crystalline silicon, from secondary material: check your book.
    for (warmest, coldest, factor) in [
        (24.0, 20.0, 1.02),
        (19.0, 15.0, 1.04),
        (14.0, 10.0, 1.06),
        (9.0, 5.0, 1.08),
        (4.0, 0.0, 1.10),
        (-1.0, -5.0, 1.12),
        (-6.0, -10.0, 1.14),
        (-11.0, -15.0, 1.16),
        (-16.0, -20.0, 1.18),
        (-21.0, -25.0, 1.20),
        (-26.0, -30.0, 1.21),
        (-31.0, -35.0, 1.23),
        (-36.0, -40.0, 1.25),
    ] {
        assert_eq!(cold_factor(Celsius(warmest)), factor, "{warmest} °C");
        assert_eq!(cold_factor(Celsius(coldest)), factor, "{coldest} °C");
    }
}

#[test]
fn a_colder_day_never_has_a_lower_factor() {
    let factors: Vec<f64> =
        (-700..=300).rev().map(|t| cold_factor(Celsius(0.1 * f64::from(t)))).collect();
    assert!(factors.windows(2).all(|pair| pair[0] <= pair[1]));
    // Between the table's whole degrees the colder band counts; at 25 °C there is nothing to add.
    assert_eq!(cold_factor(Celsius(-5.5)), 1.14);
    assert_eq!(cold_factor(Celsius(25.0)), 1.0);
    // Below its end it is extended: ours, on the safe side.
    assert!(cold_factor(Celsius(-50.0)) >= 1.30);
}

#[test]
fn eleven_panels_by_the_label_and_ten_by_the_table_stay_under_600_v() {
    // Source: a public training lesson: Voc 49.5 V, −0.27 %/°C, −10 °C.
    let mut kind = panels::kind("lesson", 41.0, 9.8, 49.5, 10.4);
    kind.v_oc_coefficient = Some(PercentPerC(-0.27));
    let silent = Kind { v_oc_coefficient: None, ..kind.clone() };
    let kinds = [kind, silent];
    let cold = |n: usize, kind: usize| cold_v_oc(&string_of(n, kind), &kinds, Celsius(-10.0));
    let longest = |of: &dyn Fn(usize) -> Volts| (1..20).filter(|n| of(*n) < Volts(600.0)).max();

    let one = cold(1, 0);
    assert!((one.v_oc.volts() - 54.18).abs() < 0.005, "{one:?}");
    assert_eq!(one.source, VocSource::Label);
    assert_eq!(longest(&|n| cold(n, 0).v_oc), Some(11));

    // The table's figure stands beside it, and alone where the label gives no coefficient.
    assert!((one.by_table.volts() - 56.43).abs() < 0.005, "{one:?}");
    assert_eq!(longest(&|n| cold(n, 0).by_table), Some(10));
    let silent = cold(1, 1);
    assert_eq!((silent.source, silent.v_oc), (VocSource::Table, silent.by_table));
    assert_eq!(longest(&|n| cold(n, 1).v_oc), Some(10));
}

#[test]
fn a_string_with_one_silent_label_says_that_the_table_stood_in() {
    let mut kind = panels::kind("given", 18.0, 5.56, 22.3, 5.9);
    kind.v_oc_coefficient = Some(PercentPerC(-0.32));
    let kinds = [kind.clone(), Kind { v_oc_coefficient: None, ..kind }];
    let string = PanelString::new(vec![Element::single(KindIdx(0)), Element::single(KindIdx(1))]);
    let cold = cold_v_oc(&string, &kinds, Celsius(-10.0));
    assert_eq!(cold.source, VocSource::Table);
    let by_hand = 22.3 * (1.0 + 0.0032 * 35.0) + 22.3 * 1.14;
    assert!((cold.v_oc.volts() - by_hand).abs() < 1e-9);
}

#[test]
fn a_block_counts_with_its_highest_member_in_the_cold() {
    let kinds = panels::invented();
    let block = PanelString::new(vec![Element::block(vec![KindIdx(0), KindIdx(1)])]);
    let cold = cold_v_oc(&block, &kinds, Celsius(-20.0)).v_oc.volts();
    let of = |voc: f64, beta: f64| voc * (1.0 + beta / 100.0 * -45.0);
    assert!((cold - of(21.8, -0.34).max(of(22.3, -0.32))).abs() < 1e-9);
}

#[test]
fn warmth_never_lowers_the_figure_that_protects_the_controller() {
    let kinds = panels::invented();
    let at = |t: f64| cold_v_oc(&string_of(3, 1), &kinds, Celsius(t)).v_oc;
    assert!((at(40.0).volts() - 3.0 * 22.3).abs() < 1e-9);
    assert!(at(-10.0) < at(-11.0) && at(24.0) < at(23.0));
}

#[test]
fn the_curve_and_the_label_agree_about_open_circuit_in_the_cold() {
    // The curve is for watts, the label for limits; they must not tell two stories. The fit
    // splits what the coefficients disagree about (Adjust), so up to 1.5 % at −20 °C.
    let kinds = panels::invented();
    let site = Site {
        name: "apiary".to_owned(),
        coldest: Celsius(-20.0),
        hottest: Celsius(30.0),
        block_max: 2,
        isc_factor: 1.25,
        battery_charge: None,
        money: sungraft::model::MoneyData::default(),
        sun: SunData::default(),
    };
    let curves = Catalog::fit(&kinds).expect("legal labels").curves(cold_morning(&site));
    for (k, kind) in kinds.iter().enumerate() {
        let string = string_of(1, k);
        let curve = string_curve(&string, &curves).v_oc().volts();
        let label = cold_v_oc(&string, &kinds, site.coldest).v_oc.volts();
        assert!((curve / label - 1.0).abs() < 0.015, "{}: {curve} and {label}", kind.id);
    }
}

#[test]
fn the_worked_current_of_the_code_comes_out() {
    // Source: the same training lesson, US NEC 690.8: Isc 11.2 → 14.0 → 17.5 A → a 20 A fuse.
    let kinds = [panels::kind("lesson", 41.0, 10.6, 49.5, 11.2)];
    let i_sc = string_i_sc(&string_of(11, 0), &kinds);
    assert_eq!(i_sc, Amps(11.2));
    assert!(((i_sc * 1.25).amps() - 14.0).abs() < 1e-9);
    let at_least = i_sc * 1.25 * 1.25;
    assert!((at_least.amps() - 17.5).abs() < 1e-9);
    assert_eq!(standard_fuse(at_least, Amps(20.0)), Some(Amps(20.0)));
    // A label of 15 A leaves no size: the string needs a fuse that it may not have.
    assert_eq!(standard_fuse(at_least, Amps(15.0)), None);
}

#[test]
fn a_strings_short_circuit_current_is_its_strongest_elements() {
    let kinds = panels::invented();
    let block = Element::block(vec![KindIdx(0), KindIdx(1)]);
    assert!((element_i_sc(&block, &kinds).amps() - (3.03 + 5.90)).abs() < 1e-9);
    let string = PanelString::new(vec![Element::single(KindIdx(4)), block]);
    assert!((string_i_sc(&string, &kinds).amps() - 8.93).abs() < 1e-9);
    // The curve says the same: bypass diodes carry the stronger current past the weaker element.
    let curves = Catalog::fit(&kinds).expect("legal labels").curves(sungraft::electrical::stc());
    let curve = string_curve(&string, &curves).current_at(Volts(0.0)).amps();
    assert!(curve < 8.93 + 1e-6 && curve > 8.7, "{curve}");
}
