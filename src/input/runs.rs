//! Cable runs: which stretch, how long, and what is laid.

use std::collections::HashMap;

use super::codes::{
    CABLE_SIZE, KEYS_CLASH, MISSING_KEY, NO_EFFECT, RUN_LONG, RUN_TWICE, UNKNOWN_CHOICE,
};
use super::document::Node;
use super::fields::{Fields, Typed};
use super::findings::{Findings, quoted, rounded};
use super::keys::RUN;
use super::meant::nearest;
use super::places::Places;
use crate::diagnostic::Place;
use crate::model::{
    AWG_SIZES, Awg, CrossSection, InputRef, LengthUnit, Output, Run, RunPart, SQUARE_MM_SIZES,
    TempRating,
};
use crate::units::{Celsius, Metres};

/// From this length on metres may be feet: few arrays of such controllers stand farther away
/// (common practice, no source). \[m\]
const LONG: f64 = 150.0;

const PARTS: [RunPart; 3] = [RunPart::Strings, RunPart::Array, RunPart::Battery];

/// The runs; entries with a mistake are left out and reported.
pub(super) fn read_runs(nodes: &[Node], places: Places, findings: &mut Findings) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut first: HashMap<(InputRef, RunPart), usize> = HashMap::new();
    for node in nodes {
        let Some(fields) = Fields::open(node, &RUN, findings) else { continue };
        let part = read_part(&fields, findings);
        let at = read_place(&fields, part, places, findings);
        let length = read_length(&fields, findings);
        let size = read_size(&fields, findings);
        let air = fields.number("air_c", findings).map(|x| Celsius(x.value));
        let rating = read_rating(&fields, findings);
        let (Some(part), Some((at, place))) = (part, at) else { continue };
        if let Some(line) = first.get(&(at, part)) {
            let whose = match (part, places.controller(at.controller)) {
                (RunPart::Battery, Some(its)) => format!("controller {}", quoted(&its.id)),
                _ => places.name_of(at),
            };
            let message = format!(
                "the run {} of {whose} is listed twice (the first in line {line})",
                quoted(part.name())
            );
            let help = "keep one of them; if two cables follow each other, give the length of both";
            findings.error(RUN_TWICE, place, message, help);
            continue;
        }
        first.insert((at, part), place.line);
        let (Some((length, given_in)), Some(size), Some(rating)) = (length, size, rating) else {
            continue;
        };
        runs.push(Run { at, part, length, given_in, size, air, rating });
    }
    runs.sort_by_key(|run| (run.at, run.part));
    runs
}

fn read_part(fields: &Fields, findings: &mut Findings) -> Option<RunPart> {
    let typed = fields.text("part", findings)?;
    let found = PARTS.into_iter().find(|part| part.name() == typed.value.to_lowercase());
    if found.is_none() {
        let message = format!(
            "`part` must be `strings`, `array` or `battery` (it is {})",
            quoted(&typed.value)
        );
        let help = match nearest(&typed.value, PARTS.into_iter().map(RunPart::name)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`strings` is from each string to the combiner, `array` from there to the controller, `battery` from the controller to the battery".to_owned(),
        };
        findings.error(UNKNOWN_CHOICE, typed.at, message, help);
    }
    found
}

/// The input, or for the battery the controller, which must have one.
fn read_place(
    fields: &Fields,
    part: Option<RunPart>,
    places: Places,
    findings: &mut Findings,
) -> Option<(InputRef, Place)> {
    if part != Some(RunPart::Battery) {
        return places.read(fields, findings);
    }
    if let Some(at) = fields.key_place("input").filter(|_| fields.has("input")) {
        let message = "`input` has no effect: all inputs of a controller share its battery";
        findings.warning(NO_EFFECT, at, message, "take the key out");
    }
    let (controller, at) = places.read_controller(fields, findings)?;
    let its = places.controller(controller)?;
    if let Output::Converter { .. } = its.output {
        let message = format!("controller {} has no battery", quoted(&its.id));
        let help = "give the controller `battery_v` and `charge_a` if it charges one, or delete this run: what stands behind an inverter is not reckoned here";
        findings.error(KEYS_CLASH, at, message, help);
        return None;
    }
    Some((InputRef { controller, input: 1 }, at))
}

