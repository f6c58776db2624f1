//! What an output leaves of the power once more, where it clips.

use super::super::Outcome;
use super::AuditedInput;
use super::error::{Audited, agree};
use super::judged::Judged;
use super::limits::ROUNDING;
use crate::model::{Controller, Output};

/// Power that an output passes at most. \[W\]
pub(super) fn most_passed(controller: &Controller) -> Option<f64> {
    match controller.output {
        Output::Battery(bank) => {
            bank.charge_limit.map(|i| i.amps() * bank.charging_voltage().volts())
        }
        Output::Converter { max_out, .. } => max_out.map(|p| p.watts()),
    }
}

/// What the output leaves of the power.
///
/// Inputs of one controller share its output in proportion to what they give.
pub(super) fn audit_clipping(input: &AuditedInput, inputs: &[AuditedInput]) -> Audited {
    let power = input.state.power.watts();
    let all = given_together(input, inputs);
    let part = if all > 0.0 { power / all } else { 0.0 };
    let derived = most_passed(input.controller).map_or(power, |most| (most * part).min(power));
    let claimed = input.state.clipped.map_or(power, |p| p.watts());
    agree(|| format!("clipped watts of {}", input.name), (claimed, derived), 1e-6, "W")
}

/// What all inputs of a controller give against what its output passes: told of the first of them
/// that is wired.
pub(super) fn charge_limit(input: &AuditedInput, inputs: &[AuditedInput]) -> Vec<Judged> {
    let Some(most) = most_passed(input.controller) else { return Vec::new() };
    let mut own = inputs.iter().filter(|i| i.at.controller == input.at.controller);
    let first = own.find(|i| !i.array.strings.is_empty());
    if first.is_none_or(|first| first.at != input.at) {
        return Vec::new();
    }
    let given = given_together(input, inputs);
    let judged = Judged::new(None, (given, ROUNDING * given), Some(most), |given| {
        if given > most { Outcome::Caution } else { Outcome::Pass }
    });
    vec![judged]
}

/// Watts of all inputs of a controller.
fn given_together(input: &AuditedInput, inputs: &[AuditedInput]) -> f64 {
    let own = inputs.iter().filter(|i| i.at.controller == input.at.controller);
    own.map(|i| i.state.power.watts()).sum()
}
