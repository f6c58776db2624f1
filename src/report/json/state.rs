//! What a wiring gives: operating points, strings, limits.

use serde::Serialize;

use super::planes::planes_of;
use crate::model::{Element, PanelString};
use crate::plan::{Check, InputState, State, StringState};
use crate::report::figures::{Figure, amps, figure, volts, watts};
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct StateJson<'a> {
    pub(super) watts: Figure,
    pub(super) clipped_watts: Figure,
    pub(super) label_watts: Figure,
    pub(super) utilization: Figure,
    pub(super) nameplate_watts: Figure,
    pub(super) wiring: Vec<WiringJson<'a>>,
    pub(super) checks: Vec<CheckLineJson<'a>>,
}

impl<'a> StateJson<'a> {
    pub(super) fn new(names: Names<'a>, state: &'a State) -> Self {
        Self {
            watts: watts(state.watts()),
            clipped_watts: state.clipped().and_then(watts),
            label_watts: watts(state.label()),
            utilization: figure(state.utilization(), 4),
            nameplate_watts: watts(state.nameplate()),
            wiring: state
                .inputs
                .iter()
                .filter(|i| !i.strings.is_empty() || !names.0.is_spare(i.at))
                .map(|i| WiringJson::new(names, i))
                .collect(),
            checks: checks(names, &state.checks),
        }
    }
}

#[derive(Serialize)]
pub(super) struct WiringJson<'a> {
    controller: &'a str,
    input: usize,
    volts: Figure,
    amps: Figure,
    watts: Figure,
    clipped_watts: Figure,
    label_watts: Figure,
    nameplate_watts: Figure,
    strings: Vec<Vec<ElementJson<'a>>>,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    planes: Vec<Vec<ElementJson<'a>>>,
    string_states: Vec<StringJson>,
    other_peaks: Vec<PeakJson>,
}

impl<'a> WiringJson<'a> {
    pub(super) fn new(names: Names<'a>, input: &'a InputState) -> Self {
        Self {
            controller: names.controller(input.at),
            input: input.at.input,
            volts: volts(input.v),
            amps: amps(input.i),
            watts: watts(input.power),
            clipped_watts: input.clipped.and_then(watts),
            label_watts: watts(input.label),
            nameplate_watts: watts(input.nameplate),
            strings: input.strings.iter().map(|s| elements(names, &s.wiring)).collect(),
            planes: planes_of(names, input.strings.iter().map(|s| &s.wiring)),
            string_states: input.strings.iter().map(StringJson::new).collect(),
            other_peaks: input
                .other_peaks
                .iter()
                .map(|p| PeakJson { volts: volts(p.v), watts: watts(p.power) })
                .collect(),
        }
    }
}

/// A panel's kind, or a block as a list: the same shape as in the site file.
#[derive(Serialize)]
#[serde(untagged)]
pub(in crate::report) enum ElementJson<'a> {
    Single(&'a str),
    Block(Vec<&'a str>),
}

pub(in crate::report) fn elements<'a>(
    names: Names<'a>,
    string: &PanelString,
) -> Vec<ElementJson<'a>> {
    let element = |e: &Element| match e.members() {
        [one] => ElementJson::Single(names.label(*one)),
        many => ElementJson::Block(many.iter().map(|&k| names.label(k)).collect()),
    };
    string.elements().iter().map(element).collect()
}

#[derive(Serialize)]
struct StringJson {
    amps: Figure,
    watts: Figure,
    own_maximum_watts: Figure,
    cold_open_volts: Figure,
    /// Elements, from 1.
    bypassed_elements: Vec<usize>,
}

impl StringJson {
    fn new(string: &StringState) -> Self {
        Self {
            amps: amps(string.current),
            watts: watts(string.power),
            own_maximum_watts: watts(string.own_maximum),
            cold_open_volts: volts(string.cold_v_oc),
            bypassed_elements: string.bypassed.iter().map(|e| e + 1).collect(),
        }
    }
}

#[derive(Serialize)]
struct PeakJson {
    volts: Figure,
    watts: Figure,
}

#[derive(Serialize)]
pub(in crate::report) struct CheckLineJson<'a> {
    rule: &'static str,
    controller: &'a str,
    input: usize,
    string: Option<usize>,
    value: Figure,
    limit: Figure,
    unit: &'static str,
    outcome: &'static str,
    basis: &'static str,
    note: &'a str,
}

pub(in crate::report) fn checks<'a>(
    names: Names<'a>,
    checks: &'a [Check],
) -> Vec<CheckLineJson<'a>> {
    checks
        .iter()
        .map(|c| CheckLineJson {
            rule: c.rule.name(),
            controller: names.controller(c.at),
            input: c.at.input,
            string: c.string.map(|s| s + 1),
            value: c.value.and_then(|x| figure(x, 3)),
            limit: c.limit.and_then(|x| figure(x, 3)),
            unit: c.unit.symbol(),
            outcome: c.outcome.name(),
            basis: c.basis,
            note: &c.note,
        })
        .collect()
}
