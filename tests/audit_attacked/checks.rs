//! Limits that are told wrongly, the wiring being sound.

use sungraft::model::{InputRef, KindIdx};
use sungraft::plan::{Check, CheckRule, Outcome, Plan, Unit};

use crate::honest::Honest;
use crate::random::Random;
use crate::refuses_all;

type Way = fn(&Honest, &mut Random) -> Option<Honest>;

/// A check of a plan for which something holds.
fn some(plan: &Plan, random: &mut Random, holds: impl Fn(&Check) -> bool) -> Option<usize> {
    let checks = &plan.state.checks;
    let fitting: Vec<usize> = (0..checks.len()).filter(|k| holds(&checks[*k])).collect();
    (!fitting.is_empty()).then(|| fitting[random.below(fitting.len())])
}

/// Is a check so near to where its outcome changes that the audit's tolerance leaves both open?
fn is_close_call(honest: &Honest, check: &Check) -> bool {
    let value = check.value.unwrap_or(f64::NAN);
    match check.rule {
        // Held to 0.2 % (MPPT) and 1 % (PWM) of a string's own best.
        CheckRule::HotWindow => (value - 98.0).abs() <= 1.1 || (value - 90.0).abs() <= 1.1,
        // Held to 0.5 % and 0.02 A; the caution begins at the weakest element's Isc.
        CheckRule::IdleReverseCurrent => {
            let input = honest.plan.state.inputs.iter().find(|i| i.at == check.at);
            let string = &input.expect("checked inputs are there").strings
                [check.string.expect("looks at strings")];
            let i_sc = |k: &KindIdx| honest.site.kind(*k).highest_i_sc().amps();
            let elements = string.wiring.elements().iter();
            let own = elements.map(|e| e.members().iter().map(i_sc).sum::<f64>());
            let own = own.fold(f64::INFINITY, f64::min);
            (value - own).abs() <= 0.005 * value + 0.05
        }
        _ => false,
    }
}

const WAYS: [(&str, Way); 12] = [
    ("a value", |honest, random| {
        let at = some(&honest.plan, random, |c| c.value.is_some())?;
        let by = if random.chance(0.5) { 1.0 } else { -1.0 };
        honest.with(|plan| {
            let check = &mut plan.state.checks[at];
            check.value = check.value.map(|v| v + by * (0.03 * v.abs() + 0.1));
        })
    }),
    ("no value where there is one", |honest, random| {
        let at = some(&honest.plan, random, |c| c.value.is_some())?;
        honest.with(|plan| plan.state.checks[at].value = None)
    }),
    ("a limit figure", |honest, random| {
        let at = some(&honest.plan, random, |c| c.limit.is_some())?;
        let by = random.between(1.001, 1.5);
        honest.with(|plan| {
            let check = &mut plan.state.checks[at];
            check.limit = check.limit.map(|v| v * by);
        })
    }),
    ("no limit where there is one", |honest, random| {
        let at = some(&honest.plan, random, |c| c.limit.is_some())?;
        honest.with(|plan| plan.state.checks[at].limit = None)
    }),
    ("a limit where none is known", |honest, random| {
        let at = some(&honest.plan, random, |c| c.limit.is_none())?;
        let limit = random.between(1.0, 100.0);
        honest.with(|plan| plan.state.checks[at].limit = Some(limit))
    }),
    ("a caution called a pass", |honest, random| {
        let close = |c: &Check| is_close_call(honest, c);
        let at = some(&honest.plan, random, |c| c.outcome == Outcome::Caution && !close(c))?;
        honest.with(|plan| plan.state.checks[at].outcome = Outcome::Pass)
    }),
    ("an unknown called a pass", |honest, random| {
        let at = some(&honest.plan, random, |c| c.outcome == Outcome::Unknown)?;
        honest.with(|plan| plan.state.checks[at].outcome = Outcome::Pass)
    }),
    ("a pass called otherwise", |honest, random| {
        let close = |c: &Check| is_close_call(honest, c);
        let at = some(&honest.plan, random, |c| c.outcome == Outcome::Pass && !close(c))?;
        let outcome = [Outcome::Caution, Outcome::Unknown, Outcome::Breach][random.below(3)];
        honest.with(|plan| plan.state.checks[at].outcome = outcome)
    }),
    ("a check left out", |honest, random| {
        let at = some(&honest.plan, random, |_| true)?;
        honest.with(|plan| drop(plan.state.checks.remove(at)))
    }),
    ("a check twice", |honest, random| {
        let at = some(&honest.plan, random, |_| true)?;
        honest.with(|plan| plan.state.checks.push(plan.state.checks[at].clone()))
    }),
    ("a check of a string or an input that is not there", |honest, random| {
        let at = some(&honest.plan, random, |_| true)?;
        let input = random.chance(0.5);
        honest.with(|plan| {
            let check = &mut plan.state.checks[at];
            if input {
                check.at = InputRef { controller: 0, input: 17 };
            } else {
                check.string = Some(99);
            }
        })
    }),
    ("a unit", |honest, random| {
        let at = some(&honest.plan, random, |_| true)?;
        honest.with(|plan| {
            let check = &mut plan.state.checks[at];
            check.unit = if check.unit == Unit::Volts { Unit::Amps } else { Unit::Volts };
        })
    }),
];

#[test]
fn limits_that_are_told_wrongly_are_refused() {
    refuses_all(&WAYS, 50);
}

const FUSES: [(&str, Way); 2] = [
    ("a fuse left out", |honest, random| {
        let fuse = |c: &Check| c.rule == CheckRule::StringFuse && c.outcome == Outcome::Caution;
        let at = some(&honest.plan, random, fuse)?;
        honest.with(|plan| {
            plan.state.checks[at].value = None;
            for check in &mut plan.state.checks {
                let fault = check.rule == CheckRule::FaultReverseCurrent;
                if fault || check.rule == CheckRule::StringFuse {
                    check.outcome = Outcome::Pass;
                }
            }
        })
    }),
    ("a fuse of another size", |honest, random| {
        let fuse = |c: &Check| c.rule == CheckRule::StringFuse && c.outcome == Outcome::Caution;
        let at = some(&honest.plan, random, fuse)?;
        honest.with(|plan| {
            let check = &mut plan.state.checks[at];
            check.value = check.value.map(|size| size + 5.0);
        })
    }),
];

#[test]
fn fuses_that_are_left_out_or_of_another_size_are_refused() {
    refuses_all(&FUSES, 6);
}
