//! Every limit of an input once more, from labels and the diode equation, with its own code.

use super::super::{CheckRule, Outcome, Plan};
use super::error::{AuditError, Audited, agree, ensure};
use super::exact::{ExactArray, own_maximum};
use super::power::hold_range;
use super::{AuditedInput, reverse};
use crate::electrical::{Catalog, ExactString, cold_factor, hot_noon};
use crate::model::{ControllerType, Element, Installation, KindIdx, Output, PanelString};
use crate::units::{Amps, Volts};

/// Rounding of sums of label figures, as a part of them.
pub(super) const ROUNDING: f64 = 1e-6;

/// What the audit finds for one string, panel, or the whole input under one rule.
pub(super) struct Judged {
    pub(super) string: Option<usize>,
    /// `None` where only the outcome is judged.
    pub(super) value: Option<f64>,
    pub(super) limit: Option<f64>,
    pub(super) breach: bool,
    /// Does a label lack the figure that this needs?
    pub(super) lacking: bool,
    /// By how much the plan's figure may differ.
    pub(super) tolerance: f64,
}

impl Judged {
    /// A figure that must not exceed its limit; without a limit it is lacking.
    pub(super) fn at_most(
        string: Option<usize>,
        value: f64,
        limit: Option<f64>,
        tolerance: f64,
    ) -> Self {
        let breach = limit.is_some_and(|limit| value > limit + tolerance);
        let lacking = limit.is_none();
        Self { string, value: Some(value), limit, breach, lacking, tolerance }
    }

    fn at_least(string: usize, value: f64, limit: f64, tolerance: f64) -> Self {
        Self {
            breach: value < limit - tolerance,
            ..Self::at_most(Some(string), value, Some(limit), tolerance)
        }
    }
}

pub(super) fn audit_limits(
    installation: &Installation,
    catalog: &Catalog,
    plan: &Plan,
    input: &AuditedInput,
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
    ];
    judged.iter().try_for_each(|(rule, judged)| compare(plan, input, *rule, judged))
}

/// Holds the plan's check of a rule against what the audit finds.
fn compare(plan: &Plan, input: &AuditedInput, rule: CheckRule, judged: &[Judged]) -> Audited {
    let what = |s: Option<usize>| {
        let string = s.map_or(String::new(), |s| format!(" in string {}", s + 1));
        format!("`{}` of {}{string}", rule.name(), input.name)
    };
    let mut checks = plan.state.checks.iter().filter(|c| c.at == input.at && c.rule == rule);
    let (check, more) = (checks.next(), checks.next());
    ensure(more.is_none() && check.is_some() != judged.is_empty(), || {
        format!("{} is checked where it should not be, twice, or not at all", what(None))
    })?;
    let Some(check) = check else { return Ok(()) };
    if let Some(found) = judged.iter().find(|j| j.breach) {
        let figure = |f: Option<f64>| f.map_or("none".to_owned(), |f| format!("{f:.3}"));
        let (value, limit) = (figure(found.value), figure(found.limit));
        let unit = check.unit.symbol();
        return Err(AuditError::Broken(format!(
            "{} is breached: {value} {unit} against {limit} {unit}",
            what(found.string)
        )));
    }
    ensure(check.outcome != Outcome::Breach, || {
        format!("{} is breached as the plan itself says: {}", what(check.string), check.note)
    })?;
    let lacking = judged.iter().any(|j| j.lacking);
    ensure(!lacking || check.outcome == Outcome::Unknown, || {
        format!("{} lacks a label figure, but is `{}`", what(None), check.outcome.name())
    })?;
    let mut same = judged.iter().filter(|j| j.string == check.string);
    let first = same.clone().next();
    let Some((claimed, first)) = check.value.zip(first) else { return Ok(()) };
    let near = |j: &Judged| {
        let close = |value: f64| (value - claimed).abs() <= j.tolerance && j.limit == check.limit;
        j.value.is_none_or(close)
    };
    if same.any(near) {
        return Ok(());
    }
    let unit = check.unit.symbol();
    if let Some(value) = first.value {
        agree(|| what(check.string), (claimed, value), first.tolerance, unit)?;
    }
    let limit = |limit: Option<f64>| limit.unwrap_or(f64::NAN);
    let figures = (limit(check.limit), limit(first.limit));
    agree(|| format!("limit of {}", what(check.string)), figures, 0.0, unit)
}

/// Label Voc with the label's coefficient, or the code's factor, in series; blocks at their highest. \[V\]
pub(super) fn cold_voltage(string: &PanelString, installation: &Installation) -> f64 {
    let coldest = installation.site.coldest;
    let panel = |k: &KindIdx| {
        let kind = installation.kind(*k);
        let factor = match kind.v_oc_coefficient {
            Some(c) => 1.0 + c.percent_per_c() / 100.0 * (coldest.celsius() - 25.0).min(0.0),
            None => cold_factor(coldest),
        };
        let percent = match (kind.v_oc_tolerance_percent, kind.tolerance_percent) {
            (Some(own), _) => own,
            (None, all) => all.unwrap_or(0.0),
        };
        kind.label.v_oc.volts() * (1.0 + percent / 100.0) * factor
    };
    let highest = |e: &Element| e.members().iter().map(panel).fold(0.0, f64::max);
    string.elements().iter().map(highest).sum()
}

fn cold_voc(installation: &Installation, input: &AuditedInput) -> Vec<Judged> {
    let limit = input.controller.max_pv.volts();
    strings(input)
        .map(|(s, string)| {
            let v = cold_voltage(string, installation);
            Judged::at_most(Some(s), v, Some(limit), ROUNDING * v)
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
            Judged { lacking, ..Judged::at_most(Some(s), v, limit, ROUNDING * v) }
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
            Judged::at_least(s, 100.0 * share, 90.0, tolerance)
        })
        .collect()
}

fn start_voltage(input: &AuditedInput, hot: &[ExactString]) -> Vec<Judged> {
    let least = match input.controller.output {
        _ if input.controller.controller_type == ControllerType::Pwm => None,
        Output::Battery(bank) => Some(bank.charging_voltage().volts() + 1.0),
        Output::Converter { start, .. } => start.map(Volts::volts),
    };
    let judge = |(s, string): (usize, &ExactString)| {
        let v = string.voltage_at(Amps(0.0)).volts();
        least.map(|least| Judged::at_least(s, v, least, 1e-4 * v))
    };
    hot.iter().enumerate().filter_map(judge).collect()
}

fn input_current(installation: &Installation, input: &AuditedInput) -> Judged {
    let i_sc: f64 = strings(input).map(|(_, s)| reverse::i_sc(s, installation)).sum();
    let value = installation.site.isc_factor * i_sc;
    let limit = input.controller.max_pv_current.map(Amps::amps);
    Judged::at_most(None, value, limit, ROUNDING * value)
}

fn input_power(installation: &Installation, input: &AuditedInput) -> Vec<Judged> {
    let label = |k| installation.kind(k).label.p_mp.watts();
    let value: f64 = input.array.panels().map(label).sum();
    let limit = input.controller.max_pv_power.map(|p| p.watts());
    limit.map(|l| Judged::at_most(None, value, Some(l), ROUNDING * value)).into_iter().collect()
}

fn string_ports(input: &AuditedInput) -> Judged {
    let (n, ports) = (input.array.strings.len(), input.controller.string_ports);
    Judged::at_most(None, n as f64, Some(ports as f64), 0.0)
}

fn strings<'a>(input: &'a AuditedInput) -> impl Iterator<Item = (usize, &'a PanelString)> {
    input.array.strings.iter().enumerate()
}
