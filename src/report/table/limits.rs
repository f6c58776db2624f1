//! The limits: a summary under a plan, every line under a check.

use super::Page;
use crate::model::InputRef;
use crate::plan::{Check, CheckRule, Outcome, State};
use crate::report::layout::{Column, lined_up, paragraph, titled};
use crate::report::numbers::{finding, value_and_limit};
use crate::report::words::{self, Sense, clause};

const COLUMNS: [Column; 5] =
    [Column::Left(8), Column::Left(31), Column::Right(12), Column::Left(18), Column::Rest];

/// How many limits are kept, the nearest of them, and each that is not simply kept, worst first.
pub(in crate::report) fn summary(page: Page<'_>, title: &str, state: &State) -> String {
    if state.checks.is_empty() {
        return String::new();
    }
    let mut lines = vec![kept(page, state)];
    let mut marked: Vec<&Check> = state
        .checks
        .iter()
        // The output limit only clips, and stands under its own heading.
        .filter(|c| c.outcome != Outcome::Pass && c.rule != CheckRule::ChargeLimit)
        .collect();
    marked.sort_by_key(|c| std::cmp::Reverse(c.outcome));
    lines.extend(marked.iter().map(|c| remark(page, c)));
    titled(title, &lines)
}

/// How many limits are kept, and the nearest.
pub(in crate::report) fn kept(page: Page<'_>, state: &State) -> String {
    format!("{}{}", tally(state), nearest_words(page, state))
}

/// Every limit as a line, input by input, worst first; below them what each that is not kept means.
pub(super) fn tables(page: Page<'_>, state: &State) -> Vec<String> {
    inputs(state).into_iter().map(|at| table(page, at, state)).collect()
}

/// Inputs that have limits, in order.
pub(in crate::report) fn inputs(state: &State) -> Vec<InputRef> {
    let mut inputs: Vec<InputRef> = state.checks.iter().map(|c| c.at).collect();
    inputs.sort_unstable();
    inputs.dedup();
    inputs
}

/// The label figures to ask for; a single one already stands in the verdict.
pub(in crate::report) fn to_ask(ask: &[String]) -> String {
    if ask.len() > 1 { super::closing::list("Ask", ask) } else { String::new() }
}

fn table(page: Page<'_>, at: InputRef, state: &State) -> String {
    let checks = worst_first(at, state);
    let rows: Vec<Vec<String>> = checks
        .iter()
        .map(|c| {
            let (value, limit) = value_and_limit(c);
            vec![words::outcome(c.outcome).into(), rule_and_string(c), value, limit, c.basis.into()]
        })
        .collect();
    let heading = format!("Limits of {}", page.names.input(at));
    let mut out = paragraph(&heading, 0, 2) + &lined_up(2, &COLUMNS, &rows);
    for note in notes(&checks) {
        out.push_str(&paragraph(&note, 2, 4));
    }
    out
}

/// The limits of one input, worst first.
pub(in crate::report) fn worst_first(at: InputRef, state: &State) -> Vec<&Check> {
    let mut checks: Vec<&Check> = state.checks.iter().filter(|c| c.at == at).collect();
    checks.sort_by_key(|c| std::cmp::Reverse(c.outcome));
    checks
}

/// What each limit that is not simply kept means.
pub(in crate::report) fn notes(checks: &[&Check]) -> Vec<String> {
    let noted = checks.iter().filter(|c| !c.note.is_empty());
    noted.map(|c| format!("{}: {}.", rule_and_string(c), clause(&c.note))).collect()
}

/// `cold voltage, string 2`.
pub(in crate::report) fn rule_and_string(check: &Check) -> String {
    match check.string {
        Some(s) => format!("{}, string{}{}", words::rule(check.rule), super::GLUE, s + 1),
        None => words::rule(check.rule).into(),
    }
}

fn tally(state: &State) -> String {
    let count = |outcome| state.checks.iter().filter(|c| c.outcome == outcome).count();
    let all = state.checks.len();
    let (breached, unknown) = (count(Outcome::Breach), count(Outcome::Unknown));
    match (breached, unknown) {
        (0, 0) => format!("all {all} kept."),
        (0, u) => format!("{} of {all} kept, {u} unknown.", all - u),
        (b, 0) => format!("{b} of {all} BREACHED."),
        (b, u) => format!("{b} of {all} BREACHED, {u} unknown."),
    }
}

/// The nearest limit, unless something worse follows.
fn nearest_words(page: Page<'_>, state: &State) -> String {
    match nearest(&state.checks) {
        Some(check) if !state.breaches() => format!(" Nearest: {}.", finding(page.names, check)),
        _ => String::new(),
    }
}

/// The check that is kept by the least margin, as a share of its limit.
fn nearest(checks: &[Check]) -> Option<&Check> {
    checks
        .iter()
        .filter(|c| c.outcome == Outcome::Pass)
        // A full combiner or a clipping output is no near miss, a fuse is a purchase, and the share
        // of power kept in heat passes only near its own top.
        .filter(|c| {
            !matches!(
                c.rule,
                CheckRule::StringPorts
                    | CheckRule::ChargeLimit
                    | CheckRule::StringFuse
                    | CheckRule::HotWindow
            )
        })
        .filter_map(|c| Some((margin(c)?, c)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, c)| c)
}

fn margin(check: &Check) -> Option<f64> {
    let (value, limit) = (check.value?, check.limit?);
    let ratio = value / limit;
    ratio.is_finite().then(|| match words::sense(check.rule) {
        Sense::AtMost => 1.0 - ratio,
        Sense::AtLeast => ratio - 1.0,
    })
}

/// `BREACH: cold voltage 161.2 V, at most 150 V (string 2): what it means.`
fn remark(page: Page<'_>, check: &Check) -> String {
    let note = match clause(&check.note) {
        "" => String::new(),
        note => format!(": {note}"),
    };
    let outcome = words::outcome(check.outcome);
    format!("{outcome}: {}{note}.", finding(page.names, check))
}
