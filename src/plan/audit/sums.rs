//! Do the sums of a plan add up?

use super::super::{Plan, Rule};
use super::error::{Audited, agree, ensure};
use super::exact::ExactArray;
use super::power::{exact_compared, hold_range};
use super::{AuditTerms, AuditedInput};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, Element, Installation, KindIdx, Output};

/// Sums of the same numbers in another order. \[W\]
const ROUNDING: f64 = 1e-6;

pub(super) fn audit_sums(
    installation: &Installation,
    catalog: &Catalog,
    plan: &Plan,
    inputs: &[AuditedInput],
    terms: &AuditTerms,
) -> Audited {
    let (mut watts, mut label, mut nameplate, mut charge) = (0.0, 0.0, 0.0, 0.0);
    for input in inputs {
        let (own_label, own_nameplate) =
            (label_of(installation, &input.array), nameplate_of(installation, input));
        let (state, name) = (input.state, &input.name);
        agree(|| format!("label watts of {name}"), (state.label.0, own_label), ROUNDING, "W")?;
        let figures = (state.nameplate.0, own_nameplate);
        agree(|| format!("nameplate watts of {name}"), figures, ROUNDING, "W")?;
        audit_clipping(input, inputs)?;
        watts += state.power.0;
        label += own_label;
        nameplate += own_nameplate;
        charge += charge_of(installation, &input.array, terms);
    }
    charge += used_spares(inputs) as f64 * terms.charge_controller.watts();
    if installation.weighs_outputs() {
        charge += inputs.iter().map(|input| half_beyond(installation, input)).sum::<f64>();
    }
    agree(|| "watts of the plan".to_owned(), (plan.state.watts().0, watts), ROUNDING, "W")?;
    agree(|| "label watts of the plan".to_owned(), (plan.state.label().0, label), ROUNDING, "W")?;
    let utilization = if label > 0.0 { watts / label } else { 0.0 };
    let figures = (plan.state.utilization(), utilization);
    agree(|| "utilization of the plan".to_owned(), figures, ROUNDING, "")?;
    let (today, slack) = today_watts(installation, catalog, inputs);
    agree(|| "watts added".to_owned(), (plan.added.0, watts - today), slack, "W")?;
    let judged = match terms.rule {
        Rule::Curve => watts,
        Rule::Nameplate => nameplate,
    };
    agree(|| "charged watts".to_owned(), (plan.charged.0, judged - charge), ROUNDING, "W")?;
    ensure(plan.bound.watts.0 >= judged * (1.0 - 1e-6) - ROUNDING, || {
        format!(
            "no wiring is said to give more than {:.4} W, but the plan gives {judged:.4} W",
            plan.bound.watts.0
        )
    })
}

/// Watts of the site as it stands, and by how much they may be off. \[W\]
fn today_watts(
    installation: &Installation,
    catalog: &Catalog,
    inputs: &[AuditedInput],
) -> (f64, f64) {
    let (mut watts, mut slack) = (0.0, ROUNDING);
    for input in inputs {
        // Inputs that stay were audited as part of the plan.
        if input.array.canonical() == input.today.canonical() {
            watts += input.state.power.0;
            continue;
        }
        let (lo, hi) = hold_range(input.controller);
        let strings = exact_compared(input.today, (installation, catalog), input.controller);
        let most = ExactArray::new(strings).most((lo, hi), lo);
        watts += most;
        // The audit's own tolerance of a power, and that of its search.
        slack += 0.0007 * most + 0.02;
    }
    (watts, slack)
}

/// Half of the label watts beyond the output of a controller with one input.
fn half_beyond(installation: &Installation, input: &AuditedInput) -> f64 {
    let most = match input.controller.output {
        _ if input.controller.n_inputs > 1 => None,
        Output::Battery(bank) => {
            bank.charge_limit.map(|i| i.amps() * bank.charging_voltage().volts())
        }
        Output::Converter { max_out, .. } => max_out.map(|p| p.watts()),
    };
    let label = label_of(installation, &input.array);
    most.map_or(0.0, |most| 0.5 * (label - most).max(0.0))
}

/// Spare controllers to which something is wired.
fn used_spares(inputs: &[AuditedInput]) -> usize {
    let used = |i: &&AuditedInput| i.controller.spare.is_some() && !i.array.strings.is_empty();
    let mut controllers: Vec<usize> = inputs.iter().filter(used).map(|i| i.at.controller).collect();
    controllers.dedup();
    controllers.len()
}

fn label_of(installation: &Installation, array: &ArrayWiring) -> f64 {
    array.panels().map(|k| installation.kind(k).label.p_mp.watts()).sum()
}

fn charge_of(installation: &Installation, array: &ArrayWiring, terms: &AuditTerms) -> f64 {
    let of_panel = |k: KindIdx| {
        let share = terms.charge_share * installation.kind(k).label.p_mp.watts();
        terms.charge_watts.watts().max(share)
    };
    array.panels().map(of_panel).sum()
}

/// The hand arithmetic once more: lowest Imp at the sum of Vmp, strings at the lowest string voltage;
/// a panel's Imp by the sun on its plane.
fn nameplate_of(installation: &Installation, input: &AuditedInput) -> f64 {
    let (lo, hi) = hold_range(input.controller);
    let (mut bus, mut current) = (f64::INFINITY, 0.0);
    for string in &input.array.strings {
        let (mut v, mut i) = (0.0, f64::INFINITY);
        for members in string.elements().iter().map(Element::members) {
            let label = |k: &KindIdx| installation.kind(*k).label;
            let lit = |k: &KindIdx| label(k).i_mp.amps() * sun_share(installation, *k);
            v += members.iter().map(|k| label(k).v_mp.volts()).fold(f64::INFINITY, f64::min);
            i = f64::min(i, members.iter().map(lit).sum());
        }
        bus = f64::min(bus, v);
        current += i;
    }
    if input.array.strings.is_empty() || bus < lo { 0.0 } else { bus.min(hi) * current }
}

/// Share of full sun on a kind's plane at the design instant.
fn sun_share(installation: &Installation, kind: KindIdx) -> f64 {
    let placed = installation.kind(kind).placed.as_ref();
    let at_design = placed.map(|p| installation.site.sun.planes[p.plane.0].at_design);
    at_design.map_or(1.0, |sun| sun.watts_per_m2() / 1000.0)
}

/// What the output leaves of the power.
///
/// Inputs of one controller share its output in proportion to what they give.
fn audit_clipping(input: &AuditedInput, inputs: &[AuditedInput]) -> Audited {
    let limit = match input.controller.output {
        Output::Battery(bank) => {
            bank.charge_limit.map(|i| i.amps() * bank.charging_voltage().volts())
        }
        Output::Converter { max_out, .. } => max_out.map(|p| p.watts()),
    };
    let power = input.state.power.watts();
    let sharing = inputs.iter().filter(|i| i.at.controller == input.at.controller);
    let all: f64 = sharing.map(|i| i.state.power.watts()).sum();
    let part = if all > 0.0 { power / all } else { 0.0 };
    let derived = limit.map_or(power, |limit| (limit * part).min(power));
    let claimed = input.state.clipped.map_or(power, |p| p.watts());
    agree(|| format!("clipped watts of {}", input.name), (claimed, derived), ROUNDING, "W")
}
