//! What hangs on a controller's output: a battery, or a grid or pump inverter without one.

use super::codes::{BATTERY_ODD, CHARGE_VOLTAGE, CHARGE_VOLTAGE_ODD, KEYS_CLASH, NO_BATTERY};
use super::fields::{Fields, Typed};
use super::findings::{Findings, rounded};
use crate::model::{BatteryBank, ControllerType, Output};
use crate::units::{Amps, Volts, Watts};

const BATTERY_KEYS: [&str; 3] = ["battery_v", "charge_a", "charge_v"];
const CONVERTER_KEYS: [&str; 2] = ["start_v", "max_out_w"];

/// Usual nominal voltages: multiples of lead-acid blocks. Common practice, no source.
const NOMINALS: [f64; 13] =
    [6.0, 12.0, 24.0, 36.0, 48.0, 60.0, 72.0, 80.0, 96.0, 108.0, 120.0, 240.0, 360.0];
/// What lithium iron phosphate packs print (3.2 V a cell), and the nominal it stands for.
const LITHIUM: [(f64, f64); 4] = [(12.8, 12.0), (25.6, 24.0), (38.4, 36.0), (51.2, 48.0)];
/// Charging over nominal voltage: refused outside the first, worth a word outside the second.
/// Lead-acid charges at 1.15 to 1.3 of nominal, lithium at 1.11 to 1.22. Common practice, no source.
const CHARGE_POSSIBLE: (f64, f64) = (1.0, 1.5);
const CHARGE_USUAL: (f64, f64) = (1.08, 1.34);

/// The output; `None` if a finding says why not.
pub(super) fn read_output(
    fields: &Fields,
    controller_type: Option<ControllerType>,
    start: Option<&Typed<f64>>,
    findings: &mut Findings,
) -> Option<Output> {
    let nominal = fields.number("battery_v", findings);
    let charge_limit = fields.number("charge_a", findings);
    let charge = fields.number("charge_v", findings);
    let max_out = fields.number("max_out_w", findings);
    let battery_key = BATTERY_KEYS.into_iter().find(|key| fields.key_place(key).is_some());
    let converter_key = CONVERTER_KEYS.into_iter().find(|key| fields.has(key));
    if let (Some(battery), Some(converter)) = (battery_key, converter_key) {
        let at = fields.key_place(converter).unwrap_or(fields.at);
        let message = format!("{} has both `{battery}` and `{converter}`", fields.who);
        let help = "`battery_v`, `charge_a` and `charge_v` belong to a battery charger, `start_v` and `max_out_w` to a grid or pump inverter: keep the one or the other";
        findings.error(KEYS_CLASH, at, message, help);
        return None;
    }
    let is_pwm = controller_type == Some(ControllerType::Pwm);
    if let (true, Some(converter)) = (is_pwm, converter_key) {
        let at = fields.key_place(converter).unwrap_or(fields.at);
        let message = format!("{} is PWM and has `{converter}`", fields.who);
        let help = "a PWM controller charges a battery: give `battery_v` and `charge_a` instead, or write `type: mppt` if it is an inverter";
        findings.error(KEYS_CLASH, at, message, help);
        return None;
    }
    if battery_key.is_none() && !is_pwm {
        if controller_type.is_some() && converter_key.is_none() {
            warn_without_battery(fields, findings);
        }
        return Some(Output::Converter {
            start: start.map(|x| Volts(x.value)),
            max_out: max_out.map(|x| Watts(x.value)),
        });
    }
    read_bank(fields, nominal, charge_limit, charge, findings).map(Output::Battery)
}

fn warn_without_battery(fields: &Fields, findings: &mut Findings) {
    let message = format!("{} has no battery: it is taken for a grid or pump inverter", fields.who);
    let help = "if it charges a battery, add `battery_v` and `charge_a`; if not, add `max_out_w` (and `start_v`) from its manual";
    findings.warning(NO_BATTERY, fields.at, message, help);
}

