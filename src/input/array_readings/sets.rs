//! Sets of readings, each under one sun: its conditions, and what was read on which input and string.

use std::collections::HashMap;

use super::check;
use super::codes::{NOT_WIRED, TOO_MANY_SETS, TWICE, WARMTH, WARMTH_ODD, WEAK_SUN};
use crate::diagnostic::Place;
use crate::input::document::Node;
use crate::input::fields::{Fields, Typed};
use crate::input::findings::Findings;
use crate::input::keys::{INPUT_READ, READING, STRING_READ};
use crate::input::places::Places;
use crate::input::typed_units::fahrenheit_to_celsius;
use crate::model::{ArrayReading, InputRef, Installation, PanelString, ReadingSet, Spot, Warmth};
use crate::units::{Celsius, Irradiance};

/// Most sets: more than a person takes on one array.
const MAX_SETS: usize = 50;
/// Below this a current says little: the tests of IEC 62446-1 want steady sun above 400 W/m² (from memory,
/// check your edition).
const WEAK: f64 = 400.0;
/// Cells and backs hotter than this are rare. \[°C\] (common practice, no source)
const HOT: f64 = 80.0;

/// The sets of a file; those with a mistake are reported and left out.
pub(super) fn read_sets(
    nodes: &[Node],
    installation: &Installation,
    places: Places,
    findings: &mut Findings,
) -> Vec<ReadingSet> {
    if nodes.len() > MAX_SETS {
        let message = format!(
            "there are too many sets of readings ({}; at most {MAX_SETS} are read)",
            nodes.len()
        );
        findings.error(TOO_MANY_SETS, nodes[MAX_SETS].place, message, "keep the steadiest of them");
    }
    let read = |node: &Node| {
        let fields = Fields::open(node, &READING, findings)?;
        read_set(&fields, installation, places, findings)
    };
    nodes.iter().take(MAX_SETS).filter_map(read).collect()
}

fn read_set(
    fields: &Fields,
    installation: &Installation,
    places: Places,
    findings: &mut Findings,
) -> Option<ReadingSet> {
    let note = fields.text("note", findings).map(|t| t.value);
    let sun = fields.number("sun_w_m2", findings);
    if let Some(sun) = sun.as_ref().filter(|s| s.value < WEAK) {
        let message = format!("weak sun ({} W/m²): currents say little", sun.as_typed);
        let help = format!("measure again above {WEAK} W/m², under a steady sky");
        findings.warning(WEAK_SUN, sun.at, message, help);
    }
    let warmth = read_warmth(fields, findings);
    let mut readings = Vec::new();
    let mut lines = HashMap::new();
    for node in fields.list("inputs", findings).unwrap_or_default() {
        let Some(input) = Fields::open(node, &INPUT_READ, findings) else { continue };
        let place = places.read(&input, findings);
        let Some((at, place)) = place else { continue };
        if let Some(line) = lines.insert(at, place.line) {
            let who = places.name_of(at);
            let message = format!("{who} has two entries under one sun (the first in line {line})");
            let help = "put all its readings into one entry, or begin another entry of `readings`";
            findings.error(TWICE, place, message, help);
            continue;
        }
        let of_input = InputReader { installation, places, at, sun: sun.as_ref().map(|s| s.value) };
        of_input.read(&input, place, &mut readings, findings);
    }
    Some(ReadingSet { note, irradiance: Irradiance(sun?.value), warmth: warmth?, readings })
}

/// The one temperature of a set.
fn read_warmth(fields: &Fields, findings: &mut Findings) -> Option<Warmth> {
    type Of = fn(Celsius) -> Warmth;
    const KEYS: [(&str, Of); 3] =
        [("cells_c", Warmth::Cells), ("back_c", Warmth::Back), ("air_c", Warmth::Air)];
    let given: Vec<_> = KEYS.iter().filter(|(key, _)| fields.has(key)).collect();
    match given[..] {
        [(key, of)] => {
            let t = fields.number(key, findings)?;
            if t.value > HOT {
                let message = format!("`{key}` is unusually hot ({} °C)", t.as_typed);
                let celsius = format!("{:.1}", fahrenheit_to_celsius(t.value));
                let help = format!("is it in °F? {} °F are {celsius} °C", t.as_typed);
                findings.warning(WARMTH_ODD, t.at, message, help);
            }
            Some(of(Celsius(t.value)))
        }
        [] => {
            let help = "add `back_c` from a thermometer pressed to the back of a panel (or `cells_c`, or `air_c` if there is nothing better): a panel's volts move by a third of a percent a degree";
            let message = format!("{} says nothing of the temperature", fields.who);
            let at = KEYS.iter().find_map(|(key, _)| fields.key_place(key)).unwrap_or(fields.at);
            findings.error(WARMTH, at, message, help);
            None
        }
        [(first, _), (second, _), ..] => {
            let at = fields.key_place(second).unwrap_or(fields.at);
            let message = format!("{} has both `{first}` and `{second}`", fields.who);
            let help =
                "keep the one that was measured best: `cells_c`, else `back_c`, else `air_c`";
            findings.error(WARMTH, at, message, help);
            None
        }
    }
}

