//! What is said of one spare kind, and of panels that idle.

use super::super::figures::{amps, figure, sought_kwh, watts};
use super::Rows;
use super::row::{Row, cell};
use crate::plan::{IdlePanels, SpareAnswer};

impl Rows<'_> {
    pub(super) fn spare(&mut self, spare: &SpareAnswer) {
        let row = Row {
            name: cell(self.names.label(spare.kind)),
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
    pub(super) fn about(&self, record: &'static str, spare: &SpareAnswer) -> Row {
        Row { name: cell(self.names.label(spare.kind)), ..self.row(record) }
    }

    pub(super) fn worth(&mut self, spare: &SpareAnswer) {
        for point in &spare.worth {
            let row = Row {
                offered: Some(point.panels),
                watts: watts(point.watts),
                added_watts: point.step.and_then(watts),
                bound_watts: watts(point.bound),
                kwh: point.energy.and_then(|e| sought_kwh(e.brings)),
                added_kwh: point.energy.and_then(|e| e.step).and_then(sought_kwh),
                ..self.about("worth", spare)
            };
            self.rows.push(row);
        }
    }

    pub(super) fn certificate(&mut self, spare: &SpareAnswer) {
        let Some(certificate) = &spare.certificate else { return };
        let strings = certificate.wiring.strings.iter().map(|s| self.names.string_in_file(s));
        let row = Row {
            wiring: cell(&strings.collect::<Vec<_>>().join("; ")),
            watts: watts(certificate.watts),
            added_watts: watts(certificate.change),
            added_kwh: certificate.change_energy.and_then(sought_kwh),
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
                unlocks_kwh: binding.unlocks_energy.and_then(sought_kwh),
                ..row
            },
        };
        self.rows.push(row);
    }

    pub(super) fn helps(&mut self, spare: &SpareAnswer) {
        for help in &spare.helps {
            let row = Row {
                verdict: help.change,
                text: cell(&help.words),
                unlocks_watts: watts(help.unlocks),
                unlocks_kwh: help.unlocks_energy.and_then(sought_kwh),
                ..self.about("help", spare)
            };
            self.rows.push(row);
        }
    }

    pub(super) fn obvious(&mut self, spare: &SpareAnswer) {
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

    pub(super) fn certainty(&mut self, spare: &SpareAnswer) {
        let Some(certainty) = &spare.certainty else { return };
        let row = Row {
            verdict: if certainty.flips { "flips" } else { "holds" },
            text: cell(&certainty.words),
            ..self.about("certainty", spare)
        };
        self.rows.push(row);
    }

    pub(super) fn idle(&mut self, idle: &[IdlePanels]) {
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
}
