//! Every limit: what was found, what it is held against, and by which clause or practice.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::model::InputRef;
use crate::plan::{Check, Outcome, State};
use crate::report::numbers::value_and_limit;
use crate::report::table::{Page, limits};
use crate::report::words;

const COLUMNS: [(&str, Setting); 5] = [
    ("Limit", Setting::Words),
    ("Found", Setting::Figures),
    ("Held against", Setting::Words),
    ("Outcome", Setting::Words),
    ("By", Setting::Words),
];
/// What the outcomes mean.
const OUTCOMES: &str = "kept: nothing to do. caution: works, but know it. unknown: a figure is \
                        missing, never taken as kept. BREACH: may destroy something, break a rule \
                        of the code, or not run. Clauses are cited from memory or from secondary \
                        sources: check your edition.";

/// The limits of the plan, and of today's wiring where that does not keep them.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let (page, today) = (subject.page, &subject.advice.today);
    let mut blocks = of_state(page, subject.called(), subject.state());
    if subject.change().is_some() && today.checks.iter().any(|c| c.outcome != Outcome::Pass) {
        blocks.push(Block::Heading("Limits of today's wiring".into()));
        blocks.extend(of_state(page, "today's wiring", today));
    }
    if !blocks.is_empty() {
        blocks.push(Block::Paragraph(OUTCOMES.into()));
    }
    blocks
}

/// The limits of one wiring, with what the outcomes mean.
pub(in crate::report) fn of_state_alone(page: Page<'_>, state: &State) -> Vec<Block> {
    let mut blocks = of_state(page, "this wiring", state);
    if !blocks.is_empty() {
        blocks.push(Block::Paragraph(OUTCOMES.into()));
    }
    blocks
}

fn of_state(page: Page<'_>, called: &str, state: &State) -> Vec<Block> {
    if state.checks.is_empty() {
        return Vec::new();
    }
    let kept = limits::kept(page, state);
    let summary = Block::Paragraph(format!("Limits of {called}: {kept}"));
    let tables = limits::inputs(state).into_iter().flat_map(|at| of_input(page, called, at, state));
    std::iter::once(summary).chain(tables).collect()
}

fn of_input(page: Page<'_>, called: &str, at: InputRef, state: &State) -> Vec<Block> {
    let checks = limits::worst_first(at, state);
    let rows = checks.iter().map(|check| row(check)).collect();
    let caption = format!("Limits of {called}, {}", page.names.input(at));
    let mut blocks = vec![table(caption, &COLUMNS, rows)];
    let notes = limits::notes(&checks);
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks
}

fn row(check: &Check) -> Vec<String> {
    let (value, limit) = value_and_limit(check);
    let outcome = words::outcome(check.outcome).to_owned();
    vec![limits::rule_and_string(check), value, limit, outcome, check.basis.to_owned()]
}