/// The length one way, in metres or in feet.
fn read_length(fields: &Fields, findings: &mut Findings) -> Option<(Metres, LengthUnit)> {
    let metres = fields.number("length_m", findings);
    let feet = fields.number("length_ft", findings);
    match (metres, feet) {
        (Some(_), Some(feet)) => {
            let message = format!("{} has both `length_m` and `length_ft`", fields.who);
            findings.error(KEYS_CLASH, feet.at, message, "keep the one that was measured");
            None
        }
        (Some(length), None) => {
            warn_long(&length, findings);
            Some((LengthUnit::Metres.metres(length.value), LengthUnit::Metres))
        }
        (None, Some(length)) => Some((LengthUnit::Feet.metres(length.value), LengthUnit::Feet)),
        (None, None) => {
            if !fields.has("length_m") && !fields.has("length_ft") {
                let message = format!("{} has neither `length_m` nor `length_ft`", fields.who);
                let help = "measure the cable's way in one direction and write it in metres, as in `length_m: 12`, or in feet, as in `length_ft: 40`";
                findings.error(MISSING_KEY, fields.at, message, help);
            }
            None
        }
    }
}

fn warn_long(length: &Typed<f64>, findings: &mut Findings) {
    if length.value < LONG {
        return;
    }
    let typed = &length.as_typed;
    let metres = LengthUnit::Feet.metres(length.value).metres();
    let message = format!("`length_m` is {typed}, which is very far");
    let help = format!(
        "is it in feet ({typed} ft are {} m)? then write `length_ft: {typed}`; it is the length of one way",
        rounded(metres, 1)
    );
    findings.warning(RUN_LONG, length.at, message, help);
}

/// What is laid; `Some(None)` where the file leaves it open, `None` where it is faulty.
fn read_size(fields: &Fields, findings: &mut Findings) -> Option<Option<CrossSection>> {
    let area = fields.number("area_mm2", findings);
    let gauge = fields.text("awg", findings);
    match (area, gauge) {
        (Some(_), Some(gauge)) => {
            let message = format!("{} has both `area_mm2` and `awg`", fields.who);
            let help = "keep the one that is printed on the cable";
            findings.error(KEYS_CLASH, gauge.at, message, help);
            None
        }
        (Some(area), None) => standard_area(&area, findings).map(Some),
        (None, Some(gauge)) => standard_gauge(&gauge, findings).map(Some),
        (None, None) => (!fields.has("area_mm2") && !fields.has("awg")).then_some(None),
    }
}

fn standard_area(area: &Typed<f64>, findings: &mut Findings) -> Option<CrossSection> {
    if SQUARE_MM_SIZES.contains(&area.value) {
        return Some(CrossSection::SquareMm(area.value));
    }
    let message = format!("`area_mm2` must be a standard cross-section (it is {})", area.as_typed);
    let listed = SQUARE_MM_SIZES.map(|size| size.to_string()).join(", ");
    let help = format!("standard are {listed}; a cable printed with AWG has the key `awg`");
    findings.error(CABLE_SIZE, area.at, message, help);
    None
}

fn standard_gauge(gauge: &Typed<String>, findings: &mut Findings) -> Option<CrossSection> {
    let bare = gauge.value.trim_start_matches('#').trim();
    if let Some(found) = AWG_SIZES.into_iter().find(|size| size.name() == bare) {
        return Some(CrossSection::Awg(found));
    }
    let message = format!("`awg` must be a standard gauge (it is {})", quoted(&gauge.value));
    let thinner: Option<Awg> =
        bare.parse().ok().and_then(|n: i8| AWG_SIZES.into_iter().rev().find(|size| size.0 > n));
    let listed = AWG_SIZES.map(Awg::name).join(", ");
    let help = match thinner {
        Some(size) if bare.parse().is_ok_and(|n: i8| n > 0) => format!(
            "standard are {listed}; of its two neighbours {} is the thinner and safe to reckon with",
            size.name()
        ),
        _ => format!("standard are {listed}; a cable printed with mm² has the key `area_mm2`"),
    };
    findings.error(CABLE_SIZE, gauge.at, message, help);
    None
}

/// What cable and terminals bear: 75 °C unless the file says otherwise; `None` where it is faulty.
fn read_rating(fields: &Fields, findings: &mut Findings) -> Option<TempRating> {
    if !fields.has("temp_rating_c") {
        return Some(TempRating::C75);
    }
    let typed = fields.text("temp_rating_c", findings)?;
    match typed.value.as_str() {
        "75" => Some(TempRating::C75),
        "90" => Some(TempRating::C90),
        other => {
            let message = format!("`temp_rating_c` must be 75 or 90 (it is {})", quoted(other));
            let help = "write the lower of what is printed on the cable and on its terminals; leave the key out for 75";
            findings.error(UNKNOWN_CHOICE, typed.at, message, help);
            None
        }
    }
}
