//! The first lines: what to do, in words, with the watts now and then.

use super::{Page, cables, to_do};
use crate::plan::{
    Advice, CheckRule, Checked, ControllerAnswer, IdlePanels, Outcome, Plan, SpareAnswer, State,
    TouchAnswer, Verdict,
};
use crate::report::layout::{GLUE, paragraph};
use crate::report::words::{clause, counted, listed};
use crate::report::{moves, numbers};

/// Said of a plan for a site that breaches a limit today.
const MENDED: &str = " This breaches no limit.";
/// When missing label figures must be known.
const BEFORE_WIRING: &str = "Before wiring,";
const STILL: &str = "Still to";
/// Most breaches that are named in the verdict.
const MOST_BREACHES: usize = 3;

/// The sentences that say what to do.
#[derive(Debug)]
pub(in crate::report) struct Said {
    /// What is wrong with today's wiring, if anything is.
    pub(in crate::report) danger: Option<String>,
    /// The sentence on which a person acts.
    pub(in crate::report) verdict: String,
    /// What to take out, what to buy, what to leave, what to ask first.
    pub(in crate::report) beside: Vec<String>,
}

/// The verdict of `advise`: one line each for danger, what to do, what to leave, what to ask first.
pub(super) fn advice(page: Page<'_>, advice: &Advice) -> String {
    let said = said(page, advice);
    let lines = said.danger.into_iter().chain([said.verdict]).chain(said.beside);
    lines.map(|line| paragraph(&line, 0, 2)).collect()
}

/// The same in sentences that nobody has set yet.
pub(in crate::report) fn said(page: Page<'_>, advice: &Advice) -> Said {
    let best = advice.best.map(|b| &advice.plans[b]);
    let mut beside = Vec::new();
    let verdict = match best {
        Some(plan) => {
            let mended = advice.today.breaches() && !plan.state.breaches();
            let mended = if mended { MENDED } else { "" };
            beside.extend(to_move(page, advice, plan));
            beside.extend(to_take_out(page, advice));
            beside.extend(to_do::less_work(page, advice, plan));
            beside.extend(fuses(&advice.today, &plan.state));
            beside.extend(cables::verdict(page, &plan.state));
            to_do::sentence(page, advice, plan) + mended
        }
        None => no_plan(page, advice),
    };
    beside.extend(to_leave(page, &advice.spares));
    beside.extend(to_leave_unused(advice));
    let rewires = best.is_some_and(Plan::changes_wiring);
    let when = if rewires { BEFORE_WIRING } else { STILL };
    beside.extend(to_ask_first(when, &advice.ask));
    Said { danger: danger(page, &advice.today), verdict, beside }
}

/// The verdict of `check`.
pub(super) fn checked(page: Page<'_>, checked: &Checked) -> String {
    let state = &checked.state;
    let gives = format!("As it stands the array gives {}.", super::watts_and_share(page, state));
    let mut lines = match danger(page, state) {
        Some(danger) => vec![danger, gives],
        None => vec![gives, kept(state)],
    };
    lines.extend(cables::verdict(page, state));
    lines.extend(idle(page, checked));
    lines.extend(to_ask_first(STILL, &checked.ask));
    lines.iter().map(|line| paragraph(line, 0, 2)).collect()
}

/// What is wrong with today's wiring, if anything is.
fn danger(page: Page<'_>, today: &State) -> Option<String> {
    let breached: Vec<String> = today
        .checks
        .iter()
        .filter(|c| c.outcome == Outcome::Breach)
        .map(|c| numbers::finding(page.names, c))
        .collect();
    let shown = &breached[..breached.len().min(MOST_BREACHES)];
    let others = match breached.len() - shown.len() {
        0 => String::new(),
        n => format!("; and {n} more"),
    };
    let limits = if breached.len() == 1 { "a limit" } else { "limits" };
    (!breached.is_empty())
        .then(|| format!("Today's wiring BREACHES {limits}: {}{others}.", shown.join("; ")))
}

fn no_plan(page: Page<'_>, advice: &Advice) -> String {
    let limit_reached =
        advice.levels.iter().any(|(_, answer)| matches!(answer, TouchAnswer::LimitReached));
    if limit_reached {
        return "No plan yet: the search came to its limit before it found a wiring. That does \
                not prove that there is none."
            .to_owned();
    }
    // The level that may change most says best what cannot be helped.
    let in_the_way = advice.levels.iter().rev().find_map(|(_, answer)| match answer {
        // Of equals the first: `max_by_key` would take the last.
        TouchAnswer::NoPlan(checks) => checks.iter().rev().max_by_key(|c| c.outcome),
        _ => None,
    });
    match in_the_way {
        Some(check) => format!(
            "No plan: no wiring of these panels keeps every limit. In the way: {}.",
            numbers::finding(page.names, check)
        ),
        None => "No plan: no wiring of these panels keeps every limit.".to_owned(),
    }
}

