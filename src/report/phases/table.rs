//! The answer as a page of at most 100 columns, without colour.

use super::words::Teller;
use crate::model::Installation;
use crate::plan::{InputState, PhaseStep, Phased, Totals};
use crate::report::layout::{self, Column, lined_up, paragraph, titled};
use crate::report::numbers::{fixed, plain};
use crate::report::table::{self, Page, closing, limits, wiring};

/// The page.
pub(super) fn written(installation: &Installation, phased: &Phased) -> String {
    let teller = Teller::of(installation, phased);
    let page = Page { names: teller.names, scale: teller.scale };
    let head = table::heading(page, &phased.site, phased.coldest, phased.hottest)
        + &paragraph(&teller.verdict(), 0, 2);
    let mut sections = vec![head];
    if phased.steps.is_empty() {
        sections.push(limits::summary(page, "Limits today", &phased.today));
    } else {
        sections.push(overview(teller));
    }
    for (t, step) in phased.steps.iter().enumerate() {
        sections.push(one_step(teller, step, t));
    }
    if !phased.foils.is_empty() {
        sections.push(other_ways(teller));
    }
    let lines: Vec<String> = phased.cancelled.iter().map(|c| teller.cancelled(c)).collect();
    sections.push(if_any("If a phase never comes", &lines));
    let lines: Vec<String> = phased.sold_out.iter().map(|s| teller.sold_out(s)).collect();
    sections.push(if_any("If a kind is sold out", &lines));
    if !phased.steps.is_empty() {
        sections.push(titled("Chosen by", &[teller.objective(), teller.proof()]));
    }
    sections.push(limits::to_ask(&phased.ask));
    sections.push(closing::list("Assumed", &phased.assumed));
    sections.push(closing::list("Notes", &phased.notes));
    sections.push(closing::cautions(&phased.cautions));
    layout::page(&sections)
}

/// A block with a line for each sentence; nothing where there is none.
fn if_any(title: &str, lines: &[String]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    paragraph(title, 0, 2) + &lines.iter().map(|line| paragraph(line, 2, 4)).collect::<String>()
}

/// A line for each phase.
fn overview(teller: Teller<'_>) -> String {
    let phased = teller.phased;
    let energy = phased.today_energy.is_some();
    let mut columns = vec![
        Column::Left(1),
        Column::Left(22),
        Column::Left(11),
        Column::Right(7),
        Column::Right(8),
        Column::Right(8),
        Column::Right(9),
        Column::Right(9),
        Column::Right(7),
        Column::Right(5),
    ];
    let head = [
        "",
        "",
        "when",
        "months",
        "watts",
        "added",
        "kWh a year",
        "money",
        "joints opened",
        "\u{a0} made",
    ];
    let mut rows: Vec<Vec<String>> = vec![head.map(str::to_owned).to_vec()];
    let kwh = |e: Option<crate::units::KilowattHours>| {
        e.map_or_else(|| "-".to_owned(), |e| fixed(e.kilowatt_hours(), 0))
    };
    let dash = || "-".to_owned();
    rows.push(vec![
        String::new(),
        "as it stands".into(),
        dash(),
        dash(),
        teller.watts(&phased.today),
        dash(),
        kwh(phased.today_energy),
        dash(),
        dash(),
        dash(),
    ]);
    for (t, step) in phased.steps.iter().enumerate() {
        let plan = step.plan();
        let added = teller.scale.difference(step.advice.today.passed(), plan.state.passed());
        rows.push(vec![
            (t + 1).to_string(),
            step.name.clone(),
            step.date.map_or_else(dash, |d| d.name()),
            plain(step.years * 12.0, 1),
            teller.watts(&plan.state),
            teller.scale.signed(added),
            kwh(step.energy),
            teller.money(step.money),
            plan.joints.opened.to_string(),
            plan.joints.made.to_string(),
        ]);
    }
    if !energy {
        columns.remove(6);
        rows.iter_mut().for_each(|row| {
            row.remove(6);
        });
    }
    paragraph("Phases (watts: at full sun behind the controllers' outputs)", 0, 2)
        + &lined_up(0, &columns, &rows)
}

