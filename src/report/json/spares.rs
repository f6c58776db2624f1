//! Spare kinds and idle panels: what each is worth, what binds, what would help.

use serde::Serialize;

use super::planes::{PutUpJson, planes_of, put_up_json};
use super::state::{CheckLineJson, ElementJson, checks, elements};
use crate::plan::{
    Advice, Binding, Certainty, Certificate, Help, IdlePanels, ObviousWay, SpareAnswer, WorthPoint,
};
use crate::report::figures::{Figure, amps, figure, sought_kwh, watts};
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct SpareJson<'a> {
    kind: &'a str,
    offered: usize,
    used: usize,
    adds_watts: Figure,
    adds_kwh: Figure,
    /// In the part of the year that is sought; left out where watts are.
    #[serde(skip_serializing_if = "Option::is_none")]
    adds_sought_kwh: Figure,
    verdict: &'static str,
    because: &'a str,
    would_help: &'a str,
    worth: Vec<WorthJson>,
    certificate: Option<CertificateJson<'a>>,
    helps: Vec<HelpJson<'a>>,
    obvious: Vec<ObviousJson<'a>>,
    certainty: Option<CertaintyJson<'a>>,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    put_up: Vec<PutUpJson<'a>>,
}

impl<'a> SpareJson<'a> {
    pub(super) fn new(names: Names<'a>, advice: &Advice, spare: &'a SpareAnswer) -> Self {
        Self {
            kind: names.label(spare.kind),
            offered: spare.offered,
            used: spare.used,
            adds_watts: watts(spare.adds),
            adds_kwh: spare.adds_energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            adds_sought_kwh: spare.adds_sought.and_then(sought_kwh),
            verdict: spare.verdict.name(),
            because: &spare.because,
            would_help: &spare.would_help,
            worth: spare.worth.iter().map(WorthJson::new).collect(),
            certificate: spare.certificate.as_ref().map(|c| CertificateJson::new(names, c)),
            helps: spare.helps.iter().map(HelpJson::new).collect(),
            obvious: spare.obvious.iter().map(|o| ObviousJson::new(names, o)).collect(),
            certainty: spare.certainty.as_ref().map(CertaintyJson::new),
            put_up: put_up_json(names, advice, spare),
        }
    }
}

#[derive(Serialize)]
struct WorthJson {
    panels: usize,
    watts: Figure,
    bound_watts: Figure,
    step_watts: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    sought_kwh: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    step_kwh: Figure,
}

impl WorthJson {
    fn new(point: &WorthPoint) -> Self {
        Self {
            panels: point.panels,
            watts: watts(point.watts),
            bound_watts: watts(point.bound),
            step_watts: point.step.and_then(watts),
            sought_kwh: point.energy.and_then(|e| sought_kwh(e.brings)),
            step_kwh: point.energy.and_then(|e| e.step).and_then(sought_kwh),
        }
    }
}

#[derive(Serialize)]
struct CertificateJson<'a> {
    strings: Vec<Vec<ElementJson<'a>>>,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    planes: Vec<Vec<ElementJson<'a>>>,
    watts: Figure,
    change_watts: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    change_kwh: Figure,
    binding: Option<BindingJson>,
}

impl<'a> CertificateJson<'a> {
    fn new(names: Names<'a>, certificate: &Certificate) -> Self {
        Self {
            strings: certificate.wiring.strings.iter().map(|s| elements(names, s)).collect(),
            planes: planes_of(names, certificate.wiring.strings.iter()),
            watts: watts(certificate.watts),
            change_watts: watts(certificate.change),
            change_kwh: certificate.change_energy.and_then(sought_kwh),
            binding: certificate.binding.as_ref().map(BindingJson::new),
        }
    }
}

#[derive(Serialize)]
struct BindingJson {
    cause: &'static str,
    value: Figure,
    limit: Figure,
    unit: &'static str,
    unlocks_watts: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    unlocks_kwh: Figure,
}

impl BindingJson {
    fn new(binding: &Binding) -> Self {
        Self {
            cause: binding.cause.name(),
            value: figure(binding.value, 3),
            limit: figure(binding.limit, 3),
            unit: binding.unit.symbol(),
            unlocks_watts: watts(binding.unlocks),
            unlocks_kwh: binding.unlocks_energy.and_then(sought_kwh),
        }
    }
}

#[derive(Serialize)]
pub(super) struct HelpJson<'a> {
    change: &'static str,
    words: &'a str,
    unlocks_watts: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    unlocks_kwh: Figure,
}

impl<'a> HelpJson<'a> {
    pub(super) fn new(help: &'a Help) -> Self {
        Self {
            change: help.change,
            words: &help.words,
            unlocks_watts: watts(help.unlocks),
            unlocks_kwh: help.unlocks_energy.and_then(sought_kwh),
        }
    }
}

#[derive(Serialize)]
struct ObviousJson<'a> {
    way: &'static str,
    watts: Figure,
    change_watts: Figure,
    idle_reverse_amps: Figure,
    breaches: Vec<CheckLineJson<'a>>,
}

impl<'a> ObviousJson<'a> {
    fn new(names: Names<'a>, obvious: &'a ObviousWay) -> Self {
        Self {
            way: obvious.way,
            watts: watts(obvious.watts),
            change_watts: watts(obvious.change),
            idle_reverse_amps: amps(obvious.reverse),
            breaches: checks(names, &obvious.breaches),
        }
    }
}

#[derive(Serialize)]
struct CertaintyJson<'a> {
    low_fraction: Figure,
    high_fraction: Figure,
    adds_low_watts: Figure,
    adds_high_watts: Figure,
    flips: bool,
    words: &'a str,
}

impl<'a> CertaintyJson<'a> {
    fn new(certainty: &'a Certainty) -> Self {
        Self {
            low_fraction: figure(certainty.low, 4),
            high_fraction: figure(certainty.high, 4),
            adds_low_watts: watts(certainty.adds_low),
            adds_high_watts: watts(certainty.adds_high),
            flips: certainty.flips,
            words: &certainty.words,
        }
    }
}

#[derive(Serialize)]
pub(super) struct IdleJson<'a> {
    kind: &'a str,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Option::is_none")]
    plane: Option<&'a str>,
    count: usize,
    because: &'a str,
    instead: &'a str,
}

pub(super) fn idle<'a>(names: Names<'a>, idle: &'a [IdlePanels]) -> Vec<IdleJson<'a>> {
    idle.iter()
        .map(|i| IdleJson {
            kind: names.label(i.kind),
            plane: names.plane(i.kind),
            count: i.count,
            because: &i.because,
            instead: &i.instead,
        })
        .collect()
}
