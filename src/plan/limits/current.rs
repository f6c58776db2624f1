//! Limits that add up over an input: current, power, ports, and where the output clips.

use super::super::words::tell_apart;
use super::super::{Check, CheckRule, Outcome, Unit};
use super::{Finding, Wired, above};
use crate::electrical::{label_watts, string_i_sc};
use crate::model::InputRef;
use crate::units::{Amps, Watts};

/// The code's factor on short-circuit current (US NEC 690.8(A)(1), from secondary sources).
const CODE_FACTOR: f64 = 1.25;

/// Sum of the strings' short-circuit currents, with its factor, against the input's rating.
pub(super) fn input_current(wired: &Wired) -> Check {
    let i_sc: Amps = wired.array.strings.iter().map(|s| string_i_sc(s, wired.kinds)).sum();
    let factor = wired.site.isc_factor;
    let value = factor * i_sc.amps();
    let limit = wired.controller.max_pv_current.map(Amps::amps);
    let sum = format!("{factor} × {:.1} A of short-circuit current", i_sc.amps());
    let (outcome, note) = match limit {
        None => {
            let note = format!(
                "{sum} make {value:.1} A, but the controller's limit `max_pv_a` is not given: ask \
                 for it"
            );
            (Outcome::Unknown, note)
        }
        Some(limit) if above(value, limit) => {
            let (value, limit) = tell_apart(value, limit);
            let note = format!("{sum} make {value} A, above the {limit} A that the input may see");
            (Outcome::Breach, note)
        }
        Some(_) => (Outcome::Pass, String::new()),
    };
    let basis = if factor == CODE_FACTOR {
        "US NEC 690.8(A), 1.25 × Isc"
    } else {
        "factor of the site file"
    };
    wired.total(CheckRule::InputCurrent, Unit::Amps, (value, limit), (outcome, basis, note))
}

/// Sum of label watts against a limit that the maker states.
pub(super) fn input_power(wired: &Wired) -> Option<Check> {
    let limit = wired.controller.max_pv_power?.watts();
    let value = label_watts(wired.array, wired.kinds).watts();
    let (outcome, note) = if above(value, limit) {
        let (value, limit) = tell_apart(value, limit);
        let note = format!(
            "the panels' labels add up to {value} W, above the {limit} W that the maker allows"
        );
        (Outcome::Breach, note)
    } else {
        (Outcome::Pass, String::new())
    };
    let found = (outcome, "controller's label", note);
    Some(wired.total(CheckRule::InputPower, Unit::Watts, (value, Some(limit)), found))
}

/// Strings against places on the combiner.
pub(super) fn string_ports(wired: &Wired) -> Check {
    let (n, ports) = (wired.array.strings.len(), wired.controller.string_ports);
    let (outcome, note) = if n > ports {
        (Outcome::Breach, format!("{n} strings for {ports} places on the combiner"))
    } else {
        (Outcome::Pass, String::new())
    };
    let found = (outcome, "places on the combiner", note);
    wired.total(CheckRule::StringPorts, Unit::Strings, (n as f64, Some(ports as f64)), found)
}

/// Operating watts against what the output passes: above it the controller clips, which harms nothing.
pub(super) fn charge_limit(wired: &Wired) -> Option<Check> {
    let limit = wired.controller.clip_limit()?;
    Some(clipped_check(wired.at, wired.power, limit))
}

/// The check of some watts against what an output passes.
pub(in crate::plan) fn clipped_check(at: InputRef, power: Watts, limit: Watts) -> Check {
    let (outcome, note) = if above(power.watts(), limit.watts()) {
        let (value, limit) = tell_apart(power.watts(), limit.watts());
        let note = format!(
            "the array gives {value} W at full sun, of which the output passes {limit} W: the rest \
             is not taken, which harms nothing"
        );
        (Outcome::Caution, note)
    } else {
        (Outcome::Pass, String::new())
    };
    Check {
        rule: CheckRule::ChargeLimit,
        at,
        string: None,
        value: Some(power.watts()),
        limit: Some(limit.watts()),
        unit: Unit::Watts,
        outcome,
        basis: "controller's label",
        note,
    }
}

impl Wired<'_> {
    /// A check of the input as a whole.
    fn total(
        &self,
        rule: CheckRule,
        unit: Unit,
        (value, limit): (f64, Option<f64>),
        (outcome, basis, note): (Outcome, &'static str, String),
    ) -> Check {
        let value = Some(value);
        self.check(rule, unit, None, Finding { value, limit, outcome, basis, note, used: 0.0 })
    }
}