/// Reads one input under one sun.
struct InputReader<'a> {
    installation: &'a Installation,
    places: Places<'a>,
    at: InputRef,
    /// As read; `None` if that was faulty. \[W/m²\]
    sun: Option<f64>,
}

impl InputReader<'_> {
    fn read(
        &self,
        fields: &Fields,
        place: Place,
        readings: &mut Vec<ArrayReading>,
        findings: &mut Findings,
    ) {
        let wired = self.installation.installed.iter().find(|w| w.at == self.at);
        let strings = wired.map_or(&[][..], |w| &w.array.strings);
        let n_strings = strings.len();
        let who = self.places.name_of(self.at);
        if n_strings == 0 {
            let message = format!("{who} has no strings in the site file");
            let help = "write the wiring as it is now under `installed` in the site file first";
            findings.error(NOT_WIRED, place, message, help);
            return;
        }
        let mut lines = HashMap::new();
        for node in fields.list("strings", findings).unwrap_or_default() {
            let Some(string) = Fields::open(node, &STRING_READ, findings) else { continue };
            let Some(number) = string.count("string", findings) else { continue };
            if number.value > n_strings {
                let there = if n_strings == 1 {
                    "the site file has one".to_owned()
                } else {
                    format!("the site file has {n_strings}")
                };
                let message = format!("{who} has no string {} ({there})", number.value);
                let help = "strings count from 1 in the order of `installed`; if the wiring was changed, write it there as it is now first";
                findings.error(NOT_WIRED, number.at, message, help);
                continue;
            }
            if let Some(line) = lines.insert(number.value, number.at.line) {
                let message = format!(
                    "string {} of {who} has two entries under one sun (the first in line {line})",
                    number.value
                );
                let help = "keep one, or begin another entry of `readings`";
                findings.error(TWICE, number.at, message, help);
                continue;
            }
            let idx = number.value - 1;
            self.string(&string, (idx, &strings[idx]), readings, findings);
        }
        let spots =
            [("open_v", Spot::OpenVolts), ("work_v", Spot::WorkVolts), ("work_a", Spot::WorkAmps)];
        for (key, spot) in spots {
            self.keep(fields.number(key, findings), spot, readings, findings);
        }
    }

    fn string(
        &self,
        fields: &Fields,
        (string, wired): (usize, &PanelString),
        readings: &mut Vec<ArrayReading>,
        findings: &mut Findings,
    ) {
        let v = fields.number("voc_v", findings);
        let i = fields.number("isc_a", findings);
        if let (Some(v), Some(i), Some(sun)) = (&v, &i, self.sun)
            && check::are_swapped((v.value, i.value), wired, &self.installation.kinds, sun)
        {
            check::report_swapped(v, i, string, findings);
            return;
        }
        let work = fields.number("work_a", findings);
        for (typed, spot) in [
            (v, Spot::StringVoc(string)),
            (i, Spot::StringIsc(string)),
            (work, Spot::StringAmps(string)),
        ] {
            self.keep(typed, spot, readings, findings);
        }
    }

    /// Keeps a figure, if it is there and can be.
    fn keep(
        &self,
        typed: Option<Typed<f64>>,
        spot: Spot,
        readings: &mut Vec<ArrayReading>,
        findings: &mut Findings,
    ) {
        let Some(typed) = typed else { return };
        if check::has_a_possible_size(self.installation, self.at, spot, &typed, findings) {
            let digit = last_digit(&typed);
            readings.push(ArrayReading { at: self.at, spot, value: typed.value, digit });
        }
    }
}

/// Size of the last digit that was typed: `42.30` says hundredths.
fn last_digit(typed: &Typed<f64>) -> f64 {
    let digits = typed.as_typed.split(['e', 'E']).next().unwrap_or_default();
    let decimals = digits.split_once('.').map_or(0, |(_, behind)| behind.len().min(6));
    0.1_f64.powi(i32::try_from(decimals).expect("at most 6"))
}
