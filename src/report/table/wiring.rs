//! A wiring string by string: panels, amps, watts, open-circuit volts on the coldest morning.

use super::Page;
use crate::plan::{Advice, InputState, State, StringState};
use crate::report::layout::{Column, GLUE, lined_up, paragraph};
use crate::report::numbers::{amps, volts};
use crate::report::words::listed;
use crate::units::Amps;

const COLUMNS: [Column; 6] = [
    Column::Left(20),
    Column::Rest,
    Column::Left(8),
    Column::Right(9),
    Column::Right(9),
    Column::Right(13),
];
/// Title of the block that comes first, with how to read it.
pub(super) const TODAY: &str = "Wiring as it stands (+ in series, a | b side by side in parallel)";

/// A titled block with every input as it is wired.
pub(super) fn block(page: Page<'_>, title: &str, state: &State) -> String {
    let mut out = paragraph(title, 0, 2);
    for input in shown(page, state) {
        out.push_str(&one_input(page, input, None));
    }
    out
}

/// The inputs of which there is something to say: all but spare controllers with nothing wired.
pub(in crate::report) fn shown<'s>(
    page: Page<'_>,
    state: &'s State,
) -> impl Iterator<Item = &'s InputState> {
    let site = page.names.0;
    state.inputs.iter().filter(move |i| !i.strings.is_empty() || !site.is_spare(i.at))
}

/// The same for a plan: strings that differ from today's are marked, and inputs that were not
/// planned take one line.
pub(super) fn planned(page: Page<'_>, title: &str, state: &State, advice: &Advice) -> String {
    let mut out = paragraph(title, 0, 2);
    for input in shown(page, state) {
        let was = advice.today.inputs.iter().find(|w| w.at == input.at);
        if advice.together.contains(&input.at) {
            out.push_str(&one_input(page, input, was));
        } else {
            let line = format!("{} (as today)", operating_point(page, input));
            out.push_str(&paragraph(&line, 2, 4));
        }
    }
    out
}

fn one_input(page: Page<'_>, input: &InputState, was: Option<&InputState>) -> String {
    let mut out = paragraph(&operating_point(page, input), 2, 4);
    out.push_str(&under_heads(rows(page, input, was)));
    for note in string_notes(page, input) {
        out.push_str(&paragraph(&note, 4, 6));
    }
    out
}

/// The rows of an input, lined up below their heads.
pub(in crate::report) fn under_heads(mut rows: Vec<Vec<String>>) -> String {
    if !rows.is_empty() {
        rows.insert(0, ["", "", "", "full sun", "", "open, coldest"].map(str::to_owned).to_vec());
    }
    lined_up(4, &COLUMNS, &rows)
}

/// Which strings of `then` stand in `now` just as they are; one mark for each string of `then`.
pub(super) fn unchanged(now: &InputState, then: &InputState) -> Vec<bool> {
    let mut left: Vec<_> = now.strings.iter().map(|s| s.wiring.canonical()).collect();
    then.strings
        .iter()
        .map(|s| {
            let wanted = s.wiring.canonical();
            let found = left.iter().position(|w| *w == wanted);
            found.map(|i| left.swap_remove(i)).is_some()
        })
        .collect()
}

/// `shed, input 1: 811 W at full sun, 54.9 V and 14.8 A`.
pub(in crate::report) fn operating_point(page: Page<'_>, input: &InputState) -> String {
    let name = page.names.input(input.at);
    if input.strings.is_empty() {
        return format!("{name}: nothing wired");
    }
    format!(
        "{name}: {} at full sun, {} and {}",
        page.scale.watts(input.power),
        volts(input.v),
        amps(input.i)
    )
}

/// String by string: name, wiring, mark against what was there, amps, watts, open-circuit volts on
/// the coldest morning. Alike neighbours share a row.
pub(in crate::report) fn rows(
    page: Page<'_>,
    input: &InputState,
    was: Option<&InputState>,
) -> Vec<Vec<String>> {
    let marks: Vec<&str> = match was {
        None => vec![""; input.strings.len()],
        Some(was) => unchanged(was, input)
            .into_iter()
            .map(|same| if same { "as today" } else { "new" })
            .collect(),
    };
    let mut rows = Vec::new();
    let cells: Vec<Vec<String>> =
        input.strings.iter().zip(marks).map(|(s, mark)| string_cells(page, s, mark)).collect();
    let mut first = 0;
    for alike in cells.chunk_by(PartialEq::eq) {
        let label = match alike.len() {
            1 => format!("string{GLUE}{}", first + 1),
            n => format!("strings{GLUE}{}-{}, each", first + 1, first + n),
        };
        rows.push([vec![label], alike[0].clone()].concat());
        first += alike.len();
    }
    rows
}

fn string_cells(page: Page<'_>, string: &StringState, mark: &str) -> Vec<String> {
    vec![
        page.names.string(&string.wiring),
        mark.into(),
        amps(string.current),
        page.scale.watts(string.power),
        volts(string.cold_v_oc),
    ]
}

/// What a person should know of single strings: loads and bypassed panels.
pub(in crate::report) fn string_notes(page: Page<'_>, input: &InputState) -> Vec<String> {
    let mut notes = Vec::new();
    for (i, string) in input.strings.iter().enumerate() {
        if string.current < Amps(0.0) {
            notes.push(format!(
                "string{GLUE}{} is a load: it takes {} from the others.",
                i + 1,
                amps(string.current * -1.0)
            ));
        }
        let bypassed: Vec<String> = string
            .bypassed
            .iter()
            .filter_map(|&e| string.wiring.elements().get(e))
            .map(|e| page.names.element(e))
            .collect();
        if !bypassed.is_empty() {
            notes.push(format!(
                "string{GLUE}{}: bypassed at this point and giving nothing: {}.",
                i + 1,
                listed(&bypassed)
            ));
        }
    }
    notes
}
