//! Every limit of an input once more, from labels and the diode equation, with its own code.

use super::super::{CheckRule, Outcome, Plan};
use super::error::{Audited, ensure};
use super::exact::{ExactArray, own_maximum};
use super::judged::{Judged, compare, keeps_limit};
use super::output::charge_limit;
use super::power::hold_range;
use super::{AuditedInput, reverse};
use crate::electrical::{Catalog, ExactString, cold_factor, hot_noon};
use crate::model::{ControllerType, Element, Installation, KindIdx, Output, PanelString};
use crate::units::{Amps, Volts};

/// Rounding of sums of label figures, as a part of them.
pub(super) const ROUNDING: f64 = 1e-6;

/// From this part of the controller's maximum on a person should know.
const NEAR_MAXIMUM: f64 = 0.97;

pub(super) fn audit_limits(
    installation: &Installation,
    catalog: &Catalog,
    plan: &Plan,
    input: &AuditedInput,
    inputs: &[AuditedInput],
) -> Audited {
    if input.array.strings.is_empty() {
        return ensure(plan.state.checks.iter().all(|c| c.at != input.at), || {
            format!("limits are given for {}, where nothing is wired", input.name)
        });
    }
    let hot = |s| {
        let noon = |k| hot_noon(&installation.site, installation.kind(k));
        ExactString::new(s, catalog, noon, input.controller.blocking_diodes)
    };
    let hot: Vec<ExactString> = input.array.strings.iter().map(hot).collect();
    let fuse = reverse::faults(installation, input);
    let judged = [
        (CheckRule::ColdVoc, cold_voc(installation, input)),
        (CheckRule::SystemVoltage, system_voltage(installation, input)),
        (CheckRule::HotWindow, hot_window(input, &hot)),
        (CheckRule::StartVoltage, start_voltage(input, &hot)),
        (CheckRule::InputCurrent, vec![input_current(installation, input)]),
        (CheckRule::InputPower, input_power(installation, input)),
        (CheckRule::StringPorts, vec![string_ports(input)]),
        (CheckRule::IdleReverseCurrent, reverse::idle(installation, catalog, input)),
        (CheckRule::FaultReverseCurrent, fuse.feeds),
        (CheckRule::StringFuse, fuse.fuses),
        (CheckRule::ChargeLimit, charge_limit(input, inputs)),
    ];
    judged.iter().try_for_each(|(rule, judged)| keeps_limit(plan, input, *rule, judged))?;
    judged.iter().try_for_each(|(rule, judged)| compare(plan, input, *rule, judged))
}

/// Label Voc with the label's coefficient, or the code's factor, in series; blocks at their highest. \[V\]
pub(super) fn cold_voltage(string: &PanelString, installation: &Installation) -> f64 {
    let coldest = installation.site.coldest;
    open_voltage(string, installation, |k| match installation.kind(k).v_oc_coefficient {
        Some(c) => 1.0 + c.percent_per_c() / 100.0 * (coldest.celsius() - 25.0).min(0.0),
        None => cold_factor(coldest),
    })
}

/// Label Voc at the unsafe end of its tolerance, each kind's times a factor. \[V\]
fn open_voltage(
    string: &PanelString,
    installation: &Installation,
    factor: impl Fn(KindIdx) -> f64,
) -> f64 {
    let panel = |k: &KindIdx| {
        let kind = installation.kind(*k);
        let percent = match (kind.v_oc_tolerance_percent, kind.tolerance_percent) {
            (Some(own), _) => own,
            (None, all) => all.unwrap_or(0.0),
        };
        kind.label.v_oc.volts() * (1.0 + percent / 100.0) * factor(*k)
    };
    let highest = |e: &Element| e.members().iter().map(panel).fold(0.0, f64::max);
    string.elements().iter().map(highest).sum()
}

