//! Plans and touch levels.

use serde::Serialize;

use super::InputJson;
use super::state::{CheckLineJson, StateJson, WiringJson, checks};
use crate::plan::{Advice, Check, Joints, Plan, Touch, TouchAnswer};
use crate::report::figures::{Figure, figure, watts};
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
    wiring: Vec<WiringJson<'a>>,
    checks: Vec<CheckLineJson<'a>>,
    joints: JointsJson,
    /// Panels that change their input, where several were planned together.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    moves: Vec<MoveJson<'a>>,
}

#[derive(Serialize)]
struct MoveJson<'a> {
    kind: &'a str,
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
            wiring: state.wiring,
            checks: state.checks,
            joints: JointsJson::new(plan.joints),
            moves: moved
                .iter()
                .map(|m| MoveJson {
                    kind: names.kind(m.kind),
                    count: m.count,
                    from: InputJson::new(names, m.from),
                    to: InputJson::new(names, m.to),
                })
                .collect(),
        }
    }
}

#[derive(Serialize)]
pub(super) struct JointsJson {
    opened: usize,
    made: usize,
}

impl JointsJson {
    pub(super) fn new(joints: Joints) -> Self {
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
