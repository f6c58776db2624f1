//! Plans and touch levels.

use serde::Serialize;

use super::InputJson;
use super::state::{CheckLineJson, StateJson, WiringJson, checks};
use crate::energy::Span;
use crate::plan::{Advice, Check, EnergyProof, Joints, Plan, Touch, TouchAnswer, Yield};
use crate::report::figures::{Figure, figure, sought_kwh, watts};
use crate::report::moves::between_inputs;
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct PlanJson<'a> {
    touch: &'static str,
    watts: Figure,
    added_watts: Figure,
    clipped_watts: Figure,
    label_watts: Figure,
    utilization: Figure,
    nameplate_watts: Figure,
    charged_watts: Figure,
    bound_watts: Figure,
    gap_percent: Figure,
    proven: bool,
    /// Left out where plans were chosen for watts.
    #[serde(skip_serializing_if = "Option::is_none")]
    energy_proof: Option<EnergyProofJson>,
    wiring: Vec<WiringJson<'a>>,
    checks: Vec<CheckLineJson<'a>>,
    joints: JointsJson,
    /// Panels that change their input, where several were planned together.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moves: Vec<MoveJson<'a>>,
}

/// How far the search for energy went: kWh of a year, or of a mean day of a month.
#[derive(Serialize)]
struct EnergyProofJson {
    /// From 1; `null` for a whole year.
    month: Option<usize>,
    brings_kwh: Figure,
    bound_kwh: Figure,
    gap_percent: Figure,
    proven: bool,
    evaluated: usize,
}

impl EnergyProofJson {
    fn new(proof: EnergyProof) -> Self {
        Self {
            month: month(proof.brings.span),
            brings_kwh: sought_kwh(proof.brings),
            bound_kwh: sought_kwh(Yield { energy: proof.bound, ..proof.brings }),
            gap_percent: figure(proof.gap * 100.0, 4),
            proven: proof.proven,
            evaluated: proof.evaluated,
        }
    }
}

/// A month from 1; `None` for a whole year.
fn month(span: Span) -> Option<usize> {
    match span {
        Span::Year => None,
        Span::DayOf(month) => Some(month + 1),
    }
}

#[derive(Serialize)]
struct MoveJson<'a> {
    kind: &'a str,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Option::is_none")]
    plane: Option<&'a str>,
    count: usize,
    from: InputJson<'a>,
    to: InputJson<'a>,
}

impl<'a> PlanJson<'a> {
    pub(super) fn new(names: Names<'a>, advice: &Advice, plan: &'a Plan) -> Self {
        let moved = between_inputs(names.0, advice, plan);
        let state = StateJson::new(names, &plan.state);
        Self {
            touch: plan.touch.name(),
            watts: state.watts,
            added_watts: watts(plan.added),
            clipped_watts: state.clipped_watts,
            label_watts: state.label_watts,
            utilization: state.utilization,
            nameplate_watts: state.nameplate_watts,
            charged_watts: watts(plan.charged),
            bound_watts: watts(plan.bound.watts),
            gap_percent: figure(plan.bound.gap * 100.0, 4),
            proven: plan.bound.proven,
            energy_proof: plan.energy.map(EnergyProofJson::new),
            wiring: state.wiring,
            checks: state.checks,
            joints: JointsJson::new(plan.joints),
            moves: moved
                .iter()
                .map(|m| MoveJson {
                    kind: names.label(m.kind),
                    plane: names.plane(m.kind),
                    count: m.count,
                    from: InputJson::new(names, m.from),
                    to: InputJson::new(names, m.to),
                })
                .collect(),
        }
    }
}

#[derive(Serialize)]
pub(in crate::report) struct JointsJson {
    opened: usize,
    made: usize,
}

impl JointsJson {
    pub(in crate::report) fn new(joints: Joints) -> Self {
        Self { opened: joints.opened, made: joints.made }
    }
}

#[derive(Serialize)]
pub(super) struct LevelJson<'a> {
    touch: &'static str,
    result: &'static str,
    plan: Option<usize>,
    failed_checks: Vec<CheckLineJson<'a>>,
}

impl<'a> LevelJson<'a> {
    pub(super) fn new(names: Names<'a>, touch: Touch, answer: &'a TouchAnswer) -> Self {
        let (result, plan, failed): (_, _, &[Check]) = match answer {
            TouchAnswer::Plan(idx) => ("plan", Some(*idx), &[]),
            TouchAnswer::SameAs(idx) => ("same_as", Some(*idx), &[]),
            TouchAnswer::NoPlan(failed) => ("no_plan", None, failed),
            TouchAnswer::LimitReached => ("limit_reached", None, &[]),
        };
        Self { touch: touch.name(), result, plan, failed_checks: checks(names, failed) }
    }
}
