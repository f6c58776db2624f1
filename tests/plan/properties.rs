//! Claims about every wiring of small random sites.

use proptest::prelude::*;
use sungraft::model::{ArrayWiring, Element, InputWiring, Installation, KindIdx, PanelString};
use sungraft::plan::{
    Bound, CheckRule, Evaluator, FusePlace, Outcome, Plan, Touch, audit, fewest_joints,
};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

use crate::build::{AT, check, fit, invented_panels, mppt, site, with_stock};

fn element() -> impl Strategy<Value = Element> {
    prop_oneof![
        3 => (0..4_usize).prop_map(|k| Element::single(KindIdx(k))),
        1 => (0..3_usize, 0..3_usize)
            .prop_map(|(a, b)| Element::block(vec![KindIdx(a), KindIdx(b)])),
    ]
}

fn array(most: usize) -> impl Strategy<Value = InputWiring> {
    let string = prop::collection::vec(element(), 1..4).prop_map(PanelString::new);
    prop::collection::vec(string, 1..=most)
        .prop_map(|strings| InputWiring { at: AT, array: ArrayWiring { strings } })
}

fn outcomes(site: &Installation, wiring: &InputWiring) -> Vec<(CheckRule, Outcome)> {
    let catalog = fit(site);
    let checks = Evaluator::new(site, &catalog).checks(wiring);
    checks.into_iter().map(|c| (c.rule, c.outcome)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_colder_night_never_turns_a_breach_of_voltage_into_a_pass(
        wiring in array(3),
        warm in -20.0..20.0_f64,
        colder in 0.0..30.0_f64,
        max_pv in 30.0..120.0_f64,
        coefficient in prop::option::of(-0.5..-0.2_f64),
    ) {
        let mut kinds = invented_panels();
        kinds[1].v_oc_coefficient = coefficient.map(PercentPerC);
        kinds[2].max_system = Some(Volts(60.0));
        let mut site = site(kinds, mppt());
        site.controllers[0].max_pv = Volts(max_pv);
        for rule in [CheckRule::ColdVoc, CheckRule::SystemVoltage] {
            site.site.coldest = Celsius(warm);
            let before = check(&site, &wiring, rule).expect("always checked");
            site.site.coldest = Celsius(warm - colder);
            let after = check(&site, &wiring, rule).expect("always checked");
            prop_assert!(after.value >= before.value);
            if before.outcome == Outcome::Breach {
                prop_assert_eq!(after.outcome, Outcome::Breach);
            }
        }
    }

    #[test]
    fn one_more_string_never_lowers_current_power_ports_or_what_feeds_a_fault(
        wiring in array(3),
        more in array(1),
    ) {
        let mut site = site(invented_panels(), mppt());
        site.controllers[0].max_pv_power = Some(Watts(1000.0));
        site.controllers[0].string_ports = 2;
        let mut larger = wiring.clone();
        larger.array.strings.extend(more.array.strings);
        for rule in [
            CheckRule::InputCurrent,
            CheckRule::InputPower,
            CheckRule::StringPorts,
            CheckRule::FaultReverseCurrent,
            CheckRule::StringFuse,
        ] {
            let Some(before) = check(&site, &wiring, rule) else { continue };
            let after = check(&site, &larger, rule).expect("still checked");
            prop_assert!(after.outcome >= before.outcome, "{:?} {:?}", before, after);
            if rule == CheckRule::InputCurrent {
                prop_assert!(after.value >= before.value);
            }
        }
    }

    #[test]
    fn the_order_of_strings_and_elements_changes_no_outcome(wiring in array(3)) {
        let site = site(invented_panels(), mppt());
        let mut turned = wiring.clone();
        turned.array.strings.reverse();
        for string in &mut turned.array.strings {
            let elements: Vec<Element> = string.elements().iter().rev().cloned().collect();
            *string = PanelString::new(elements);
        }
        prop_assert_eq!(outcomes(&site, &wiring), outcomes(&site, &turned));
    }

    #[test]
    fn every_check_that_is_no_pass_explains_itself(wiring in array(4), lacking in 0..4_usize) {
        let mut kinds = invented_panels();
        kinds[lacking].max_fuse = None;
        kinds[lacking].max_system = None;
        let site = site(kinds, mppt());
        let catalog = fit(&site);
        for check in Evaluator::new(&site, &catalog).checks(&wiring) {
            prop_assert!(!check.basis.is_empty());
            if check.outcome != Outcome::Pass {
                prop_assert!(check.note.contains(|c: char| c.is_ascii_digit()), "{:?}", check);
            }
        }
    }

    #[test]
    fn whatever_the_evaluator_says_without_a_breach_passes_the_audit(
        wiring in array(3),
        window_low in 15.0..40.0_f64,
        diodes in any::<bool>(),
    ) {
        let mut site = site(invented_panels(), mppt());
        site.controllers[0].window = Some((Volts(window_low), Volts(150.0)));
        site.controllers[0].blocking_diodes = diodes;
        let site = with_stock(site, &[], &[(0, 20), (1, 20), (2, 20), (3, 20)]);
        let catalog = fit(&site);
        let evaluator = Evaluator::new(&site, &catalog);
        let state = evaluator.state(std::slice::from_ref(&wiring));
        let uneven = wiring.array.strings.iter().flat_map(|s| s.elements()).any(|e| {
            let v_oc = || e.members().iter().map(|k| site.kind(*k).label.v_oc.volts());
            v_oc().fold(f64::INFINITY, f64::min) < 0.85 * v_oc().fold(0.0, f64::max)
        });
        prop_assume!(!uneven);
        let breaches = state.breaches();
        let watts = state.watts();
        let charge: f64 = wiring
            .array
            .panels()
            .map(|k| (0.02 * site.kind(k).label.p_mp.watts()).max(1.0))
            .sum();
        let plan = Plan {
            touch: Touch::Free,
            added: watts,
            charged: watts - Watts(charge),
            bound: Bound { watts, gap: 0.0, proven: true },
            joints: fewest_joints(&site.installed, std::slice::from_ref(&wiring)).joints,
            state,
            energy: None,
        };
        let found = audit(&site, &catalog, &plan, &site.installed);
        if breaches {
            prop_assert!(found.is_err());
        } else {
            prop_assert!(found.is_ok(), "{}", found.expect_err("just seen"));
        }
    }

    /// The list of fuses and the words of the rule never differ.
    #[test]
    fn what_the_fuse_rule_says_is_what_the_list_of_fuses_holds(
        wiring in array(5),
        ratings in prop::collection::vec(prop::option::weighted(0.85, 4.0..30.0_f64), 4),
    ) {
        let mut kinds = invented_panels();
        for (kind, rating) in kinds.iter_mut().zip(ratings) {
            kind.max_fuse = rating.map(Amps);
        }
        let site = site(kinds, mppt());
        let catalog = fit(&site);
        let fuses = Evaluator::new(&site, &catalog).fuses(&wiring);
        let found = check(&site, &wiring, CheckRule::StringFuse);
        let Some(found) = found else {
            prop_assert!(fuses.is_empty());
            return Ok(());
        };
        let missing = fuses.iter().any(|f| f.size.is_none() && f.most.is_some());
        let unrated = fuses.iter().any(|f| !f.unrated.is_empty());
        let expected = match (fuses.is_empty(), missing, unrated) {
            (true, ..) => Outcome::Pass,
            (_, true, _) => Outcome::Breach,
            (_, _, true) => Outcome::Unknown,
            _ => Outcome::Caution,
        };
        prop_assert_eq!(found.outcome, expected, "{}", found.note);
        if expected == Outcome::Caution {
            let (_, sizes) = found.note.split_once("fuses needed are ").expect("names the fuses");
            for fuse in &fuses {
                let size = fuse.size.expect("none is missing").amps();
                prop_assert!(sizes.contains(&format!("{size} A ")), "{size} A: {sizes}");
            }
            let n_named = sizes.matches(" A in ").count() + sizes.matches(" A on ").count();
            let mut sorts: Vec<(u64, bool, usize)> = fuses
                .iter()
                .map(|f| {
                    let bits = f.size.expect("none is missing").amps().to_bits();
                    match f.place {
                        FusePlace::String => (bits, false, 0),
                        FusePlace::Member { element, member } => {
                            let string = &wiring.array.strings[f.string];
                            (bits, true, string.elements()[element].members()[member].0)
                        }
                    }
                })
                .collect();
            sorts.sort_unstable();
            sorts.dedup();
            prop_assert_eq!(n_named, sorts.len(), "{}", sizes);
        }
    }
}
