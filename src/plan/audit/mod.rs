//! The second opinion: every figure and limit of a plan derived again, without the curves' knots.
//!
//! Architecture invariant: nothing here uses [`Evaluator`](super::Evaluator), `limits` or curves;
//! watts come from the diode equation, limits from their own code.

mod battery;
mod error;
mod exact;
mod joints;
mod judged;
mod limits;
mod output;
mod points;
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
    /// Gap up to which a plan may be called proven, as a fraction.
    pub proof: f64,
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
            proof: 1e-3,
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
/// equation's and the most its window holds (within 0.05 % and 0.02 W), no limit is breached, every
/// check says what is found again, its sums, its joints and its bound add up.
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
    let inputs = pair_inputs(installation, plan, today, terms)?;
    stock::audit_kinds(installation, &inputs)?;
    stock::audit_stock(installation, &inputs)?;
    ensure(plan.state.checks.iter().all(|c| inputs.iter().any(|i| i.at == c.at)), || {
        "a limit is given of an input that the site does not have".to_owned()
    })?;
    for input in &inputs {
        let stays = input.array.canonical() == input.today.canonical();
        ensure(input.standing == Standing::Planned || stays, || {
            format!("{} was not planned, but is not wired as today", input.name)
        })?;
        touch::audit_touch(plan.touch, input)?;
        battery::audit_spare_controller(installation, input)?;
        power::audit_power(installation, catalog, input)?;
        limits::audit_limits(installation, catalog, plan, input, &inputs)?;
    }
    battery::audit_battery(installation, plan, &inputs)?;
    sums::audit_sums(installation, catalog, plan, &inputs, terms)?;
    joints::audit_joints(plan, today, &inputs)
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
    standing: Standing,
}

/// Is an input part of what was planned?
#[derive(Clone, Copy, PartialEq, Eq)]
enum Standing {
    /// It is: no limit may be breached.
    Planned,
    /// It stays as it is: a breach there is a finding about today.
    Stays,
}

/// Pairs the inputs of the plan with today's, one for one.
fn pair_inputs<'a>(
    installation: &'a Installation,
    plan: &'a Plan,
    today: &'a [InputWiring],
    terms: &AuditTerms,
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
        let kept = installation.kept.contains(&state.at);
        let planned = !kept && terms.planned.is_none_or(|planned| planned == state.at);
        AuditedInput {
            at: state.at,
            name: format!("input {} of {}", state.at.input, controller.id),
            controller,
            state,
            array: ArrayWiring { strings },
            today: &today.array,
            standing: if planned { Standing::Planned } else { Standing::Stays },
        }
    };
    Ok(plan.state.inputs.iter().zip(today).map(input).collect())
}
