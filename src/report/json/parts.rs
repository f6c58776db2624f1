//! What to buy, and what is lost on cables.

use serde::Serialize;

use crate::model::{CrossSection, Run};
use crate::plan::{Cable, Item, Part};
use crate::report::figures::{Figure, amps, celsius, figure, volts, watts};
use crate::report::names::Names;
use crate::report::parts as words;

#[derive(Serialize)]
pub(super) struct PartJson<'a> {
    part: &'static str,
    what: String,
    at_least: usize,
    at_most: usize,
    controller: &'a str,
    input: usize,
    string: Option<usize>,
    element: Option<usize>,
    member: Option<usize>,
    kind: Option<&'a str>,
    /// Only where there are planes.
    #[serde(skip_serializing_if = "Option::is_none")]
    plane: Option<&'a str>,
    run: Option<&'static str>,
    bears_volts: Figure,
    bears_amps: Figure,
    fuse_a: Figure,
    ways: Option<usize>,
    length_m: Figure,
    area_mm2: Figure,
    awg: Option<String>,
    why: String,
    basis: String,
    unsure: Vec<String>,
}

impl<'a> PartJson<'a> {
    pub(super) fn new(names: Names<'a>, part: &Part) -> Self {
        let place = part.place;
        let (mut run, mut length_m, mut size) = (None, None, None);
        match &part.item {
            Item::Cable { cable, .. } => {
                run = Some(cable.run.part.name());
                length_m = length(&cable.run);
                size = cable.cross_section();
            }
            Item::UnknownCable { part, .. } => run = Some(part.name()),
            _ => {}
        }
        Self {
            part: part.item.name(),
            what: words::plain_text(&words::what(part)),
            at_least: part.at_least,
            at_most: part.at_most,
            controller: names.controller(place.at),
            input: place.at.input,
            string: place.string.map(|s| s + 1),
            element: place.element.map(|e| e + 1),
            member: place.member.map(|m| m + 1),
            kind: part.kind.map(|k| names.label(k)),
            plane: part.kind.and_then(|k| names.plane(k)),
            run,
            bears_volts: part.volts.and_then(volts),
            bears_amps: part.amps.and_then(amps),
            fuse_a: match &part.item {
                Item::Fuse(need) => need.size.and_then(amps),
                _ => None,
            },
            ways: match part.item {
                Item::BranchPair { ways } => Some(ways),
                _ => None,
            },
            length_m,
            area_mm2: area(size),
            awg: gauge(size),
            why: words::plain_text(&words::why(names, part)),
            basis: words::basis(part),
            unsure: words::unsure(names, part).iter().map(|u| words::plain_text(u)).collect(),
        }
    }
}

#[derive(Serialize)]
pub(super) struct CableJson<'a> {
    controller: &'a str,
    /// `None` for the battery's, which all inputs share.
    input: Option<usize>,
    run: &'static str,
    length_m: Figure,
    size: &'static str,
    area_mm2: Figure,
    awg: Option<String>,
    must_carry_amps: Figure,
    may_carry_amps: Figure,
    air_c: Figure,
    too_small: bool,
    amps: Figure,
    drop_volts: Figure,
    drop_percent: Figure,
    lost_watts: Figure,
    basis: String,
}

impl<'a> CableJson<'a> {
    pub(super) fn new(names: Names<'a>, cable: &Cable) -> Self {
        use crate::plan::CableSize::{Laid, NoneServes, Proposed};
        let battery = cable.run.part == crate::model::RunPart::Battery;
        Self {
            controller: names.controller(cable.run.at),
            input: (!battery).then_some(cable.run.at.input),
            run: cable.run.part.name(),
            length_m: length(&cable.run),
            size: match cable.size {
                Laid(_) => "laid",
                Proposed(_) => "proposed",
                NoneServes => "none_serves",
            },
            area_mm2: area(cable.cross_section()),
            awg: gauge(cable.cross_section()),
            must_carry_amps: amps(cable.need),
            may_carry_amps: cable.carries.and_then(|a| amps(a.allowed)),
            air_c: celsius(cable.air),
            too_small: cable.is_too_small(),
            amps: cable.loss.and_then(|l| amps(l.current)),
            drop_volts: cable.loss.and_then(|l| volts(l.drop)),
            drop_percent: cable.loss.and_then(|l| figure(l.percent, 2)),
            lost_watts: cable.loss.and_then(|l| watts(l.watts)),
            basis: words::cable_basis(cable),
        }
    }
}

fn length(run: &Run) -> Figure {
    figure(run.length.metres(), 2)
}

fn area(size: Option<CrossSection>) -> Figure {
    match size {
        Some(CrossSection::SquareMm(area)) => figure(area, 1),
        _ => None,
    }
}

fn gauge(size: Option<CrossSection>) -> Option<String> {
    match size {
        Some(CrossSection::Awg(gauge)) => Some(gauge.name()),
        _ => None,
    }
}
