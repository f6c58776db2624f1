//! Do the sums of a plan add up?

use super::super::{Bound, Plan, Rule};
use super::error::{Audited, agree, ensure};
use super::exact::ExactArray;
use super::output::{audit_clipping, most_passed};
use super::power::{CHORD, exact_compared, hold_range};
use super::{AuditTerms, AuditedInput, Standing};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, Element, Installation, KindIdx};
use crate::units::Watts;

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
    // Of the inputs that were searched, watts less charges.
    let mut searched = 0.0;
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
        let mut own_charge = charge_of(installation, &input.array, terms);
        if installation.weighs_outputs() {
            own_charge += half_beyond(installation, input);
        }
        charge += own_charge;
        if input.standing == Standing::Planned {
            searched += judged_by(terms.rule, state.power.0, own_nameplate) - own_charge;
        }
    }
    let entries = used_spares(inputs) as f64 * terms.charge_controller.watts();
    charge += entries;
    agree(|| "watts of the plan".to_owned(), (plan.state.watts().0, watts), ROUNDING, "W")?;
    agree(|| "label watts of the plan".to_owned(), (plan.state.label().0, label), ROUNDING, "W")?;
    let utilization = if label > 0.0 { watts / label } else { 0.0 };
    let figures = (plan.state.utilization(), utilization);
    agree(|| "utilization of the plan".to_owned(), figures, ROUNDING, "")?;
    let (today, slack) = today_watts(installation, catalog, inputs);
    agree(|| "watts added".to_owned(), (plan.added.0, watts - today), slack, "W")?;
    let judged = judged_by(terms.rule, watts, nameplate);
    agree(|| "charged watts".to_owned(), (plan.charged.0, judged - charge), ROUNDING, "W")?;
    audit_bound(plan, (judged, searched - entries), terms)
}

/// Is the bound no less than the plan, is the gap what lies between them, and is it small where that
/// is called a proof?
///
/// Whether no other wiring is better is the search's own proof: nothing here can tell.
fn audit_bound(plan: &Plan, (watts, searched): (f64, f64), terms: &AuditTerms) -> Audited {
    let Bound { watts: Watts(bound), gap, proven } = plan.bound;
    ensure(bound >= watts * (1.0 - 1e-6) - ROUNDING, || {
        format!("no wiring is said to give more than {bound:.4} W, but the plan gives {watts:.4} W")
    })?;
    // The search weighs wirings on its own curves.
    let slack = 0.0005 * watts.abs() + 0.02;
    let open = gap * searched.abs().max(1.0) + slack;
    ensure(bound - watts <= open, || {
        format!(
            "the bound of {bound:.4} W lies {:.4} W above the plan, which is more than the gap of \
             {:.4} %",
            bound - watts,
            100.0 * gap
        )
    })?;
    ensure(!proven || gap <= terms.proof, || {
        format!("a gap of {:.4} % is called proven", 100.0 * gap)
    })
}

/// Watts by the arithmetic that plans are chosen by.
fn judged_by(rule: Rule, watts: f64, nameplate: f64) -> f64 {
    match rule {
        Rule::Curve => watts,
        Rule::Nameplate => nameplate,
    }
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
        let array = ExactArray::new(strings);
        let most = array.most((lo, hi), lo);
        watts += most;
        // The audit's own tolerance of a power, and that of its search.
        slack += 0.0007 * most + 0.02;
        // And what chords along the voltage come to where the window's end cuts a steep curve.
        let moved = |by: f64| array.most((lo * by, hi * by), lo * by) / by;
        slack += (moved(1.0 - CHORD) - moved(1.0 + CHORD)).max(0.0);
    }
    (watts, slack)
}

/// Half of the label watts beyond the output of a controller with one input.
fn half_beyond(installation: &Installation, input: &AuditedInput) -> f64 {
    let most = most_passed(input.controller).filter(|_| input.controller.n_inputs == 1);
    let label = label_of(installation, &input.array);
    most.map_or(0.0, |most| 0.5 * (label - most).max(0.0))
}

/// Spare controllers to which something is wired.
pub(super) fn used_spares(inputs: &[AuditedInput]) -> usize {
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
