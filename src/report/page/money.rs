//! What the plan costs and earns, for the report.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::money;
use crate::report::money::{basis, cost_lines, says_anything, spare_line};

/// Nothing where the file says nothing about money.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let names = subject.page.names;
    let Some(money) = money(names.0, subject.advice).filter(says_anything) else {
        return Vec::new();
    };
    let mut blocks = Vec::new();
    if let Some(cost) = &money.cost {
        let rows = cost_lines(names, cost).into_iter().map(|(what, text)| vec![what.into(), text]);
        let columns = [("Cost", Setting::Words), ("Amount", Setting::Words)];
        blocks.push(table("What the plan costs and earns", &columns, rows.collect()));
    }
    let rows: Vec<Vec<String>> = money
        .spares
        .iter()
        .map(|spare| vec![names.label(spare.kind).to_owned(), spare_line(spare)])
        .filter(|row| !row[1].is_empty())
        .collect();
    if !rows.is_empty() {
        let columns = [("Kind", Setting::Words), ("Price and worth here", Setting::Words)];
        blocks.push(table("What each kind costs and is worth", &columns, rows));
    }
    blocks.push(Block::Paragraph(format!("{}.", basis(&money))));
    blocks
}
