//! What plugging a panel in without any plan would cost: many people will do just that.

use super::Page;
use crate::plan::{Advice, Check, CheckRule, ObviousWay};
use crate::report::layout::{Column, lined_up};
use crate::report::numbers::{self, amps};
use crate::report::words::{self, counted};
use crate::units::Watts;

pub(in crate::report) const TITLE: &str = "If you just plug one in";
const COLUMNS: [Column; 3] = [Column::Left(24), Column::Left(22), Column::Rest];

/// One line for each spare kind and each way in which it loses watts or breaches a limit.
pub(super) fn block(page: Page<'_>, advice: &Advice) -> String {
    let rows = rows(page, advice);
    if rows.is_empty() {
        String::new()
    } else {
        format!("{TITLE}\n{}", lined_up(2, &COLUMNS, &rows))
    }
}

/// Kind, way and what comes of it; the kind stands in the first of its rows.
pub(in crate::report) fn rows(page: Page<'_>, advice: &Advice) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for spare in &advice.spares {
        let harmful = spare.obvious.iter().filter(|way| harms(page, way));
        for (i, way) in harmful.enumerate() {
            let name = if i == 0 { page.names.kind(spare.kind) } else { "" };
            rows.push(vec![name.to_owned(), said(way).to_owned(), harm(page, advice, way)]);
        }
    }
    rows
}

/// Does it lose watts that are shown, or breach a limit?
fn harms(page: Page<'_>, way: &ObviousWay) -> bool {
    lost(page, way) > Watts(0.0) || !way.breaches.is_empty()
}

fn lost(page: Page<'_>, way: &ObviousWay) -> Watts {
    page.scale.difference(way.change, Watts(0.0))
}

fn said(way: &ObviousWay) -> &'static str {
    if way.way == "in_series" { "at the end of string 1" } else { "straight in parallel" }
}

/// `366 W less than today; 10.3 A would flow back into it with the controller idle: BREACHES idle
/// reverse current, at most 10 A`.
fn harm(page: Page<'_>, advice: &Advice, way: &ObviousWay) -> String {
    less(page, way).into_iter().chain(breach(page, advice, way)).collect::<Vec<_>>().join("; ")
}

fn less(page: Page<'_>, way: &ObviousWay) -> Option<String> {
    let lost = lost(page, way);
    if lost <= Watts(0.0) {
        return None;
    }
    let nothing_left = page.scale.difference(Watts(0.0), way.watts) == Watts(0.0);
    let shown = page.scale.watts(lost);
    Some(if nothing_left {
        let here = if page.names.has_several_inputs() { " on this input" } else { "" };
        format!("nothing left of today's {shown}{here}")
    } else {
        format!("{shown} less than today")
    })
}

/// The gravest breach, and how many others there are.
fn breach(page: Page<'_>, advice: &Advice, way: &ObviousWay) -> Option<String> {
    // What flows back is not to be seen while the sun works, so it comes first.
    let gravest = way.breaches.iter().min_by_key(|c| match c.rule {
        CheckRule::IdleReverseCurrent => 0,
        rule => 1 + rule.gravity(),
    })?;
    let finding = if gravest.rule == CheckRule::IdleReverseCurrent {
        flowing_back(advice, way, gravest)
    } else {
        format!("BREACHES {}", numbers::finding(page.names, gravest))
    };
    let others = match way.breaches.len() - 1 {
        0 => String::new(),
        n => format!("; and {}", counted(n, "more limit", "more limits")),
    };
    Some(finding + &others)
}

fn flowing_back(advice: &Advice, way: &ObviousWay, breach: &Check) -> String {
    let planned = advice.today.inputs.iter().find(|i| i.at == advice.planned);
    let n_today = planned.map_or(0, |i| i.strings.len());
    let into = if breach.string == Some(n_today) { "it" } else { "a string" };
    let (_, limit) = numbers::value_and_limit(breach);
    format!(
        "{} would flow back into {into} with the controller idle: BREACHES {}, {limit}",
        amps(way.reverse),
        words::rule(breach.rule)
    )
}
