//! In which order strings are put beside each other, so that no state on the way breaches a limit.
//!
//! A few unequal strings can be worse than all of them: one that takes current then takes it alone.
//! In rising order of open-circuit voltage each string that is added lifts the bus, so that what flows
//! back into those already there only grows: if all together keep their limits, so did every state
//! before. The order at standard test conditions need not be that of the cold morning, so each is tried
//! and judged.

use crate::electrical::{CurveSet, string_curve};
use crate::model::{ArrayWiring, InputWiring};
use crate::plan::{Check, CheckRule, Evaluator, Outcome};

/// The rules that bear on strings which are joined to each other but not to the controller. What the
/// array does to the controller counts as well, so that a slip of the hand at the disconnect does no harm.
const ISOLATED: [CheckRule; 5] = [
    CheckRule::ColdVoc,
    CheckRule::SystemVoltage,
    CheckRule::IdleReverseCurrent,
    CheckRule::FaultReverseCurrent,
    CheckRule::StringFuse,
];

/// Some strings of an input, by their indices.
pub(super) fn part_of(wiring: &InputWiring, strings: &[usize]) -> InputWiring {
    let strings = strings.iter().map(|s| wiring.array.strings[*s].clone()).collect();
    InputWiring { at: wiring.at, array: ArrayWiring { strings } }
}

/// The checks of joined strings with the array's disconnect open, those that are not simply kept.
/// Strings are named as in the whole wiring.
pub(super) fn isolated_findings(
    evaluator: &Evaluator,
    wiring: &InputWiring,
    joined: &[usize],
) -> Vec<Check> {
    let mut checks = evaluator.checks(&part_of(wiring, joined));
    checks.retain(|c| c.outcome > Outcome::Pass && ISOLATED.contains(&c.rule));
    for check in &mut checks {
        check.string = check.string.map(|s| joined[s]);
    }
    checks
}

/// An order in which to join strings, by their indices.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Order {
    /// First to last.
    pub(super) strings: Vec<usize>,
    /// Does every state on the way, the last one included, keep every limit?
    pub(super) safe: bool,
}

/// The order to join the strings of an input, from none to all. Taking them off goes backwards.
///
/// Their own order if it keeps every limit, else a rising one; where neither does, the rising one.
pub(super) fn joining_order(evaluator: &Evaluator, wiring: &InputWiring) -> Order {
    let own: Vec<usize> = (0..wiring.array.strings.len()).collect();
    let skies = evaluator.floating_curves();
    let orders: Vec<Vec<usize>> =
        std::iter::once(own).chain(skies.iter().map(|curves| rising(wiring, curves))).collect();
    let safe = orders.iter().find(|order| keeps_all(evaluator, wiring, order)).cloned();
    match safe {
        Some(strings) => Order { strings, safe: true },
        None => Order { strings: orders[1].clone(), safe: false },
    }
}

/// By open-circuit voltage, from the lowest.
fn rising(wiring: &InputWiring, curves: &CurveSet) -> Vec<usize> {
    let v_oc = |s: usize| string_curve(&wiring.array.strings[s], curves).v_oc().volts();
    let mut by_voltage: Vec<(f64, usize)> =
        (0..wiring.array.strings.len()).map(|s| (v_oc(s), s)).collect();
    by_voltage.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    by_voltage.into_iter().map(|(_, s)| s).collect()
}

fn keeps_all(evaluator: &Evaluator, wiring: &InputWiring, order: &[usize]) -> bool {
    (1..=order.len()).all(|n| {
        let findings = isolated_findings(evaluator, wiring, &order[..n]);
        findings.iter().all(|c| c.outcome < Outcome::Breach)
    })
}
