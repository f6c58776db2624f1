//! Spare controllers, and controllers of their own for panels that are left over.

use serde::Serialize;

use super::spares::HelpJson;
use super::state::{ElementJson, elements};
use crate::model::ControllerType;
use crate::plan::{ControllerAnswer, ControllerClass, OwnController};
use crate::report::figures::{Figure, amps, figure, volts, watts};
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct ControllerJson<'a> {
    id: &'a str,
    offered: usize,
    used: usize,
    adds_watts: Figure,
    adds_kwh: Figure,
    verdict: &'static str,
    because: &'a str,
    would_help: &'a str,
    helps: Vec<HelpJson<'a>>,
    price: Figure,
}

impl<'a> ControllerJson<'a> {
    pub(super) fn new(answer: &'a ControllerAnswer) -> Self {
        Self {
            id: &answer.sort,
            offered: answer.offered,
            used: answer.used,
            adds_watts: watts(answer.adds),
            adds_kwh: answer.adds_energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            verdict: answer.verdict.name(),
            because: &answer.because,
            would_help: &answer.would_help,
            helps: answer.helps.iter().map(HelpJson::new).collect(),
            price: answer.price.and_then(|p| figure(p, 2)),
        }
    }
}

#[derive(Serialize)]
pub(super) struct OwnControllerJson<'a> {
    panels: Vec<PanelsJson<'a>>,
    classes: Vec<ClassJson<'a>>,
    words: &'a str,
}

#[derive(Serialize)]
struct PanelsJson<'a> {
    kind: &'a str,
    count: usize,
}

#[derive(Serialize)]
struct ClassJson<'a> {
    #[serde(rename = "type")]
    controller_type: &'static str,
    battery_v: Figure,
    max_pv_v: Figure,
    charge_a: Figure,
    strings: Vec<Vec<ElementJson<'a>>>,
    watts: Figure,
    kwh: Figure,
}

impl<'a> OwnControllerJson<'a> {
    pub(super) fn new(names: Names<'a>, own: &'a OwnController) -> Self {
        let panels = own.panels.iter();
        Self {
            panels: panels.map(|&(k, count)| PanelsJson { kind: names.label(k), count }).collect(),
            classes: own.classes.iter().map(|class| ClassJson::new(names, class)).collect(),
            words: &own.words,
        }
    }
}

impl<'a> ClassJson<'a> {
    fn new(names: Names<'a>, class: &ControllerClass) -> Self {
        Self {
            controller_type: type_name(class.controller_type),
            battery_v: volts(class.battery),
            max_pv_v: volts(class.max_pv),
            charge_a: amps(class.charge),
            strings: class.wiring.strings.iter().map(|s| elements(names, s)).collect(),
            watts: watts(class.watts),
            kwh: class.energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
        }
    }
}

/// As in the site file.
fn type_name(controller_type: ControllerType) -> &'static str {
    match controller_type {
        ControllerType::Mppt => "mppt",
        ControllerType::Pwm => "pwm",
    }
}