fn cold_voc(installation: &Installation, input: &AuditedInput) -> Vec<Judged> {
    let limit = input.controller.max_pv.volts();
    let table = cold_factor(installation.site.coldest);
    strings(input)
        .map(|(s, string)| {
            let v = cold_voltage(string, installation);
            let by_table = open_voltage(string, installation, |_| table);
            let all_given =
                string.panels().all(|k| installation.kind(k).v_oc_coefficient.is_some());
            let outcome = |v: f64, by_table: f64| match v {
                v if v > limit => Outcome::Breach,
                v if v > NEAR_MAXIMUM * limit => Outcome::Caution,
                _ if all_given && by_table > limit => Outcome::Caution,
                _ => Outcome::Pass,
            };
            let slack = ROUNDING * v;
            let mut found =
                Judged::new(Some(s), (v, slack), Some(limit), |v| outcome(v, by_table - slack));
            found.outcomes.1 = found.outcomes.1.max(outcome(v, by_table + slack));
            found
        })
        .collect()
}

fn system_voltage(installation: &Installation, input: &AuditedInput) -> Vec<Judged> {
    strings(input)
        .map(|(s, string)| {
            let v = cold_voltage(string, installation);
            let limits = || string.panels().map(|k| installation.kind(k).max_system);
            let limit = limits().flatten().map(Volts::volts).reduce(f64::min);
            let lacking = limits().any(|limit| limit.is_none());
            Judged::new(Some(s), (v, ROUNDING * v), limit, |v| match limit {
                Some(limit) if v > limit => Outcome::Breach,
                _ if lacking => Outcome::Unknown,
                _ => Outcome::Pass,
            })
        })
        .collect()
}

fn hot_window(input: &AuditedInput, hot: &[ExactString]) -> Vec<Judged> {
    let (lo, hi) = hold_range(input.controller);
    let share = |string: &ExactString| {
        let own = own_maximum(string);
        if input.controller.controller_type == ControllerType::Pwm {
            // The current at the maximum is told apart less well than the maximum.
            return (string.current_at(Volts(lo)).amps().clamp(0.0, own.x) / own.x, 1.0);
        }
        let held = ExactArray::new(vec![string.clone()]).most((lo, hi), lo);
        (held / own.product, 0.2)
    };
    hot.iter()
        .enumerate()
        .map(|(s, string)| {
            let (share, tolerance) = share(string);
            Judged::at_least(s, (100.0 * share, tolerance), (90.0, 98.0))
        })
        .collect()
}

fn start_voltage(input: &AuditedInput, hot: &[ExactString]) -> Vec<Judged> {
    let least = match input.controller.output {
        _ if input.controller.controller_type == ControllerType::Pwm => None,
        Output::Battery(bank) => {
            let charging = bank.charging_voltage().volts();
            Some((charging + 1.0, charging + 5.0))
        }
        Output::Converter { start, .. } => start.map(|v| (v.volts(), v.volts() + 5.0)),
    };
    let judge = |(s, string): (usize, &ExactString)| {
        let v = string.voltage_at(Amps(0.0)).volts();
        least.map(|least| Judged::at_least(s, (v, 1e-4 * v), least))
    };
    hot.iter().enumerate().filter_map(judge).collect()
}

fn input_current(installation: &Installation, input: &AuditedInput) -> Judged {
    let i_sc: f64 = strings(input).map(|(_, s)| reverse::i_sc(s, installation)).sum();
    let value = installation.site.isc_factor * i_sc;
    let limit = input.controller.max_pv_current.map(Amps::amps);
    Judged::at_most(None, (value, ROUNDING * value), limit)
}

fn input_power(installation: &Installation, input: &AuditedInput) -> Vec<Judged> {
    let label = |k| installation.kind(k).label.p_mp.watts();
    let value: f64 = input.array.panels().map(label).sum();
    let limit = input.controller.max_pv_power.map(|p| p.watts());
    let judged = |limit| Judged::at_most(None, (value, ROUNDING * value), Some(limit));
    limit.map(judged).into_iter().collect()
}

fn string_ports(input: &AuditedInput) -> Judged {
    let (n, ports) = (input.array.strings.len(), input.controller.string_ports);
    Judged::at_most(None, (n as f64, 0.0), Some(ports as f64))
}

fn strings<'a>(input: &'a AuditedInput) -> impl Iterator<Item = (usize, &'a PanelString)> {
    input.array.strings.iter().enumerate()
}
