//! Spare controllers, and controllers of their own for panels that are left over.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::Advice;
use crate::report::table::controllers;

/// What the section is called.
pub(super) fn title(advice: &Advice) -> &'static str {
    if advice.controllers.is_empty() { "A controller of its own" } else { "Spare controllers" }
}

/// A table of the spare controllers, and what would carry the rest.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let advice = subject.advice;
    let mut blocks = Vec::new();
    if !advice.controllers.is_empty() {
        let columns = [
            ("Controller", Setting::Words),
            ("Used", Setting::Figures),
            ("Adds", Setting::Figures),
            ("Why", Setting::Words),
        ];
        let rows = advice.controllers.iter().map(|answer| {
            let helps = controllers::would_help(subject.page, answer);
            let why = std::iter::once(controllers::reason(answer)).chain(helps);
            vec![
                answer.sort.clone(),
                controllers::used(answer),
                controllers::adds(subject.page, answer),
                why.map(|text| format!("{text}.")).collect::<Vec<_>>().join(" "),
            ]
        });
        blocks.push(table("Spare controllers", &columns, rows.collect()));
    }
    let own = controllers::own_lines(advice);
    if !own.is_empty() {
        if !blocks.is_empty() {
            blocks.push(Block::Heading("A controller of its own".into()));
        }
        blocks.push(Block::List(own));
    }
    blocks
}
