//! The battery's limit once more, and what a spare controller may be given.

use super::super::{CheckRule, Outcome, Plan, Unit};
use super::AuditedInput;
use super::error::{Audited, agree, ensure};
use super::limits::ROUNDING;
use super::reverse;
use crate::model::{ArrayWiring, ControllerType, Installation, Output};

/// A spare controller is given at most so much of its output in label watts.
const MOST_OF_OUTPUT: f64 = 1.25;

pub(super) fn audit_battery(
    installation: &Installation,
    plan: &Plan,
    inputs: &[AuditedInput],
) -> Audited {
    let mut checks = plan.state.checks.iter().filter(|c| c.rule == CheckRule::BatteryCharge);
    let (check, more) = (checks.next(), checks.next());
    let flow = pushed(installation, inputs);
    let limit = installation.site.battery_charge.map(crate::units::Amps::amps);
    let wanted = limit.is_some() && flow > 0.0;
    ensure(more.is_none() && check.is_some() == wanted, || {
        "the battery's limit is checked where it should not be, twice, or not at all".to_owned()
    })?;
    let (Some(check), Some(limit)) = (check, limit) else { return Ok(()) };
    agree(|| "charging current".to_owned(), (check.value.unwrap_or(f64::NAN), flow), 1e-6, "A")?;
    let first = inputs.iter().find(|i| {
        !i.array.strings.is_empty() && installation.charges_limited_battery(i.at.controller)
    });
    let stated = check.limit == Some(limit) && check.unit == Unit::Amps;
    ensure(stated && check.string.is_none() && first.is_some_and(|i| i.at == check.at), || {
        format!("the battery's limit of {limit} A is not what the plan holds its current against")
    })?;
    let kept = flow <= limit * (1.0 + ROUNDING) && check.outcome != Outcome::Breach;
    ensure(check.outcome != Outcome::Caution && check.outcome != Outcome::Unknown, || {
        "a battery within its limit is called otherwise".to_owned()
    })?;
    ensure(kept, || format!("{flow:.3} A could flow into a battery that takes {limit:.3} A"))
}

/// What all controllers of the limited battery can push into it. \[A\]
fn pushed(installation: &Installation, inputs: &[AuditedInput]) -> f64 {
    let nominal = |output: Output| match output {
        Output::Battery(bank) => Some(bank.nominal.volts()),
        Output::Converter { .. } => None,
    };
    let installed = installation.controllers.iter().filter(|c| c.spare.is_none());
    let Some(battery) = installed.filter_map(|c| nominal(c.output)).next() else { return 0.0 };
    let mut flow = 0.0;
    for (c, controller) in installation.controllers.iter().enumerate() {
        let Output::Battery(bank) = controller.output else { continue };
        if (bank.nominal.volts() - battery).abs() > 1e-6 {
            continue;
        }
        let own = inputs.iter().filter(|i| i.at.controller == c);
        let amps: f64 = own
            .map(|input| match controller.controller_type {
                ControllerType::Mppt => label_watts(installation, &input.array) / battery,
                ControllerType::Pwm => {
                    let strings = input.array.strings.iter();
                    strings.map(|s| reverse::i_sc(s, installation)).sum()
                }
            })
            .sum();
        flow += bank.charge_limit.map_or(amps, |most| amps.min(most.amps()));
    }
    flow
}

/// Is a spare controller one that fits what is there, and not given more than its output is for?
pub(super) fn audit_spare_controller(installation: &Installation, input: &AuditedInput) -> Audited {
    if input.controller.spare.is_none() || input.array.strings.is_empty() {
        return Ok(());
    }
    ensure(input.today.strings.is_empty(), || format!("{} is spare, yet wired today", input.name))?;
    ensure(installation.has_output_for(input.at.controller), || {
        format!("{} has no battery here", input.name)
    })?;
    let Some(output) = input.controller.clip_limit() else { return Ok(()) };
    let (label, most) = (label_watts(installation, &input.array), MOST_OF_OUTPUT * output.watts());
    ensure(label <= most * (1.0 + ROUNDING), || {
        format!("{} is given {label:.1} W of panels, at most {most:.1} W", input.name)
    })
}

fn label_watts(installation: &Installation, array: &ArrayWiring) -> f64 {
    array.panels().map(|k| installation.kind(k).label.p_mp.watts()).sum()
}
