//! The plans side by side: what more disturbance brings.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::Rule;
use crate::report::table::plans;
use crate::report::words;

/// Where the mark of the best stands in the rows.
const MARK: usize = 0;
/// Where the watts behind the output limit stand; left out where nothing clips.
const PASSED: usize = 2;

/// One row for each level of disturbance.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let mut columns = vec![
        ("Plan", Setting::Words),
        ("Watts", Setting::Figures),
        ("Passed on", Setting::Figures),
        ("Added", Setting::Figures),
        ("Used", Setting::Figures),
        ("Joints opened", Setting::Figures),
        ("Joints made", Setting::Figures),
        ("Proof", Setting::Words),
    ];
    let mut rows = plans::rows(subject.page, subject.advice);
    for row in &mut rows {
        let mark = row.remove(MARK);
        if !mark.is_empty() {
            row[0].push_str(" (best)");
        }
    }
    if !plans::clips(subject.advice) {
        columns.remove(PASSED);
        for row in &mut rows {
            row.remove(PASSED);
        }
    }
    vec![Block::Paragraph(read(subject)), table("Plans, by how much they disturb", &columns, rows)]
}

fn read(subject: Subject<'_>) -> String {
    let chosen = match (subject.advice.rule, words::aim(subject.advice.aim)) {
        (Rule::Nameplate, _) => " The plans were chosen by the rule of thumb.".to_owned(),
        (Rule::Curve, None) => String::new(),
        (Rule::Curve, Some(aim)) => format!(" The plans were chosen for {aim}."),
    };
    format!(
        "Watts of the whole site at full sun, from the panels' curves. Used: share of the label \
         watts of the panels wired. A joint is a connection between panels, or of a string to the \
         combiner.{chosen}"
    )
}
