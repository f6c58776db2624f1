//! An upgrade in steps: a row for each phase, and for what is bought, strung and prepared in it.

use super::Rows;
use super::row::{Row, cell, written};
use crate::model::Installation;
use crate::plan::{PhaseStep, Phased, Totals, Ware};
use crate::report::figures::{figure, watts};
use crate::report::names::Names;

/// The answer to `phases` as CSV. In the rows of a phase `value` is its number.
pub(in crate::report) fn phases(installation: &Installation, phased: &Phased) -> String {
    let mut rows = Rows::new(installation, &phased.site);
    rows.today(&phased.today);
    for (t, step) in phased.steps.iter().enumerate() {
        rows.phase(step, t);
    }
    rows.way("plan", &phased.totals);
    phased.foils.iter().for_each(|f| rows.way(f.kind.name(), &f.totals));
    for cancelled in &phased.cancelled {
        let row = Row {
            value: figure((cancelled.phase + 1) as f64, 0),
            watts: watts(cancelled.watts),
            unlocks_watts: None,
            kwh: cancelled.lost.energy.and_then(|e| figure(-e.kilowatt_hours(), 2)),
            text: format!("{:.0} W·years less", cancelled.lost.watt_years),
            ..rows.row("if_cancelled")
        };
        rows.rows.push(row);
    }
    for sold_out in &phased.sold_out {
        let lost = sold_out.lost.map(|l| format!("{:.0} W·years less", l.watt_years));
        let energy = sold_out.lost.and_then(|l| l.energy);
        let others: Vec<&str> =
            sold_out.substitutes.iter().map(|s| rows.names.kind(s.kind)).collect();
        let row = Row {
            name: cell(rows.names.kind(sold_out.kind)),
            value: figure((sold_out.phase + 1) as f64, 0),
            offered: Some(sold_out.count),
            kwh: energy.and_then(|e| figure(-e.kilowatt_hours(), 2)),
            text: lost.unwrap_or_else(|| "no way on".to_owned()),
            would_help: cell(&others.join("; ")),
            ..rows.row("if_sold_out")
        };
        rows.rows.push(row);
    }
    rows.texts("assumed", &phased.assumed);
    rows.texts("ask", &phased.ask);
    rows.texts("note", &phased.notes);
    rows.texts("caution", &phased.cautions);
    written(&rows.rows)
}

impl Rows<'_> {
    fn phase(&mut self, step: &PhaseStep, t: usize) {
        // Its controllers may be others than today's.
        let mut own =
            Rows { names: Names(&step.installation), site: self.site.clone(), rows: Vec::new() };
        let plan = step.plan();
        let number = figure((t + 1) as f64, 0);
        let head = Row {
            name: cell(&step.name),
            value: number,
            text: step.date.map(|d| d.name()).unwrap_or_default(),
            added_watts: watts(plan.added),
            joints_opened: Some(plan.joints.opened),
            joints_made: Some(plan.joints.made),
            kwh: step.energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            limit: step.budget.and_then(|b| figure(b + step.carried_in, 2)),
            unit: "",
            ..own.state("phase", "phase", &plan.state)
        };
        own.rows.push(head);
        for bought in &step.bought {
            let name = match &bought.ware {
                Ware::Panels(kind) => own.names.kind(*kind).to_owned(),
                Ware::Controller(id, _) => id.clone(),
            };
            let row = Row {
                name: cell(&name),
                value: number,
                used: Some(bought.count),
                text: bought.each.map(|p| format!("{p} each")).unwrap_or_default(),
                ..own.row("bought")
            };
            own.rows.push(row);
        }
        let first = own.rows.len();
        own.strings("phase", &plan.state);
        own.checks("phase", &plan.state);
        // A check's value is its own; a string has none, so it takes the number of its phase.
        own.rows[first..]
            .iter_mut()
            .filter(|r| r.record == "string")
            .for_each(|r| r.value = number);
        self.rows.append(&mut own.rows);
    }

    /// A way through all phases, summed up.
    fn way(&mut self, name: &'static str, totals: &Totals) {
        let row = Row {
            name: name.to_owned(),
            value: figure(totals.watt_years, 2),
            unit: "W·years",
            kwh: totals.energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            joints_opened: Some(totals.joints.opened),
            joints_made: Some(totals.joints.made),
            text: format!(
                "money {:.2}; joints done twice {}; money idle in the end {:.2}",
                totals.money, totals.repeated, totals.idle_money
            ),
            ..self.row("way")
        };
        self.rows.push(row);
    }
}
