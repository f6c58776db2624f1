//! The hottest noon: does each string still work where the input holds it, and does it start?

use super::super::words::tell_apart;
use super::super::{Check, CheckRule, Outcome, Unit};
use super::{Finding, Wired, below};
use crate::model::{ControllerType, Output};
use crate::units::Volts;

/// Below this part of its own best, a string is not held: it breaches. \[%\] (common practice, no source)
const HELD: f64 = 90.0;
/// Below this part a person should know. \[%\] (common practice, no source)
const WELL_HELD: f64 = 98.0;
/// A charger runs from this far above its charging voltage. \[V\] (common practice, no source)
const RUNS_ABOVE: f64 = 1.0;
/// And starts for sure from this far above it. \[V\] (common practice, no source)
const STARTS_ABOVE: f64 = 5.0;

/// What each string gives where the input holds it, as a part of what it could give.
///
/// MPPT: power inside the window. PWM: current at charging voltage, against that at its own maximum
/// power point, at most 100 %.
pub(super) fn hot_window(wired: &Wired) -> Option<Check> {
    let (lo, hi) = wired.controller.hold_range();
    let findings = wired.strings.iter().enumerate().map(|(s, string)| {
        let own = string.hot.max_power(Volts(0.0), string.hot.v_oc());
        let (held, best, unit) = match wired.controller.controller_type {
            ControllerType::Mppt => (string.hot.max_power(lo, hi).power().0, own.power().0, "W"),
            ControllerType::Pwm => (string.hot.current_at(lo).0.min(own.i.0), own.i.0, "A"),
        };
        let held = held.max(0.0);
        let value = if best > 0.0 { 100.0 * held / best } else { 0.0 };
        let outcome = if below(value, HELD) {
            Outcome::Breach
        } else if below(value, WELL_HELD) {
            Outcome::Caution
        } else {
            Outcome::Pass
        };
        let note = match outcome {
            Outcome::Pass => String::new(),
            _ => {
                let place = if lo < hi {
                    format!("held between {} and {} V", lo.volts(), hi.volts())
                } else {
                    format!("held at {:.1} V", lo.volts())
                };
                let (held, best) = tell_apart(held, best);
                format!(
                    "on the hottest noon string {}, {place}, gives {held} {unit} of the {best} \
                     {unit} at its own best point",
                    s + 1
                )
            }
        };
        let basis = "common practice, no source";
        let found =
            Finding { value: Some(value), limit: Some(HELD), outcome, basis, note, used: -value };
        (s, found)
    });
    wired.nearest(CheckRule::HotWindow, Unit::Percent, findings)
}

/// Open-circuit voltage of each string against what starts the converter; MPPT only, and only where
/// that voltage is known.
pub(super) fn start_voltage(wired: &Wired) -> Option<Check> {
    if wired.controller.controller_type == ControllerType::Pwm {
        return None;
    }
    let (least, ample, what, basis) = match wired.controller.output {
        Output::Battery(bank) => {
            let charging = bank.charging_voltage().volts();
            let what = format!("the {charging:.1} V charging voltage + {RUNS_ABOVE} V");
            (charging + RUNS_ABOVE, charging + STARTS_ABOVE, what, "common practice, no source")
        }
        Output::Converter { start, .. } => {
            let start = start?.volts();
            (start, start + STARTS_ABOVE, "the start voltage".to_owned(), "converter's label")
        }
    };
    let findings = wired.strings.iter().enumerate().map(|(s, string)| {
        let v = string.hot.v_oc().volts();
        let n = s + 1;
        let (outcome, note) = if below(v, least) {
            let (v, least) = tell_apart(v, least);
            let note = format!(
                "on the hottest noon string {n} stands at {v} V open, below the {least} V ({what}) \
                 from which the controller runs"
            );
            (Outcome::Breach, note)
        } else if below(v, ample) {
            let (v, ample) = tell_apart(v, ample);
            let note = format!(
                "on the hottest noon string {n} stands at {v} V open, below the {ample} V from \
                 which the controller starts for sure"
            );
            (Outcome::Caution, note)
        } else {
            (Outcome::Pass, String::new())
        };
        (s, Finding { value: Some(v), limit: Some(least), outcome, basis, note, used: least / v })
    });
    wired.nearest(CheckRule::StartVoltage, Unit::Volts, findings)
}
