//! The states on the way keep the limits, or the steps say where they do not.

use sungraft::electrical::Catalog;
use sungraft::model::{ArrayWiring, Element, InputWiring, KindIdx, PanelString};
use sungraft::plan::{CheckRule, Evaluator, Method, Outcome, Work};
use sungraft::units::{Amps, Volts};

use crate::dice::Dice;
use crate::{AT, input, kind, kinds, method, site};

/// The strings that a step joins, first to last, and whether every state on the way is safe.
fn joined(method: &Method) -> (Vec<usize>, bool) {
    let found = method.steps.iter().find_map(|s| match &s.work {
        Work::ConnectStrings { order, safe, .. } => Some((order.clone(), *safe)),
        _ => None,
    });
    found.expect("something is connected")
}

fn breaches(method: &Method) -> usize {
    let states = method.steps.iter().flat_map(|s| &s.states);
    states.flat_map(|s| &s.findings).filter(|c| c.outcome == Outcome::Breach).count()
}

#[test]
fn a_strong_string_is_joined_last_where_a_weak_one_alone_would_take_all_its_current() {
    // loft-250 beside a loft-50: 8.61 A flow back into it (an independent model, checked against a
    // circuit simulator). With a label of 5 A that is a breach; beside two of them each takes half.
    let mut kinds = kinds();
    kinds[1].max_fuse = Some(Amps(5.0));
    let today = input(&[&[&[2]]]);
    let plan = input(&[&[&[2]], &[&[1]], &[&[1]]]);
    let site = site(kinds, vec![today]);
    let catalog = Catalog::fit(&site.kinds).expect("the labels are legal");
    let evaluator = Evaluator::new(&site, &catalog);
    let reverse = |strings: &[&[&[usize]]]| {
        let checks = evaluator.checks(&input(strings));
        let found = checks.into_iter().find(|c| c.rule == CheckRule::IdleReverseCurrent);
        found.expect("two strings").outcome
    };
    assert_eq!(reverse(&[&[&[2]], &[&[1]]]), Outcome::Breach);
    assert!(reverse(&[&[&[2]], &[&[1]], &[&[1]]]) < Outcome::Breach);

    let method = method(&site, &[plan], None);
    let (order, safe) = joined(&method);
    assert!(safe, "{method:#?}");
    let strong =
        method.rewiring.inputs[0].array.strings.iter().position(|s| s.panels().any(|k| k.0 == 2));
    assert_eq!(order.last().copied(), strong);
    assert_eq!(breaches(&method), 0);
}

#[test]
fn whenever_all_strings_together_keep_their_limits_some_order_keeps_them_throughout() {
    let mut dice = Dice(37);
    let (mut kept, mut tempting) = (0, 0);
    for _ in 0..600 {
        // Ratings that leave room for a fuse and not much more; coefficients that reorder the strings
        // in the cold.
        let mut kinds = kinds();
        for (kind, least) in kinds.iter_mut().zip([10.0, 5.0, 15.0]) {
            kind.max_fuse = Some(Amps(least + dice.below(3) as f64));
            kind.v_oc_coefficient =
                Some(sungraft::units::PercentPerC(-0.25 - 0.02 * dice.below(8) as f64));
        }
        // Mixed arrays, and single panels side by side, where a strong one soon pushes too much.
        let plan = if dice.below(2) == 0 {
            let n = 2 + dice.below(6);
            dice.wiring(n, 3, 1)
        } else {
            let strings = (0..3 + dice.below(5))
                .map(|_| PanelString::new(vec![Element::single(KindIdx(dice.below(3)))]));
            let strings = strings.collect();
            vec![InputWiring { at: AT, array: ArrayWiring { strings } }]
        };
        if plan[0].array.strings.len() < 2 {
            continue;
        }
        let site = site(kinds, vec![InputWiring { at: AT, array: ArrayWiring::default() }]);
        let catalog = Catalog::fit(&site.kinds).expect("the labels are legal");
        let evaluator = Evaluator::new(&site, &catalog);
        let judged = |wiring: &InputWiring| {
            let checks = evaluator.checks(wiring);
            checks.iter().all(|c| {
                c.outcome < Outcome::Breach
                    || matches!(c.rule, CheckRule::HotWindow | CheckRule::StartVoltage)
            })
        };
        if !judged(&plan[0]) {
            continue;
        }
        let method = method(&site, &plan, None);
        let (order, safe) = joined(&method);
        assert!(safe, "{method:#?}");
        // The claim is checked here by each state's own limits.
        let strings = &method.rewiring.inputs[0].array.strings;
        for n in 1..=order.len() {
            let part = order[..n].iter().map(|s| strings[*s].clone()).collect();
            assert!(judged(&InputWiring { at: AT, array: ArrayWiring { strings: part } }));
        }
        kept += 1;
        // Would their own order have passed a limit?
        tempting += usize::from(order != (0..order.len()).collect::<Vec<_>>());
    }
    assert!(kept > 100 && tempting > 5, "{kept} {tempting}");
}

