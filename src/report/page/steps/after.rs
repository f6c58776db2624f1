//! Seeing it work, and keeping the record.

use super::super::blocks::StepText;
use super::Said;
use crate::plan::{PanelPlace, Tag};

impl Said<'_> {
    pub(super) fn record(&self, moved: &[(Tag, PanelPlace)]) -> StepText {
        let mut acts: Vec<String> = Vec::new();
        if !moved.is_empty() {
            let planned = &self.method.rewiring.inputs;
            let renamed = moved.iter().map(|(tag, place)| {
                format!("{} becomes {}", self.names.tag(*tag), self.names.place(planned, *place))
            });
            acts.push(format!(
                "Put new tape on the panels: {}.",
                renamed.collect::<Vec<_>>().join(", ")
            ));
        }
        acts.push(
            "Renew the warning labels, and keep this report with the test sheet at the controller."
                .into(),
        );
        StepText {
            title: "Mark and keep the record".into(),
            acts,
            live: String::new(),
            prove: Vec::new(),
            found: Vec::new(),
        }
    }
}

pub(super) fn prove_operation(at: &str) -> StepText {
    StepText {
        title: format!("See {at} work"),
        acts: vec![
            "In steady sun read volts and amps at the controller, and the amps of every string with the \
             clamp meter; write them on the test sheet."
                .into(),
        ],
        live: String::new(),
        prove: vec![
            "No string takes current, and none gives much less than the test sheet says for the sun there is."
                .into(),
        ],
        found: Vec::new(),
    }
}

pub(super) fn after_an_hour() -> StepText {
    StepText {
        title: "Look again after an hour of sun".into(),
        acts: vec![
            "Feel every new joint and fuse holder from outside, or use an infrared thermometer.".into(),
        ],
        live: String::new(),
        prove: vec![
            "None is warmer than its neighbours. One that is: isolate the array again, and remake the joint."
                .into(),
        ],
        found: Vec::new(),
    }
}
