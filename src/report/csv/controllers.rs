//! Spare controllers, and controllers of their own for panels that are left over, as rows.

use super::super::figures::{amps, figure, sought_kwh, volts, watts};
use super::Rows;
use super::row::{Row, cell};
use crate::model::ControllerType;
use crate::plan::{ControllerAnswer, OwnController};

impl Rows<'_> {
    pub(super) fn controller(&mut self, answer: &ControllerAnswer) {
        let name = cell(&answer.sort);
        let row = Row {
            name: name.clone(),
            verdict: answer.verdict.name(),
            added_watts: watts(answer.adds),
            added_kwh: answer.adds_energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
            offered: Some(answer.offered),
            used: Some(answer.used),
            text: cell(&answer.because),
            would_help: cell(&answer.would_help),
            ..self.row("spare_controller")
        };
        self.rows.push(row);
        for help in &answer.helps {
            let row = Row {
                name: name.clone(),
                verdict: help.change,
                text: cell(&help.words),
                unlocks_watts: watts(help.unlocks),
                unlocks_kwh: help.unlocks_energy.and_then(sought_kwh),
                ..self.row("help")
            };
            self.rows.push(row);
        }
    }

    /// A row for each class: the volts and amps that it must bear and give.
    pub(super) fn own_controller(&mut self, own: &OwnController) {
        let panels: Vec<String> =
            own.panels.iter().map(|(k, n)| format!("{n} {}", self.names.label(*k))).collect();
        for class in &own.classes {
            let strings = class.wiring.strings.iter().map(|s| self.names.string_in_file(s));
            let row = Row {
                name: cell(&panels.join("; ")),
                verdict: match class.controller_type {
                    ControllerType::Mppt => "mppt",
                    ControllerType::Pwm => "pwm",
                },
                watts: watts(class.watts),
                kwh: class.energy.and_then(|e| figure(e.kilowatt_hours(), 2)),
                offered: Some(own.panels.iter().map(|(_, n)| n).sum()),
                used: Some(class.wiring.panels().count()),
                wiring: cell(&strings.collect::<Vec<_>>().join("; ")),
                volts: volts(class.max_pv),
                amps: amps(class.charge),
                text: cell(&own.words),
                ..self.row("own_controller")
            };
            self.rows.push(row);
        }
    }
}
