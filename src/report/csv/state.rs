//! What an array gives under one wiring: its strings and its limits.

use super::super::figures::{amps, figure, volts, watts};
use super::Rows;
use super::row::{Row, cell};
use crate::plan::{Check, State};

impl Rows<'_> {
    /// What a whole site gives under one wiring.
    pub(super) fn state(
        &self,
        record: &'static str,
        wiring_of: &'static str,
        state: &State,
    ) -> Row {
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
    pub(super) fn whole_wiring(&self, state: &State) -> String {
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

    pub(super) fn strings(&mut self, wiring_of: &'static str, state: &State) {
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

    pub(super) fn checks(&mut self, wiring_of: &'static str, state: &State) {
        self.check_rows("check", wiring_of, &state.checks);
    }

    pub(super) fn check_rows(
        &mut self,
        record: &'static str,
        wiring_of: &'static str,
        checks: &[Check],
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
}
