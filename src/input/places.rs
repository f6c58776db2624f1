//! Which controller and input an entry means.

use super::codes::{NO_SUCH_INPUT, UNKNOWN_CONTROLLER};
use super::fields::{Fields, read_name};
use super::findings::{Findings, quoted};
use super::ids::Ids;
use crate::diagnostic::Place;
use crate::model::{Controller, InputRef};

/// The controllers that entries can name.
#[derive(Clone, Copy)]
pub(super) struct Places<'i> {
    pub(super) ids: &'i Ids,
    /// `None` where a controller has a mistake of its own.
    pub(super) controllers: &'i [Option<Controller>],
    /// Those that stand ready, to which nothing leads.
    pub(super) spare: &'i Ids,
}

impl Places<'_> {
    /// A sound controller.
    pub(super) fn controller(&self, idx: usize) -> Option<&Controller> {
        self.controllers.get(idx)?.as_ref()
    }

    /// The controller that an entry means, and where the entry says so.
    pub(super) fn read_controller(
        &self,
        fields: &Fields,
        findings: &mut Findings,
    ) -> Option<(usize, Place)> {
        let node = &fields.take("controller", findings)?.node;
        let name = read_name(node, "`controller`", findings)?;
        let Some(idx) = self.ids.find(&name.value) else {
            if self.spare.find(&name.value).is_some() {
                let message = format!(
                    "{} is a spare controller, to which nothing leads",
                    quoted(&name.value)
                );
                let help = "move its entry from `spare_controllers` to `controllers` if it is installed, or delete this one";
                findings.error(UNKNOWN_CONTROLLER, name.at, message, help);
                return None;
            }
            self.ids.report_unknown(&name.value, name.at, 1, findings);
            return None;
        };
        self.controller(idx).map(|_| (idx, name.at))
    }

    /// The input that an entry means, and where the entry says so.
    pub(super) fn read(
        &self,
        fields: &Fields,
        findings: &mut Findings,
    ) -> Option<(InputRef, Place)> {
        let input = fields.count("input", findings);
        let (idx, at) = self.read_controller(fields, findings)?;
        let controller = self.controller(idx)?;
        let id = quoted(&controller.id);
        let n_inputs = controller.n_inputs;
        let Some(input) = input else {
            // A faulty number is reported already; a missing one is clear only if there is one input.
            if !fields.has("input") && n_inputs > 1 {
                let help =
                    format!("write which of the {n_inputs} inputs of {id} it is, as in `input: 1`");
                fields.report_missing("input", &help, findings);
                return None;
            }
            let one = InputRef { controller: idx, input: 1 };
            return (!fields.has("input")).then_some((one, at));
        };
        if input.value > n_inputs {
            let are = if n_inputs == 1 { "is 1".to_owned() } else { format!("are {n_inputs}") };
            let message = format!("controller {id} has no input {} (there {are})", input.value);
            let help =
                "inputs count from 1; correct the number here, or `inputs` of the controller";
            findings.error(NO_SUCH_INPUT, input.at, message, help);
            return None;
        }
        Some((InputRef { controller: idx, input: input.value }, input.at))
    }

    /// What messages call an input.
    pub(super) fn name_of(&self, at: InputRef) -> String {
        let id = self
            .controller(at.controller)
            .map_or(String::new(), |c| format!(" of {}", quoted(&c.id)));
        format!("input {}{id}", at.input)
    }
}
