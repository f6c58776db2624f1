//! `input_current`, `input_power`, `string_ports` and `charge_limit`.

use sungraft::model::{BatteryBank, Output};
use sungraft::plan::{CheckRule, Outcome};
use sungraft::units::{Amps, Volts, Watts};

use crate::build::{
    P50, P100, alike, check, input, input_state, invented_panels, kind, mppt, near, site,
};

#[test]
fn one_string_of_the_lesson_counts_with_fourteen_amps() {
    // A public training lesson on US NEC 690.8: Isc 11.2 A → 1.25 × 11.2 = 14.0 A.
    let mut site = site(vec![kind("lesson", [41.0, 10.6, 49.5, 11.2])], mppt());
    for (limit, outcome) in [(14.0, Outcome::Pass), (13.9, Outcome::Breach)] {
        site.controllers[0].max_pv_current = Some(Amps(limit));
        let found = check(&site, &alike(1, 3), CheckRule::InputCurrent).expect("always checked");
        near(found.value.expect("known"), 14.0, 1e-9);
        assert_eq!(found.outcome, outcome, "{limit} A");
    }
}

#[test]
fn strings_add_up_each_with_its_strongest_element_and_the_sites_factor() {
    let mut site = site(invented_panels(), mppt());
    site.site.isc_factor = 1.0;
    // P50 − (P100 | P100): 11.80 A, since bypass diodes carry it past the P50; and P100: 5.90 A.
    let array = input(&[&[&[P50], &[P100, P100]], &[&[P100]]]);
    let found = check(&site, &array, CheckRule::InputCurrent).expect("always checked");
    near(found.value.expect("known"), 17.70, 1e-9);
    assert_eq!(found.string, None);
    assert_eq!(found.basis, "factor of the site file");
}

#[test]
fn a_current_limit_that_is_not_given_is_asked_for() {
    let mut site = site(invented_panels(), mppt());
    site.controllers[0].max_pv_current = None;
    let found = check(&site, &input(&[&[&[P100]]]), CheckRule::InputCurrent).expect("checked");
    assert_eq!((found.outcome, found.limit), (Outcome::Unknown, None));
    near(found.value.expect("known"), 7.375, 1e-9);
    assert!(found.note.contains("max_pv_a"), "{}", found.note);
}

#[test]
fn power_is_a_limit_only_where_the_maker_states_one() {
    let mut site = site(vec![kind("a", [20.0, 5.0, 24.0, 5.4])], mppt());
    let array = alike(2, 2);
    assert_eq!(check(&site, &array, CheckRule::InputPower), None);
    for (limit, outcome) in [(400.0, Outcome::Pass), (399.0, Outcome::Breach)] {
        site.controllers[0].max_pv_power = Some(Watts(limit));
        let found = check(&site, &array, CheckRule::InputPower).expect("stated");
        assert_eq!((found.value, found.outcome), (Some(400.0), outcome));
    }
}

#[test]
fn one_string_more_than_ports_breaches() {
    let mut site = site(vec![kind("a", [20.0, 5.0, 24.0, 5.4])], mppt());
    site.controllers[0].string_ports = 3;
    let found = |n| check(&site, &alike(n, 1), CheckRule::StringPorts).expect("always checked");
    assert_eq!(found(3).outcome, Outcome::Pass);
    assert_eq!(
        (found(4).outcome, found(4).value, found(4).limit),
        (Outcome::Breach, Some(4.0), Some(3.0))
    );
    assert_eq!(found(4).note, "4 strings for 3 places on the combiner");
}

#[test]
fn output_above_the_charge_limit_clips_which_is_a_caution() {
    let mut site = site(vec![kind("a", [20.0, 5.0, 24.0, 5.4])], mppt());
    let mut charge = |amps: f64| {
        site.controllers[0].output = Output::Battery(BatteryBank {
            nominal: Volts(24.0),
            charge: None,
            charge_limit: Some(Amps(amps)),
        });
        let found = check(&site, &alike(2, 2), CheckRule::ChargeLimit).expect("a limit is given");
        (found.outcome, found.limit.expect("known"), input_state(&site, &alike(2, 2)).clipped)
    };
    // 400 W against 13 A × 28.8 V = 374.4 W, and 14 A × 28.8 V = 403.2 W.
    let (outcome, limit, clipped) = charge(13.0);
    near(limit, 374.4, 1e-9);
    near(clipped.expect("it clips").watts(), 374.4, 1e-9);
    assert_eq!(outcome, Outcome::Caution);
    assert_eq!((charge(14.0).0, charge(14.0).2), (Outcome::Pass, None));
}

#[test]
fn without_an_output_limit_nothing_clips() {
    let site = site(vec![kind("a", [20.0, 5.0, 24.0, 5.4])], mppt());
    assert_eq!(check(&site, &alike(2, 2), CheckRule::ChargeLimit), None);
}
