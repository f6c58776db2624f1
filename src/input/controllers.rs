//! One controller: its window, its limits, and what hangs on its output.

use super::battery::read_output;
use super::codes::{NO_EFFECT, START_VOLTAGE, UNKNOWN_CHOICE, WINDOW};
use super::doubts;
use super::fields::{Fields, Typed};
use super::findings::{Findings, quoted};
use super::meant::nearest;
use crate::model::{Controller, ControllerType, Output};
use crate::units::{Amps, Volts, Watts};

/// One controller; `None` if a finding says why not.
pub(super) fn read_controller(fields: &Fields, findings: &mut Findings) -> Option<Controller> {
    let id = fields.text("id", findings);
    let controller_type = read_type(fields, findings);
    let max_pv = fields.number("max_pv_v", findings);
    let window = read_window(fields, controller_type, max_pv.as_ref(), findings);
    let start = fields.number("start_v", findings);
    let output = read_output(fields, controller_type, start.as_ref(), findings);
    if let (Some((lo, hi)), Some(Output::Battery(bank))) = (&window, &output) {
        doubts::window((lo, hi), bank.nominal.volts(), findings);
    }
    if let (Some(start), Some(max_pv)) = (&start, &max_pv) {
        check_start(start, max_pv, findings);
    }
    let max_pv_current = fields.number("max_pv_a", findings).map(|x| Amps(x.value));
    let max_pv_power = fields.number("max_pv_w", findings).map(|x| Watts(x.value));
    let n_inputs = match fields.count("inputs", findings) {
        Some(n) => Some(n.value),
        None => (!fields.has("inputs")).then_some(1),
    };
    let string_ports = fields.count("string_ports", findings);
    let blocking_diodes = fields.switch("blocking_diodes", findings).unwrap_or(false);
    let efficiency = fields.number("efficiency_percent", findings).map(|x| x.value / 100.0);
    Some(Controller {
        id: id?.value,
        controller_type: controller_type?,
        output: output?,
        max_pv: Volts(max_pv?.value),
        window: window.map(|(lo, hi)| (Volts(lo.value), Volts(hi.value))),
        max_pv_current,
        max_pv_power,
        n_inputs: n_inputs?,
        string_ports: string_ports?.value,
        blocking_diodes,
        efficiency,
        spare: None,
    })
}

fn read_type(fields: &Fields, findings: &mut Findings) -> Option<ControllerType> {
    let typed = fields.text("type", findings)?;
    match typed.value.to_lowercase().as_str() {
        "mppt" => return Some(ControllerType::Mppt),
        "pwm" => return Some(ControllerType::Pwm),
        _ => {}
    }
    let message = format!("`type` must be `mppt` or `pwm` (it is {})", quoted(&typed.value));
    let help = match nearest(&typed.value, ["mppt", "pwm"].into_iter()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "write `mppt` for anything that tracks the array in a window, grid and pump inverters too; `pwm` for a plain controller that puts the array straight on the battery".to_owned(),
    };
    findings.error(UNKNOWN_CHOICE, typed.at, message, help);
    None
}

/// The tracking range, which MPPT needs and PWM does not have.
fn read_window(
    fields: &Fields,
    controller_type: Option<ControllerType>,
    max_pv: Option<&Typed<f64>>,
    findings: &mut Findings,
) -> Option<(Typed<f64>, Typed<f64>)> {
    if controller_type == Some(ControllerType::Pwm) {
        if let Some(at) = fields.key_place("window_v") {
            let message = format!("`window_v` has no effect: {} is PWM", fields.who);
            let help = "a PWM controller holds the array at battery voltage; take the key out, or write `type: mppt` if the controller tracks";
            findings.warning(NO_EFFECT, at, message, help);
        }
        return None;
    }
    if controller_type.is_some() && !fields.has("window_v") {
        let help = "an MPPT input tracks only between two voltages, and a string outside them gives little or nothing; write the range from the manual, as in `window_v: [32, 130]`";
        fields.report_missing("window_v", help, findings);
        return None;
    }
    let numbers = fields.numbers("window_v", findings)?;
    let [lo, hi]: [Typed<f64>; 2] = numbers.try_into().ok()?;
    if lo.value >= hi.value {
        let message =
            format!("`window_v` must rise ({} is not below {})", lo.as_typed, hi.as_typed);
        findings.error(WINDOW, lo.at, message, "write the lowest first, then the highest");
        return None;
    }
    if let Some(max_pv) = max_pv.filter(|max| hi.value > max.value) {
        let (top, max) = (&hi.as_typed, &max_pv.as_typed);
        let message = format!("`window_v` must end at or below `max_pv_v` ({top} is above {max})");
        let help = "`max_pv_v` is the absolute maximum, above which the controller is destroyed; are the two figures swapped?";
        findings.error(WINDOW, hi.at, message, help);
        return None;
    }
    Some((lo, hi))
}

fn check_start(start: &Typed<f64>, max_pv: &Typed<f64>, findings: &mut Findings) {
    if start.value >= max_pv.value {
        let (low, high) = (&start.as_typed, &max_pv.as_typed);
        let message = format!("`start_v` must be below `max_pv_v` ({low} is not below {high})");
        let help = "it is the voltage at which the converter begins to run; are the two swapped?";
        findings.error(START_VOLTAGE, start.at, message, help);
    }
}
