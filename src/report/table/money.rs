//! What the plan costs and earns, and what each kind is worth.

use super::Page;
use crate::plan::{Advice, money};
use crate::report::layout::{Column, lined_up, paragraph};
use crate::report::money::{basis, cost_lines, in_words, says_anything, spare_line};

const COLUMNS: [Column; 2] = [Column::Left(24), Column::Rest];

/// The block; empty where the file says nothing about money.
pub(super) fn block(page: Page<'_>, advice: &Advice) -> String {
    let Some(money) = money(page.names.0, advice).filter(says_anything) else {
        return String::new();
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (what, text) in money.cost.iter().flat_map(|cost| cost_lines(page.names, cost)) {
        rows.push(vec![what.to_owned(), text]);
    }
    for spare in &money.spares {
        let line = spare_line(spare);
        if !line.is_empty() {
            rows.push(vec![page.names.label(spare.kind).to_owned(), line]);
        }
    }
    paragraph("Money", 0, 2)
        + &lined_up(2, &COLUMNS, &rows)
        + &paragraph(&format!("{}.", basis(&money)), 2, 2)
}

/// The sentence for the first lines.
pub(in crate::report) fn sentence(page: Page<'_>, advice: &Advice) -> Option<String> {
    let money = money(page.names.0, advice)?;
    in_words(page.names, &money)
}
