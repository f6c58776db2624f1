//! What joints buy.

use serde::Serialize;

use super::plan::JointsJson;
use super::state::{ElementJson, elements};
use crate::plan::{Advice, JointPoint};
use crate::report::figures::{Figure, figure, watts};
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct JointCurveJson<'a> {
    /// What each joint had to bring.
    joint_worth_watts: Figure,
    chosen: Option<usize>,
    complete: bool,
    points: Vec<PointJson<'a>>,
}

#[derive(Serialize)]
struct PointJson<'a> {
    joints: JointsJson,
    watts: Figure,
    charged_watts: Figure,
    bound_watts: Figure,
    gap_percent: Figure,
    proven: bool,
    worth_from_watts: Figure,
    worth_to_watts: Figure,
    /// On the planned input, as in a site file.
    strings: Vec<Vec<ElementJson<'a>>>,
}

impl<'a> JointCurveJson<'a> {
    /// The curve, where a joint's worth was asked for.
    pub(super) fn of(names: Names<'a>, advice: &'a Advice) -> Option<Self> {
        let (worth, curve) = (advice.joint_worth?, advice.joint_curve.as_ref()?);
        Some(Self {
            joint_worth_watts: watts(worth),
            chosen: curve.chosen,
            complete: curve.complete,
            points: curve.points.iter().map(|p| PointJson::new(names, advice, p)).collect(),
        })
    }
}

impl<'a> PointJson<'a> {
    fn new(names: Names<'a>, advice: &'a Advice, point: &'a JointPoint) -> Self {
        let plan = &point.plan;
        let input = plan.state.inputs.iter().filter(|i| i.at == advice.planned);
        let strings = input.flat_map(|i| &i.strings);
        Self {
            joints: JointsJson::new(plan.joints),
            watts: watts(plan.state.watts()),
            charged_watts: watts(plan.charged),
            bound_watts: watts(plan.bound.watts),
            gap_percent: figure(plan.bound.gap * 100.0, 4),
            proven: plan.bound.proven,
            worth_from_watts: point.worths.and_then(|w| watts(w.from)),
            worth_to_watts: point.worths.and_then(|w| w.to).and_then(watts),
            strings: strings.map(|s| elements(names, &s.wiring)).collect(),
        }
    }
}