fn one_step(teller: Teller<'_>, step: &PhaseStep, t: usize) -> String {
    let page = Page { names: crate::report::names::Names(&step.installation), scale: teller.scale };
    let state = &step.plan().state;
    let mut out =
        paragraph(&format!("Phase {}: {}, {}", t + 1, step.name, teller.when(step)), 0, 2);
    let mut line = |title: &str, texts: Vec<String>| {
        if !texts.is_empty() {
            out.push_str(&indented(title, &texts));
        }
    };
    let buys = teller.to_buy(step, t);
    if buys.is_empty() {
        line("Buy", vec!["nothing".to_owned()]);
    } else {
        line("Buy", vec![format!("{} ({}).", buys.join("; "), teller.spent(step))]);
    }
    line("Do", teller.to_do(step, t));
    line("Reached", vec![teller.reached(step)]);
    line("Limits", vec![limits::kept(page, state)]);
    line("Later", teller.prepared(step, t));
    for input in &state.inputs {
        out.push_str(&paragraph(&wiring::operating_point(page, input), 2, 4));
        out.push_str(&wiring::under_heads(strings_of(page, step, input)));
    }
    out
}

/// An input string by string, each marked if it stays as it was before the step.
pub(super) fn strings_of(page: Page<'_>, step: &PhaseStep, input: &InputState) -> Vec<Vec<String>> {
    let was = step.advice.today.inputs.iter().find(|w| w.at == input.at);
    let mut rows = wiring::rows(page, input, was);
    rows.iter_mut().filter(|r| r[2] == "as today").for_each(|r| r[2] = "stays".to_owned());
    rows
}

/// What a way comes to: its name, then watt-years, kWh, money, joints, joints made twice.
pub(super) fn sums(teller: Teller<'_>, name: &str, totals: &Totals) -> Vec<String> {
    vec![
        name.to_owned(),
        fixed(totals.watt_years, 0),
        totals.energy.map_or_else(|| "-".to_owned(), |e| fixed(e.kilowatt_hours(), 0)),
        teller.money(totals.money),
        totals.joints.total().to_string(),
        totals.repeated.to_string(),
    ]
}

/// A word, and sentences that hang beside it.
fn indented(title: &str, texts: &[String]) -> String {
    let mut out = String::new();
    for (i, text) in texts.iter().enumerate() {
        let head = if i == 0 { format!("{title:<8}") } else { " ".repeat(8) };
        let glued = head.replace(' ', "\u{a0}");
        out.push_str(&paragraph(&format!("{glued} {text}"), 2, 11));
    }
    out
}

fn other_ways(teller: Teller<'_>) -> String {
    let phased = teller.phased;
    let columns = [
        Column::Left(24),
        Column::Right(10),
        Column::Right(10),
        Column::Right(10),
        Column::Right(8),
        Column::Right(8),
        Column::Rest,
    ];
    let row = |name: &str, totals: &Totals| {
        let mut row = sums(teller, name, totals);
        let none = totals.idle.is_empty();
        row.push(if none { "-".to_owned() } else { teller.money(totals.idle_money) });
        row
    };
    let head =
        ["", "W·years", "kWh in all", "money", "joints", "done twice", "money idle in the end"];
    let mut rows = vec![head.map(str::to_owned).to_vec(), row("this plan", &phased.totals)];
    rows.extend(phased.foils.iter().map(|f| row(teller.foil(f.kind), &f.totals)));
    let mut out = paragraph("Other ways to go about it", 0, 2) + &lined_up(2, &columns, &rows);
    for foil in &phased.foils {
        out.push_str(&paragraph(&teller.lost(foil), 2, 4));
    }
    out
}
