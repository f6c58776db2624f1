//! The answers as JSON: a contract, versioned, units in the keys, keys in a fixed order.
//!
//! What has no figure is `null`, never NaN. Strings and inputs count from 1, plans from 0.
//! The schemas in `docs/` say the same; a test holds the two together.

mod controllers;
mod energy;
mod joints;
mod money;
mod parts;
mod phases;
mod plan;
mod planes;
mod spares;
mod state;

use serde::Serialize;

use self::controllers::{ControllerJson, OwnControllerJson};
pub(super) use phases::phases;

use self::energy::EnergyJson;
use self::joints::JointCurveJson;
use self::money::MoneyJson;
use self::parts::{CableJson, PartJson};
pub(super) use self::plan::JointsJson;
use self::plan::{LevelJson, PlanJson};
use self::planes::{DesignJson, PlaneJson, planes};
use self::spares::{IdleJson, SpareJson, idle};
use self::state::StateJson;
pub(super) use self::state::{CheckLineJson, ElementJson, checks, elements};
use super::figures::{Figure, celsius};
use super::names::Names;
use crate::model::{InputRef, Installation};
use crate::plan::{Advice, Aim, Checked, Outcome, Rule, State, cables, money, parts};

/// The answer to `advise` as JSON text.
pub(super) fn advice(installation: &Installation, advice: &Advice) -> String {
    text(&AdviceJson::new(Names(installation), advice))
}

/// The answer to `check` as JSON text.
pub(super) fn checked(installation: &Installation, checked: &Checked) -> String {
    text(&CheckJson::new(Names(installation), checked))
}

pub(super) fn text<T: Serialize>(value: &T) -> String {
    let json = serde_json::to_string_pretty(value).expect("plain data with string keys serializes");
    json + "\n"
}

/// `curve` or `nameplate`.
fn rule_name(rule: Rule) -> &'static str {
    match rule {
        Rule::Curve => "curve",
        Rule::Nameplate => "nameplate",
    }
}

fn cables_json<'a>(names: Names<'a>, state: &State) -> Vec<CableJson<'a>> {
    cables(names.0, state).iter().map(|cable| CableJson::new(names, cable)).collect()
}

#[derive(Serialize)]
struct AdviceJson<'a> {
    format: &'static str,
    site: &'a str,
    coldest_c: Figure,
    hottest_c: Figure,
    rule: &'static str,
    /// Left out where plans were chosen for watts.
    #[serde(skip_serializing_if = "Option::is_none")]
    aim: Option<&'static str>,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Option::is_none")]
    design_sun: Option<DesignJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    planes: Vec<PlaneJson<'a>>,
    planned: InputJson<'a>,
    /// All inputs, where several were planned together.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    planned_together: Vec<InputJson<'a>>,
    today: StateJson<'a>,
    plans: Vec<PlanJson<'a>>,
    levels: Vec<LevelJson<'a>>,
    best: Option<usize>,
    /// Only where a joint's worth was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    joint_curve: Option<JointCurveJson<'a>>,
    spares: Vec<SpareJson<'a>>,
    /// Only where there are any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    spare_controllers: Vec<ControllerJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    own_controllers: Vec<OwnControllerJson<'a>>,
    idle: Vec<IdleJson<'a>>,
    energy: Option<EnergyJson<'a>>,
    parts: Vec<PartJson<'a>>,
    cables: Vec<CableJson<'a>>,
    /// Only where the file says anything about money.
    #[serde(skip_serializing_if = "Option::is_none")]
    money: Option<MoneyJson<'a>>,
    assumed: &'a [String],
    ask: &'a [String],
    notes: &'a [String],
    cautions: &'a [&'static str],
}

impl<'a> AdviceJson<'a> {
    fn new(names: Names<'a>, advice: &'a Advice) -> Self {
        Self {
            format: "sungraft/advice@1",
            site: &advice.site,
            coldest_c: celsius(advice.coldest),
            hottest_c: celsius(advice.hottest),
            rule: rule_name(advice.rule),
            aim: Some(advice.aim).filter(|aim| *aim != Aim::Watts).map(Aim::name),
            design_sun: DesignJson::of(names),
            planes: planes(names),
            planned: InputJson::new(names, advice.planned),
            planned_together: advice
                .together
                .iter()
                .filter(|_| advice.together.len() > 1)
                .map(|at| InputJson::new(names, *at))
                .collect(),
            today: StateJson::new(names, &advice.today),
            plans: advice.plans.iter().map(|p| PlanJson::new(names, advice, p)).collect(),
            levels: advice
                .levels
                .iter()
                .map(|(touch, answer)| LevelJson::new(names, *touch, answer))
                .collect(),
            best: advice.best,
            joint_curve: JointCurveJson::of(names, advice),
            spares: advice.spares.iter().map(|s| SpareJson::new(names, advice, s)).collect(),
            spare_controllers: advice.controllers.iter().map(ControllerJson::new).collect(),
            own_controllers: advice
                .own_controllers
                .iter()
                .map(|o| OwnControllerJson::new(names, o))
                .collect(),
            idle: idle(names, &advice.idle),
            energy: advice.energy.as_ref().and_then(|e| EnergyJson::new(names, e)),
            parts: parts(names.0, advice).iter().map(|p| PartJson::new(names, p)).collect(),
            cables: cables_json(
                names,
                advice.best.map_or(&advice.today, |b| &advice.plans[b].state),
            ),
            money: money(names.0, advice).map(|m| MoneyJson::new(names, &m)),
            assumed: &advice.assumed,
            ask: &advice.ask,
            notes: &advice.notes,
            cautions: &advice.cautions,
        }
    }
}

#[derive(Serialize)]
struct CheckJson<'a> {
    format: &'static str,
    site: &'a str,
    coldest_c: Figure,
    hottest_c: Figure,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Option::is_none")]
    design_sun: Option<DesignJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    planes: Vec<PlaneJson<'a>>,
    /// The worst outcome of all checks.
    outcome: &'static str,
    today: StateJson<'a>,
    idle: Vec<IdleJson<'a>>,
    energy: Option<EnergyJson<'a>>,
    cables: Vec<CableJson<'a>>,
    assumed: &'a [String],
    ask: &'a [String],
    cautions: &'a [&'static str],
}

impl<'a> CheckJson<'a> {
    fn new(names: Names<'a>, checked: &'a Checked) -> Self {
        let outcomes = checked.state.checks.iter().map(|c| c.outcome);
        Self {
            format: "sungraft/check@1",
            site: &checked.site,
            coldest_c: celsius(checked.coldest),
            hottest_c: celsius(checked.hottest),
            design_sun: DesignJson::of(names),
            planes: planes(names),
            outcome: outcomes.max().unwrap_or(Outcome::Pass).name(),
            today: StateJson::new(names, &checked.state),
            idle: idle(names, &checked.idle),
            energy: checked.energy.as_ref().and_then(|e| EnergyJson::new(names, e)),
            cables: cables_json(names, &checked.state),
            assumed: &checked.assumed,
            ask: &checked.ask,
            cautions: &checked.cautions,
        }
    }
}

#[derive(Serialize)]
struct InputJson<'a> {
    controller: &'a str,
    input: usize,
}

impl<'a> InputJson<'a> {
    fn new(names: Names<'a>, at: InputRef) -> Self {
        Self { controller: names.controller(at), input: at.input }
    }
}
