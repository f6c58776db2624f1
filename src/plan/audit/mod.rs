//! The second opinion: every figure and limit of a plan derived again, without the curves' knots.
//!
//! Architecture invariant: nothing here uses [`Evaluator`](super::Evaluator), `limits` or curves;
//! watts come from the diode equation, limits from their own code.

mod battery;
mod error;
mod exact;
mod limits;
mod power;
mod product;
mod reverse;
mod stock;
mod sums;
mod touch;

pub use error::AuditError;
use error::ensure;

use super::{InputState, Plan, Rule};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, Controller, InputRef, InputWiring, Installation};
use crate::units::Watts;

/// By what a plan was chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AuditTerms {
    /// By which arithmetic.
    pub rule: Rule,
    /// Least charge on a panel wired. \[W\]
    pub charge_watts: Watts,
    /// The same as a share of its label; the larger of the two counts.
    pub charge_share: f64,
    /// Charge on each spare controller used. \[W\]
    pub charge_controller: Watts,
    /// The input that was planned: every other must stand as today, and its limits are a finding
    /// about today, no part of the plan. `None`: all inputs were planned but those to be kept.
    pub planned: Option<InputRef>,
}

impl Default for AuditTerms {
    /// The curve, max(1 W, 2 % of the label), 10 W a spare controller, all inputs.
    fn default() -> Self {
        Self {
            rule: Rule::Curve,
            charge_watts: Watts(1.0),
            charge_share: 0.02,
            charge_controller: Watts(10.0),
            planned: None,
        }
    }
}

/// Audits a plan on the default terms.
///
/// # Errors
/// [`AuditError`] with the first figure that disagrees or the first rule that is broken.
pub fn audit(
    installation: &Installation,
    catalog: &Catalog,
    plan: &Plan,
    today: &[InputWiring],
) -> Result<(), AuditError> {
    audit_with(installation, catalog, plan, today, &AuditTerms::default())
}

/// Audits a plan: its panels are there, its touch level is respected, its watts are the diode
/// equation's and the most its window holds (within 0.05 % and 0.02 W), no limit is breached, its
/// sums add up.
///
/// # Errors
/// [`AuditError`] with the first figure that disagrees or the first rule that is broken.
pub fn audit_with(
    installation: &Installation,
    catalog: &Catalog,
    plan: &Plan,
    today: &[InputWiring],
    terms: &AuditTerms,
) -> Result<(), AuditError> {
    let inputs = pair_inputs(installation, plan, today)?;
    stock::audit_stock(installation, &inputs)?;
    for input in &inputs {
        let kept = installation.kept.contains(&input.at);
        let planned = !kept && terms.planned.is_none_or(|planned| planned == input.at);
        ensure(planned || input.array.canonical() == input.today.canonical(), || {
            format!("{} was not planned, but is not wired as today", input.name)
        })?;
        touch::audit_touch(plan.touch, input)?;
        battery::audit_spare_controller(installation, input)?;
        power::audit_power(installation, catalog, input)?;
        if planned {
            limits::audit_limits(installation, catalog, plan, input)?;
        }
    }
    battery::audit_battery(installation, plan, &inputs)?;
    sums::audit_sums(installation, catalog, plan, &inputs, terms)
}

/// One input of a plan as the audit sees it.
struct AuditedInput<'a> {
    at: InputRef,
    /// `input 1 of shed`.
    name: String,
    controller: &'a Controller,
    state: &'a InputState,
    /// As planned.
    array: ArrayWiring,
    /// As it stands.
    today: &'a ArrayWiring,
}

/// Pairs the inputs of the plan with today's, one for one.
fn pair_inputs<'a>(
    installation: &'a Installation,
    plan: &'a Plan,
    today: &'a [InputWiring],
) -> Result<Vec<AuditedInput<'a>>, AuditError> {
    let same = plan.state.inputs.len() == today.len()
        && plan.state.inputs.iter().zip(today).all(|(planned, stands)| planned.at == stands.at);
    ensure(same, || {
        format!(
            "the plan speaks of {} inputs, the site has {}, or their order differs",
            plan.state.inputs.len(),
            today.len()
        )
    })?;
    let input = |(state, today): (&'a InputState, &'a InputWiring)| {
        let controller = installation.controller(state.at);
        let strings = state.strings.iter().map(|s| s.wiring.clone()).collect();
        AuditedInput {
            at: state.at,
            name: format!("input {} of {}", state.at.input, controller.id),
            controller,
            state,
            array: ArrayWiring { strings },
            today: &today.array,
        }
    };
    Ok(plan.state.inputs.iter().zip(today).map(input).collect())
}