/// Panels that change their input.
fn to_move(page: Page<'_>, advice: &Advice, plan: &Plan) -> Option<String> {
    let moved = moves::between_inputs(page.names.0, advice, plan);
    (!moved.is_empty()).then(|| format!("Move {}.", moves::in_words(page.names, &moved)))
}

fn to_take_out(page: Page<'_>, advice: &Advice) -> Option<String> {
    let out = panels(page, &advice.idle);
    match &advice.idle[..] {
        [] => None,
        [one] if !one.because.is_empty() => {
            Some(format!("Take out {out}: {}.", clause(&one.because)))
        }
        _ => Some(format!("Take out {out}: the plan does not need them.")),
    }
}

/// The spares that the plan does not use.
fn to_leave(page: Page<'_>, spares: &[SpareAnswer]) -> Vec<String> {
    let unused = spares.iter().filter(|s| s.used == 0 && s.verdict != Verdict::NotWorkedOut);
    let (weak_sun, rest): (Vec<&SpareAnswer>, Vec<&SpareAnswer>) =
        unused.partition(|s| s.verdict == Verdict::AddsInWeakSun);
    let mut lines: Vec<String> = weak_sun
        .iter()
        .map(|s| {
            format!(
                "{} would gain only in weak sun: {}.",
                page.names.label(s.kind),
                clause(&super::spares::reason(s))
            )
        })
        .collect();
    match &rest[..] {
        [] => {}
        [one] => lines.push(format!(
            "Leave {} out: {}.",
            page.names.label(one.kind),
            clause(&super::spares::reason(one))
        )),
        many => {
            let names: Vec<String> =
                many.iter().map(|s| page.names.label(s.kind).to_owned()).collect();
            lines.push(format!("Leave out {}; why stands under Spares.", listed(&names)));
        }
    }
    lines
}

/// The spare controllers that the plan does not use.
fn to_leave_unused(advice: &Advice) -> Option<String> {
    let unused: Vec<&ControllerAnswer> =
        advice.controllers.iter().filter(|c| c.used == 0).collect();
    match &unused[..] {
        [] => None,
        [one] => Some(format!(
            "Leave the spare controller {} where it is: {}.",
            one.sort,
            super::controllers::reason(one)
        )),
        many => {
            let names: Vec<String> = many.iter().map(|c| c.sort.clone()).collect();
            let names = listed(&names);
            Some(format!("Leave the spare controllers {names} where they are; why stands below."))
        }
    }
}

/// Fuses are a purchase, so they belong to the decision.
fn fuses(today: &State, planned: &State) -> Option<String> {
    let needed = |state: &State| {
        state
            .checks
            .iter()
            .any(|c| c.rule == CheckRule::StringFuse && c.outcome == Outcome::Caution)
    };
    let already = if needed(today) { " (as today's does)" } else { "" };
    needed(planned).then(|| format!("This wiring needs fuses{already}: sizes stand under Limits."))
}

fn to_ask_first(when: &str, ask: &[String]) -> Option<String> {
    let first = ask.first()?;
    let others = match ask.len() - 1 {
        0 => String::new(),
        n => format!(" and {} under Ask", counted(n, "other figure", "other figures")),
    };
    Some(format!("{when} find out: {}{others}.", clause(first)))
}

fn kept(state: &State) -> String {
    let count = |outcome| state.checks.iter().filter(|c| c.outcome == outcome).count();
    let cautions = match count(Outcome::Caution) {
        0 => String::new(),
        n => format!(", with {}", counted(n, "caution", "cautions")),
    };
    match count(Outcome::Unknown) {
        0 => format!("Every limit is kept{cautions}."),
        n => format!(
            "No limit is breached as far as known{cautions}; {} cannot be checked.",
            counted(n, "limit", "limits")
        ),
    }
}

fn idle(page: Page<'_>, checked: &Checked) -> Option<String> {
    let idle = panels(page, &checked.idle);
    match &checked.idle[..] {
        [] => None,
        [one] if !one.because.is_empty() => {
            Some(format!("Idle: {idle}: {}.", clause(&one.because)))
        }
        _ => Some(format!("Idle: {idle} give nothing as wired.")),
    }
}

/// `1 a and 2 b`.
fn panels(page: Page<'_>, idle: &[IdlePanels]) -> String {
    let counted: Vec<String> =
        idle.iter().map(|i| format!("{}{GLUE}{}", i.count, page.names.kind(i.kind))).collect();
    listed(&counted)
}
