//! The plans, one line for each touch level that was asked for.

use super::Page;
use crate::plan::{Advice, Check, Plan, Rule, State, Touch, TouchAnswer};
use crate::report::layout::{Column, GLUE, lined_up, paragraph};
use crate::report::numbers::{self, share};
use crate::report::words;
use crate::units::Watts;

const COLUMNS: [Column; 9] = [
    Column::Left(1),
    Column::Left(16),
    Column::Right(9),
    Column::Right(9),
    Column::Right(9),
    Column::Right(7),
    Column::Right(6),
    Column::Right(4),
    Column::Rest,
];
/// Where the column for watts behind the output limit stands; it is left out where nothing clips.
const PASSED: usize = 3;

/// Today and every level, with watts, joints and proof.
pub(super) fn table(page: Page<'_>, advice: &Advice) -> String {
    let mut rows = vec![header()];
    rows.extend(self::rows(page, advice));
    let mut columns = COLUMNS.to_vec();
    if !clips(advice) {
        columns.remove(PASSED);
        for row in &mut rows {
            row.remove(PASSED);
        }
    }
    title(page, advice) + &lined_up(0, &columns, &rows)
}

fn title(page: Page<'_>, advice: &Advice) -> String {
    let mut title = "Plans".to_owned();
    if advice.together.len() > 1 {
        title += " for the whole site";
    } else if page.names.has_several_inputs() {
        title += &format!(" for {}, the watts of the whole site", page.names.input(advice.planned));
    }
    if let Some(aim) = words::aim(advice.aim) {
        title += &format!(", chosen for {aim}");
    }
    if advice.rule == Rule::Nameplate {
        title += ", chosen by the rule of thumb, the watts from the curves";
    }
    paragraph(&format!("{title} (* best; used: share of the label watts)"), 0, 2)
}

/// Today and every level: mark of the best, name, watts, watts passed on, added, used, joints opened
/// and made, proof.
pub(in crate::report) fn rows(page: Page<'_>, advice: &Advice) -> Vec<Vec<String>> {
    let levels = advice.levels.iter().map(|(touch, answer)| level(page, advice, *touch, answer));
    std::iter::once(as_it_stands(page, &advice.today)).chain(levels).collect()
}

/// Does an output limit bite anywhere?
pub(in crate::report) fn clips(advice: &Advice) -> bool {
    advice.today.clipped().is_some() || advice.plans.iter().any(|p| p.state.clipped().is_some())
}

fn header() -> Vec<String> {
    ["", "", "watts", "passed on", "added", "used"]
        .map(str::to_owned)
        .into_iter()
        .chain([
            "joints opened".to_owned(),
            // The glue holds the first line free, so that the two words share one heading.
            format!("{GLUE} made"),
            "proof".to_owned(),
        ])
        .collect()
}

fn as_it_stands(page: Page<'_>, today: &State) -> Vec<String> {
    vec![
        String::new(),
        "as it stands".into(),
        page.scale.bare(today.watts()),
        passed_on(page, today),
        "-".into(),
        share(today.utilization()),
        "-".into(),
        "-".into(),
        String::new(),
    ]
}

fn level(page: Page<'_>, advice: &Advice, touch: Touch, answer: &TouchAnswer) -> Vec<String> {
    match answer {
        TouchAnswer::Plan(idx) => {
            let plan = &advice.plans[*idx];
            let mut bound = page.scale.watts(plan.bound.watts);
            // More joints may bring more watts.
            if advice.joint_worth.is_some_and(|w| w > Watts(0.0)) {
                bound += " with as many joints";
            }
            let mark = if advice.best == Some(*idx) { "*" } else { "" };
            let proof = plan
                .energy
                .map_or_else(|| words::proof(plan.bound, advice.rule, &bound), words::energy_proof);
            plan_row(page, advice, mark, touch, plan, proof)
        }
        TouchAnswer::SameAs(idx) => {
            let plan = &advice.plans[*idx];
            let proof = format!("same wiring as \"{}\"", words::touch(plan.touch));
            plan_row(page, advice, "", touch, plan, proof)
        }
        TouchAnswer::NoPlan(checks) => empty_row(touch, no_wiring(page, checks)),
        TouchAnswer::LimitReached => empty_row(
            touch,
            "the search came to its limit before any plan: there may be one".into(),
        ),
    }
}

fn plan_row(
    page: Page<'_>,
    advice: &Advice,
    mark: &str,
    touch: Touch,
    plan: &Plan,
    proof: String,
) -> Vec<String> {
    let scale = page.scale;
    let added = scale.difference(advice.today.watts(), plan.state.watts());
    vec![
        mark.into(),
        words::touch(touch).into(),
        scale.bare(plan.state.watts()),
        passed_on(page, &plan.state),
        scale.signed(added),
        share(plan.state.utilization()),
        plan.joints.opened.to_string(),
        plan.joints.made.to_string(),
        proof,
    ]
}

fn empty_row(touch: Touch, why: String) -> Vec<String> {
    let mut row = vec!["-".to_owned(); COLUMNS.len()];
    row[0] = String::new();
    row[1] = words::touch(touch).into();
    row[COLUMNS.len() - 1] = why;
    row
}

/// Most limits that are named where no wiring keeps them all.
const MOST_FINDINGS: usize = 3;

fn no_wiring(page: Page<'_>, checks: &[Check]) -> String {
    let mut findings: Vec<String> =
        checks.iter().take(MOST_FINDINGS).map(|c| numbers::finding(page.names, c)).collect();
    if findings.is_empty() {
        return "no wiring keeps every limit".into();
    }
    if checks.len() > findings.len() {
        findings.push(format!("and {} more", checks.len() - findings.len()));
    }
    format!("no wiring keeps every limit: {}", findings.join("; "))
}

fn passed_on(page: Page<'_>, state: &State) -> String {
    page.scale.bare(state.passed())
}
