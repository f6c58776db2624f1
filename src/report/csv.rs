//! The answers as one table for spreadsheets: a `record` column says what a row is.
//!
//! One fixed header for every command, so that answers of many sites can be stacked and filtered.
//! Quoted after RFC 4180. Text that a spreadsheet would take for a formula gets a leading apostrophe,
//! since names come from files that others may have written (common practice, no source).
//! Architecture invariant: the only place in the report that names the `csv` crate.

mod energy;
mod parts;

mod joints;

use ::csv::{Terminator, WriterBuilder};
use serde::Serialize;

use super::figures::{Figure, amps, figure, volts, watts};
use super::moves;
use super::names::Names;
use crate::model::Installation;
use crate::plan::{
    self, Advice, Checked, IdlePanels, Outcome, Plan, SpareAnswer, State, TouchAnswer, cables,
};

/// One line. The order of fields is the order of columns.
#[derive(Debug, Clone, Default, Serialize)]
struct Row {
    site: String,
    record: &'static str,
    wiring_of: &'static str,
    name: String,
    verdict: &'static str,
    watts: Figure,
    added_watts: Figure,
    clipped_watts: Figure,
    label_watts: Figure,
    utilization: Figure,
    nameplate_watts: Figure,
    bound_watts: Figure,
    gap_percent: Figure,
    joints_opened: Option<usize>,
    joints_made: Option<usize>,
    offered: Option<usize>,
    used: Option<usize>,
    controller: String,
    input: Option<usize>,
    string: Option<usize>,
    wiring: String,
    volts: Figure,
    amps: Figure,
    cold_open_volts: Figure,
    value: Figure,
    limit: Figure,
    unit: &'static str,
    text: String,
    would_help: String,
    unlocks_watts: Figure,
    idle_reverse_amps: Figure,
    month: Option<usize>,
    kwh: Figure,
    added_kwh: Figure,
    kwh_per_day: Figure,
    clipped_kwh: Figure,
    clipped_hours: Figure,
}

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

    /// What a whole site gives under one wiring.
    fn state(&self, record: &'static str, wiring_of: &'static str, state: &State) -> Row {
        Row {
            wiring_of,
            wiring: cell(&self.whole_wiring(state)),
            watts: watts(state.watts()),
            clipped_watts: state.clipped().and_then(watts),
            label_watts: watts(state.label()),
            utilization: figure(state.utilization(), 4),
            nameplate_watts: watts(state.nameplate()),
            ..self.row(record)
        }
    }

    /// Every string of the site: `a + a; a + (b | c)`, with the input's name where there are several.
    fn whole_wiring(&self, state: &State) -> String {
        let wired = state.inputs.iter().filter(|i| !i.strings.is_empty());
        let inputs: Vec<String> = wired
            .map(|input| {
                let strings: Vec<String> =
                    input.strings.iter().map(|s| self.names.string_in_file(&s.wiring)).collect();
                let prefix = if self.names.has_several_inputs() {
                    format!("{} {}: ", self.names.controller(input.at), input.at.input)
                } else {
                    String::new()
                };
                prefix + &strings.join("; ")
            })
            .collect();
        inputs.join("; ")
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
            ..self.state("plan", touch, &plan.state)
        }
    }

    fn spare(&mut self, spare: &SpareAnswer) {
        let row = Row {
            name: cell(self.names.kind(spare.kind)),
            verdict: spare.verdict.name(),
            added_watts: watts(spare.adds),
            added_kwh: spare.adds_energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            offered: Some(spare.offered),
            used: Some(spare.used),
            text: cell(&spare.because),
            would_help: cell(&spare.would_help),
            ..self.row("spare")
        };
        self.rows.push(row);
        self.worth(spare);
        self.certificate(spare);
        self.helps(spare);
        self.obvious(spare);
        self.certainty(spare);
    }

    /// A row about one spare kind.
    fn about(&self, record: &'static str, spare: &SpareAnswer) -> Row {
        Row { name: cell(self.names.kind(spare.kind)), ..self.row(record) }
    }

    fn worth(&mut self, spare: &SpareAnswer) {
        for point in &spare.worth {
            let row = Row {
                offered: Some(point.panels),
                watts: watts(point.watts),
                added_watts: point.step.and_then(watts),
                bound_watts: watts(point.bound),
                ..self.about("worth", spare)
            };
            self.rows.push(row);
        }
    }

    fn certificate(&mut self, spare: &SpareAnswer) {
        let Some(certificate) = &spare.certificate else { return };
        let strings = certificate.wiring.strings.iter().map(|s| self.names.string_in_file(s));
        let row = Row {
            wiring: cell(&strings.collect::<Vec<_>>().join("; ")),
            watts: watts(certificate.watts),
            added_watts: watts(certificate.change),
            ..self.about("certificate", spare)
        };
        let row = match &certificate.binding {
            None => row,
            Some(binding) => Row {
                verdict: binding.cause.name(),
                value: figure(binding.value, 3),
                limit: figure(binding.limit, 3),
                unit: binding.unit.symbol(),
                unlocks_watts: watts(binding.unlocks),
                ..row
            },
        };
        self.rows.push(row);
    }

    fn helps(&mut self, spare: &SpareAnswer) {
        for help in &spare.helps {
            let row = Row {
                verdict: help.change,
                text: cell(&help.words),
                unlocks_watts: watts(help.unlocks),
                ..self.about("help", spare)
            };
            self.rows.push(row);
        }
    }

    fn obvious(&mut self, spare: &SpareAnswer) {
        for obvious in &spare.obvious {
            let rules: Vec<&str> = obvious.breaches.iter().map(|c| c.rule.name()).collect();
            let row = Row {
                verdict: obvious.way,
                watts: watts(obvious.watts),
                added_watts: watts(obvious.change),
                idle_reverse_amps: amps(obvious.reverse),
                text: rules.join("; "),
                ..self.about("obvious", spare)
            };
            self.rows.push(row);
        }
    }

    fn certainty(&mut self, spare: &SpareAnswer) {
        let Some(certainty) = &spare.certainty else { return };
        let row = Row {
            verdict: if certainty.flips { "flips" } else { "holds" },
            text: cell(&certainty.words),
            ..self.about("certainty", spare)
        };
        self.rows.push(row);
    }

    fn idle(&mut self, idle: &[IdlePanels]) {
        for panels in idle {
            let row = Row {
                name: cell(self.names.kind(panels.kind)),
                offered: Some(panels.count),
                used: Some(0),
                text: cell(&panels.because),
                would_help: cell(&panels.instead),
                ..self.row("idle")
            };
            self.rows.push(row);
        }
    }

    fn strings(&mut self, wiring_of: &'static str, state: &State) {
        for input in &state.inputs {
            for (i, string) in input.strings.iter().enumerate() {
                let row = Row {
                    wiring_of,
                    controller: cell(self.names.controller(input.at)),
                    input: Some(input.at.input),
                    string: Some(i + 1),
                    wiring: cell(&self.names.string_in_file(&string.wiring)),
                    watts: watts(string.power),
                    volts: volts(input.v),
                    amps: amps(string.current),
                    cold_open_volts: volts(string.cold_v_oc),
                    ..self.row("string")
                };
                self.rows.push(row);
            }
        }
    }

    fn checks(&mut self, wiring_of: &'static str, state: &State) {
        self.check_rows("check", wiring_of, &state.checks);
    }

    fn check_rows(
        &mut self,
        record: &'static str,
        wiring_of: &'static str,
        checks: &[crate::plan::Check],
    ) {
        for check in checks {
            let row = Row {
                wiring_of,
                name: check.rule.name().into(),
                verdict: check.outcome.name(),
                controller: cell(self.names.controller(check.at)),
                input: Some(check.at.input),
                string: check.string.map(|s| s + 1),
                value: check.value.and_then(|x| figure(x, 3)),
                limit: check.limit.and_then(|x| figure(x, 3)),
                unit: check.unit.symbol(),
                text: cell(&check.note),
                ..self.row(record)
            };
            self.rows.push(row);
        }
    }

    fn texts<S: AsRef<str>>(&mut self, record: &'static str, texts: &[S]) {
        for text in texts {
            let row = Row { text: cell(text.as_ref()), ..self.row(record) };
            self.rows.push(row);
        }
    }
}

fn written(rows: &[Row]) -> String {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        writer.serialize(row).expect("a flat row serializes into memory");
    }
    let bytes = writer.into_inner().expect("memory takes every byte");
    String::from_utf8(bytes).expect("text made of text is text")
}

/// Text that no spreadsheet takes for a formula.
fn cell(text: &str) -> String {
    let risky = |c: char| {
        matches!(c, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠')
    };
    if text.starts_with(risky) { format!("'{text}") } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_become_a_formula() {
        assert_eq!(cell("=1+1"), "'=1+1");
        assert_eq!(cell("@sum"), "'@sum");
        assert_eq!(cell("\t=1"), "'\t=1");
        assert_eq!(cell("shed-160"), "shed-160");
    }
}
