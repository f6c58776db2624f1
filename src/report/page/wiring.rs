//! The wiring, string by string: today's, and the plan's where it differs.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::{InputState, State};
use crate::report::drawing::{self, When};
use crate::report::table::{Page, wiring};

/// How a wiring is read.
const READ: &str = "a + b: in series. (a | b): side by side in parallel, a block that stands as one \
                    element of its string. Strings stand in parallel on their input.";

/// Both wirings as tables.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::Paragraph(READ.into())];
    if subject.change().is_some() {
        blocks.push(Block::Heading("Planned".into()));
        blocks.extend(planned(subject));
        blocks.push(Block::Heading("Today".into()));
    }
    blocks.extend(inputs(subject.page, &subject.advice.today, &[]));
    // What the plan changes nothing of stands on the first page.
    let drawn = subject.advice.by_input().into_iter().filter_map(|advice| {
        subject.change()?;
        if subject.page.names.0.is_spare(advice.planned) {
            return None;
        }
        drawing::wiring_alone(subject.page.names.0, &advice, When::Today)
    });
    blocks.extend(drawn.map(Block::Figure));
    blocks
}

fn planned(subject: Subject<'_>) -> Vec<Block> {
    let advice = subject.advice;
    let (planned, others): (Vec<&InputState>, Vec<&InputState>) =
        wiring::shown(subject.page, subject.state())
            .partition(|input| advice.together.contains(&input.at));
    let was: Vec<&InputState> = advice.today.inputs.iter().collect();
    let mut blocks: Vec<Block> =
        planned.into_iter().flat_map(|input| one_input(subject.page, input, &was)).collect();
    let as_today = others.into_iter().map(|input| {
        Block::Paragraph(format!("{} (as today).", wiring::operating_point(subject.page, input)))
    });
    blocks.extend(as_today);
    blocks
}

fn inputs(page: Page<'_>, state: &State, was: &[&InputState]) -> Vec<Block> {
    wiring::shown(page, state).flat_map(|input| one_input(page, input, was)).collect()
}

/// A table of an input's strings, and what a person should know of them.
fn one_input(page: Page<'_>, input: &InputState, was: &[&InputState]) -> Vec<Block> {
    let point = wiring::operating_point(page, input);
    if input.strings.is_empty() {
        return vec![Block::Paragraph(format!("{point}."))];
    }
    let was = was.iter().find(|w| w.at == input.at).copied();
    let mut columns = vec![
        ("String", Setting::Words),
        ("Wired as", Setting::Words),
        ("Against today", Setting::Words),
        ("Amps at full sun", Setting::Figures),
        ("Watts at full sun", Setting::Figures),
        ("Open, coldest morning", Setting::Figures),
    ];
    let mut rows = wiring::rows(page, input, was);
    if was.is_none() {
        columns.remove(2);
        for row in &mut rows {
            row.remove(2);
        }
    }
    let notes = wiring::string_notes(page, input);
    let mut blocks = vec![table(point, &columns, rows)];
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks
}