#[test]
fn where_today_breaches_a_limit_the_steps_say_to_wait_for_the_dark() {
    let mut kinds = kinds();
    kinds[1].max_fuse = Some(Amps(5.0));
    let today = input(&[&[&[2]], &[&[1]]]);
    let site = site(kinds, vec![today]);
    let method = method(&site, &[input(&[&[&[2]]])], None);
    let lift = method.steps.iter().find_map(|s| match s.work {
        Work::LiftStrings { safe, .. } => Some(safe),
        _ => None,
    });
    assert_eq!(lift, Some(false));
    assert!(breaches(&method) > 0);
}

#[test]
fn current_that_flows_with_the_disconnect_open_is_told_before_a_string_is_parted() {
    // (loft-100 − loft-100) beside loft-250: 4.36 A into the loft-250 at standard test conditions (an
    // independent model, checked against a circuit simulator); in the cold it is another figure.
    let today = input(&[&[&[0], &[0]], &[&[2]]]);
    let mut site = site(kinds(), vec![today]);
    site.site.coldest = sungraft::units::Celsius(25.0);
    let method = method(&site, &[input(&[&[&[0], &[0]]])], None);
    let open = method.steps.iter().find(|s| s.work == Work::OpenDisconnect).expect("it is wired");
    assert!((open.circulating.amps() - 4.36).abs() < 0.01, "{:?}", open.circulating);
    // Behind blocking diodes nothing flows.
    site.controllers[0].blocking_diodes = true;
    let method = crate::method(&site, &[input(&[&[&[0], &[0]]])], None);
    let open = method.steps.iter().find(|s| s.work == Work::OpenDisconnect).expect("it is wired");
    assert_eq!(open.circulating, Amps(0.0));
}

#[test]
fn current_between_the_members_of_a_block_is_told_though_its_string_stands_alone() {
    let plan = input(&[&[&[0, 3]]]);
    let mut kinds = kinds();
    kinds.push(kind("loft-low", [16.0, 5.5, 20.0, 5.9], 15.0));
    let site = site(kinds, vec![input(&[])]);
    let method = method(&site, &[plan], None);
    let in_blocks = method.steps.iter().find_map(|s| match s.work {
        Work::Join { in_blocks, .. } => Some(in_blocks),
        _ => None,
    });
    let in_blocks = in_blocks.expect("a block is built");
    // More than nothing, less than the stronger panel can give.
    assert!(in_blocks > Amps(0.5) && in_blocks < Amps(5.9), "{in_blocks:?}");
}

#[test]
fn the_voltage_named_at_a_step_is_the_highest_that_can_stand_there() {
    let today = input(&[&[&[0], &[0]], &[&[2]]]);
    let plan = input(&[&[&[0], &[0], &[2]]]);
    let site = site(kinds(), vec![today]);
    let method = method(&site, &[plan], None);
    // By the table of US NEC 690.7(A) at −10 °C, 1.14 (secondary source, check your book), which is
    // above what the coefficient says, 1.112: (22.3 + 22.3 + 37.6) × 1.14.
    let built = method.steps.iter().find(|s| matches!(s.work, Work::Join { .. }));
    let highest = built.expect("the string is built").highest;
    assert!((highest.volts() - 82.2 * 1.14).abs() < 1e-9, "{highest:?}");
    let parted = method.steps.iter().find(|s| matches!(s.work, Work::TakeApart { .. }));
    assert!(parted.expect("a string is parted").highest >= Volts(37.6));
}