fn read_bank(
    fields: &Fields,
    nominal: Option<Typed<f64>>,
    charge_limit: Option<Typed<f64>>,
    charge: Option<Typed<f64>>,
    findings: &mut Findings,
) -> Option<BatteryBank> {
    if !fields.has("battery_v") {
        let help = "write the battery's nominal voltage, as in `battery_v: 24`";
        fields.report_missing("battery_v", help, findings);
    }
    if !fields.has("charge_a") {
        let help = "write the controller's highest charging current from its label, as in `charge_a: 40`; above it the array's power is clipped";
        fields.report_missing("charge_a", help, findings);
    }
    if let (Some(nominal), Some(charge)) = (&nominal, &charge) {
        check_charge(nominal, charge, findings);
    }
    if let Some(nominal) = &nominal {
        check_nominal(nominal, charge.is_some(), findings);
    }
    Some(BatteryBank {
        nominal: Volts(nominal?.value),
        charge: charge.map(|x| Volts(x.value)),
        charge_limit: Some(Amps(charge_limit?.value)),
    })
}

fn check_charge(nominal: &Typed<f64>, charge: &Typed<f64>, findings: &mut Findings) {
    let ratio = charge.value / nominal.value;
    let (low, high) = (&nominal.as_typed, &charge.as_typed);
    let usual =
        format!("{} to {} V", rounded(nominal.value * 1.11, 1), rounded(nominal.value * 1.25, 1));
    if ratio <= CHARGE_POSSIBLE.0 || ratio > CHARGE_POSSIBLE.1 {
        let message = format!(
            "`charge_v` must be above `battery_v` and at most 1.5 times it ({high} with `battery_v` {low})"
        );
        let help = format!("charging at {low} V nominal takes about {usual}");
        findings.error(CHARGE_VOLTAGE, charge.at, message, help);
    } else if ratio < CHARGE_USUAL.0 || ratio > CHARGE_USUAL.1 {
        let message =
            format!("`charge_v` is {} times `battery_v` ({high} against {low})", rounded(ratio, 2));
        let help = format!(
            "charging at {low} V nominal takes about {usual}; `charge_v` is the highest charging voltage that is set"
        );
        findings.warning(CHARGE_VOLTAGE_ODD, charge.at, message, help);
    }
}

/// A charging voltage, or a lithium pack's own figure, in the place of the nominal one.
fn check_nominal(nominal: &Typed<f64>, has_charge: bool, findings: &mut Findings) {
    let volts = nominal.value;
    if NOMINALS.contains(&volts) {
        return;
    }
    let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
    if let Some((_, usual)) = LITHIUM.iter().find(|(pack, _)| same(*pack, volts)) {
        // With a charging voltage of its own nothing is derived from the nominal one.
        if !has_charge {
            let message = format!(
                "`battery_v` is {}: charging is then reckoned at {} V",
                nominal.as_typed,
                rounded(volts * 1.2, 1)
            );
            let help = format!(
                "for a lithium pack write `battery_v: {usual}`, or add `charge_v` from its manual"
            );
            findings.warning(BATTERY_ODD, nominal.at, message, help);
        }
        return;
    }
    let message = format!("`battery_v` is {}, which is no usual nominal voltage", nominal.as_typed);
    let from_charge = NOMINALS.iter().find(|n| {
        let ratio = volts / **n;
        (1.1..=1.25).contains(&ratio)
    });
    let help = match from_charge {
        Some(usual) if !has_charge => format!(
            "a battery of {usual} V nominal charges at such a voltage: write `battery_v: {usual}` and `charge_v: {}`",
            nominal.as_typed
        ),
        Some(usual) => format!("is it a battery of {usual} V nominal?"),
        None => "usual are 12, 24, 36 and 48 V; write the nominal voltage, not what a meter reads"
            .to_owned(),
    };
    findings.warning(BATTERY_ODD, nominal.at, message, help);
}
