//! The answers as one table for spreadsheets: a `record` column says what a row is.
//!
//! One fixed header for every command, so that answers of many sites can be stacked and filtered.
//! Quoted after RFC 4180. Text that a spreadsheet would take for a formula gets a leading apostrophe,
//! since names come from files that others may have written (common practice, no source).
//! Architecture invariant: the only place in the report that names the `csv` crate.

mod controllers;
mod energy;
mod joints;
mod money;
mod parts;
mod phases;
mod row;
mod spares;
mod state;
mod verify;

pub(super) use phases::phases;

use super::figures::{figure, sought_kwh, watts};
use super::moves;
use super::names::Names;
use crate::model::Installation;
use crate::plan::{self, Advice, Checked, Outcome, Plan, State, TouchAnswer, Yield, cables};
use row::Row;
pub(super) use row::{cell, written};
pub(super) use verify::{VerifyRow, verified};

/// Collects the rows of one answer.
struct Rows<'a> {
    names: Names<'a>,
    site: String,
    rows: Vec<Row>,
}

/// The answer to `advise` as CSV.
pub(super) fn advice(installation: &Installation, advice: &Advice) -> String {
    let mut rows = Rows::new(installation, &advice.site);
    rows.today(&advice.today);
    rows.plans(advice);
    rows.joint_curve(advice);
    for spare in &advice.spares {
        rows.spare(spare);
    }
    advice.controllers.iter().for_each(|c| rows.controller(c));
    advice.own_controllers.iter().for_each(|o| rows.own_controller(o));
    rows.idle(&advice.idle);
    rows.strings("today", &advice.today);
    match advice.best.map(|b| &advice.plans[b]) {
        Some(plan) => {
            rows.strings(plan.touch.name(), &plan.state);
            rows.checks(plan.touch.name(), &plan.state);
            rows.cables(plan.touch.name(), &cables(installation, &plan.state));
        }
        None => {
            rows.checks("today", &advice.today);
            rows.cables("today", &cables(installation, &advice.today));
        }
    }
    rows.energy(advice.energy.as_ref(), &advice.plans);
    rows.parts(&plan::parts(installation, advice));
    rows.money(plan::money(installation, advice).as_ref());
    rows.texts("move", &moves::lines(installation, advice));
    rows.texts("assumed", &advice.assumed);
    rows.texts("ask", &advice.ask);
    rows.texts("note", &advice.notes);
    rows.texts("caution", &advice.cautions);
    written(&rows.rows)
}

/// The answer to `check` as CSV.
pub(super) fn checked(installation: &Installation, checked: &Checked) -> String {
    let mut rows = Rows::new(installation, &checked.site);
    rows.today(&checked.state);
    rows.idle(&checked.idle);
    rows.strings("today", &checked.state);
    rows.checks("today", &checked.state);
    rows.energy(checked.energy.as_ref(), &[]);
    rows.cables("today", &cables(installation, &checked.state));
    rows.texts("assumed", &checked.assumed);
    rows.texts("ask", &checked.ask);
    rows.texts("caution", &checked.cautions);
    written(&rows.rows)
}

impl<'a> Rows<'a> {
    fn new(installation: &'a Installation, site: &str) -> Self {
        Self { names: Names(installation), site: cell(site), rows: Vec::new() }
    }

    fn row(&self, record: &'static str) -> Row {
        Row { site: self.site.clone(), record, ..Row::default() }
    }

    fn today(&mut self, state: &State) {
        let outcomes = state.checks.iter().map(|c| c.outcome);
        let row = Row {
            verdict: outcomes.max().unwrap_or(Outcome::Pass).name(),
            ..self.state("today", "today", state)
        };
        self.rows.push(row);
    }

    /// One row for each touch level that was asked for.
    fn plans(&mut self, advice: &Advice) {
        for (touch, answer) in &advice.levels {
            let (verdict, idx) = match answer {
                TouchAnswer::Plan(idx) if advice.best == Some(*idx) => ("best", Some(*idx)),
                TouchAnswer::Plan(idx) => ("plan", Some(*idx)),
                TouchAnswer::SameAs(idx) => ("same_as", Some(*idx)),
                TouchAnswer::NoPlan(_) => ("no_plan", None),
                TouchAnswer::LimitReached => ("limit_reached", None),
            };
            let row = match idx {
                Some(idx) => self.plan(touch.name(), &advice.plans[idx]),
                None => Row { wiring_of: touch.name(), ..self.row("plan") },
            };
            self.rows.push(Row { verdict, ..row });
            if let TouchAnswer::NoPlan(failed) = answer {
                self.check_rows("failed_check", touch.name(), failed);
            }
        }
    }

    fn plan(&self, touch: &'static str, plan: &Plan) -> Row {
        Row {
            added_watts: watts(plan.added),
            bound_watts: watts(plan.bound.watts),
            gap_percent: figure(plan.bound.gap * 100.0, 4),
            joints_opened: Some(plan.joints.opened),
            joints_made: Some(plan.joints.made),
            kwh: plan.energy.and_then(|proof| sought_kwh(proof.brings)),
            bound_kwh: plan
                .energy
                .and_then(|proof| sought_kwh(Yield { energy: proof.bound, ..proof.brings })),
            ..self.state("plan", touch, &plan.state)
        }
    }

    fn texts<S: AsRef<str>>(&mut self, record: &'static str, texts: &[S]) {
        for text in texts {
            let row = Row { text: cell(text.as_ref()), ..self.row(record) };
            self.rows.push(row);
        }
    }
}
