//! Spare controllers, and controllers of their own for panels that are left over.

use super::Page;
use super::spares::or_help;
use crate::plan::{Advice, ControllerAnswer, Verdict};
use crate::report::layout::{Column, GLUE, lined_up, paragraph, titled};
use crate::report::words::{self, clause};

const COLUMNS: [Column; 4] = [Column::Left(24), Column::Left(12), Column::Right(9), Column::Rest];
/// Most things that would help which are shown after the first.
const MOST_OTHERS: usize = 2;

/// One line for each sort of spare controller.
pub(super) fn spare(page: Page<'_>, advice: &Advice) -> String {
    if advice.controllers.is_empty() {
        return String::new();
    }
    let rows: Vec<Vec<String>> = advice.controllers.iter().flat_map(|c| rows(page, c)).collect();
    paragraph("Spare controllers", 0, 2) + &lined_up(2, &COLUMNS, &rows)
}

fn rows(page: Page<'_>, answer: &ControllerAnswer) -> Vec<Vec<String>> {
    let beside = |text: String| vec![String::new(), String::new(), String::new(), text];
    let first = vec![answer.sort.clone(), used(answer), adds(page, answer), reason(answer)];
    std::iter::once(first).chain(would_help(page, answer).into_iter().map(beside)).collect()
}

/// `1 of 2`.
pub(in crate::report) fn used(answer: &ControllerAnswer) -> String {
    format!("{}{GLUE}of{GLUE}{}", answer.used, answer.offered)
}

/// `+171 W`, `nothing`.
pub(in crate::report) fn adds(page: Page<'_>, answer: &ControllerAnswer) -> String {
    match answer.verdict {
        Verdict::Adds | Verdict::AddsPart => {
            format!("{}{GLUE}W", page.scale.signed(answer.adds))
        }
        Verdict::AddsInWeakSun => "weak sun".into(),
        Verdict::AddsNothing => "nothing".into(),
        Verdict::Breaches => "cannot".into(),
        Verdict::NotWorkedOut => "open".into(),
    }
}

/// Why no more of them are used, or that they are worth it.
pub(in crate::report) fn reason(answer: &ControllerAnswer) -> String {
    if answer.because.is_empty() {
        words::verdict(answer.verdict).to_owned()
    } else {
        clause(&answer.because).to_owned()
    }
}

/// `Would help: 2 more float-75, which would be wired to it (+148 W)`, then `or: …`.
pub(in crate::report) fn would_help(page: Page<'_>, answer: &ControllerAnswer) -> Vec<String> {
    if answer.would_help.is_empty() {
        return Vec::new();
    }
    let first = format!("Would help: {}", clause(&answer.would_help));
    let others = answer.helps.iter().skip(1).take(MOST_OTHERS).map(|help| or_help(page, help));
    std::iter::once(first).chain(others).collect()
}

/// What would carry the panels that are left over.
pub(super) fn own(advice: &Advice) -> String {
    titled("Own controller", &own_lines(advice))
}

/// A sentence for each.
pub(in crate::report) fn own_lines(advice: &Advice) -> Vec<String> {
    let capital = |text: &str| {
        let mut letters = text.chars();
        letters.next().map_or_else(String::new, |first| {
            first.to_uppercase().chain(letters).collect::<String>()
        })
    };
    advice.own_controllers.iter().map(|o| format!("{}.", capital(clause(&o.words)))).collect()
}

/// `the spare controller shelf`, `2 of 3 spare controllers shelf`: those that the best plan uses.
pub(in crate::report) fn used_in_words(advice: &Advice) -> Vec<String> {
    let used = advice.controllers.iter().filter(|c| c.used > 0);
    used.map(|c| match (c.used, c.offered) {
        (1, 1) => format!("the spare controller {}", c.sort),
        (1, _) => format!("one spare controller {}", c.sort),
        (n, _) => format!("{n}{GLUE}spare controllers {}", c.sort),
    })
    .collect()
}
