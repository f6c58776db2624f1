//! Building the planned strings, proving each, joining them.

use super::super::blocks::StepText;
use super::super::terminals::joined;
use super::{IN_THE_DARK, Said, in_block, in_order};
use crate::model::Output;
use crate::plan::{FuseNeed, FusePlace, PanelPlace, Rejoined, Step};
use crate::report::layout::GLUE;
use crate::report::numbers::{amps, plain, volts};
use crate::units::Amps;

impl Said<'_> {
    pub(super) fn join(
        &self,
        step: &Step,
        string: usize,
        joinings: &[Rejoined],
        in_blocks: Amps,
        fuses: &[FuseNeed],
    ) -> StepText {
        let mut acts = Vec::new();
        if let Some(row) = step.at.map(|at| self.words.row(at, string)) {
            acts.push(format!("Set the panels out from plus to minus: {row}."));
        }
        acts.extend(fuses.iter().map(|fuse| self.fuse(fuse)));
        acts.extend(joinings.iter().flat_map(|j| joined(self.words, j)));
        let mut prove = Vec::new();
        let has_block = self
            .planned(step.at, string)
            .is_some_and(|s| s.elements().iter().any(crate::model::Element::is_block));
        if has_block {
            prove.push(
                "Before panels are put side by side: polarity and open voltage of each, measured."
                    .to_owned(),
            );
        }
        if in_blocks > Amps(0.0) {
            prove.push(in_block(in_blocks));
        }
        prove.push("Both ends of the string are capped: it is joined to nothing yet.".into());
        StepText {
            title: format!("Build the planned string{GLUE}{}{}", string + 1, self.on(step.at)),
            acts,
            live: format!("up to {} between the ends of the string", volts(step.highest)),
            prove,
            found: Vec::new(),
        }
    }

    pub(super) fn prove(&self, step: &Step, strings: &[usize]) -> StepText {
        let one = strings.len() == 1;
        StepText {
            title: format!("Prove {} alone{}", if one { "the string" } else { "each string" }, self.on(step.at)),
            acts: vec![
                "Measure polarity and open voltage between its ends and write both on the test sheet.".into(),
                "Measure short-circuit current only through a DC-rated switch and with a clamp meter, or a \
                 meter whose current range and fuse lie above the figure on the test sheet."
                    .into(),
            ],
            live: String::new(),
            prove: vec![
                "Polarity is right and the voltage lies in its band. One that is low by about a panel, or \
                 reversed, goes no further: find the joint first."
                    .into(),
            ],
            found: Vec::new(),
        }
    }

    pub(super) fn connect(
        &self,
        step: &Step,
        order: &[usize],
        joinings: &[Rejoined],
        fuses: &[FuseNeed],
        safe: bool,
        at: &str,
    ) -> StepText {
        let mut acts =
            vec!["The array's disconnect is open, and every fuse holder is open.".to_owned()];
        if fuses.is_empty() {
            acts.push("No string needs a fuse by the rules that are checked here.".into());
        }
        acts.extend(fuses.iter().map(|fuse| self.fuse(fuse)));
        acts.extend(joinings.iter().flat_map(|j| joined(self.words, j)));
        if !safe {
            acts.push(IN_THE_DARK.to_owned());
        }
        if order.len() > 1 {
            acts.push(format!(
                "Close the strings one after another, in this order: {}.",
                in_order(order)
            ));
        }
        let mut prove = vec![
            "Before each: its polarity is that of the combiner's bars, measured there.".to_owned(),
        ];
        if step.circulating > Amps(0.0) && order.len() > 1 {
            prove.push(format!(
                "These strings are unequal: up to {} flow between them at once. Close them through their \
                 holders in weak light, never by mating a connector in the sun.",
                amps(step.circulating)
            ));
        }
        StepText {
            title: format!(
                "Join the {} to the combiner of {at}",
                if order.len() == 1 { "string" } else { "strings" }
            ),
            acts,
            live: format!("the combiner's bars, up to {}", volts(step.highest)),
            prove,
            found: Vec::new(),
        }
    }

    pub(super) fn close(&self, step: &Step, at: &str, v_oc: &str, most: &str) -> StepText {
        let battery = match step.at.map(|at| self.names.0.controller(at).output) {
            Some(Output::Converter { .. }) => "Switch the converter on as its manual says.",
            _ => {
                "See that the battery is connected and the controller awake: battery before array when \
                  connecting."
            }
        };
        StepText {
            title: format!("Give the array to {at}"),
            acts: vec![
                format!(
                    "Measure on the array's side of the open disconnect: about {v_oc} with cells at \
                     25{GLUE}°C, more when colder, never {most} or above."
                ),
                battery.into(),
                "Close the array's disconnect.".into(),
            ],
            live: format!("up to {}", volts(step.highest)),
            prove: vec![
                "Before it is closed: polarity is right, and the voltage lies in the band of the test sheet."
                    .into(),
            ],
            found: Vec::new(),
        }
    }

    /// Where a fuse goes, and its size.
    fn fuse(&self, fuse: &FuseNeed) -> String {
        let size = match (fuse.size, fuse.most) {
            (Some(size), _) => format!("a fuse of {}{GLUE}A", plain(size.amps(), 0)),
            (None, Some(_)) => "a fuse, of which no standard size fits (see Limits),".to_owned(),
            (None, None) => "a fuse, once the label's maximum is known,".to_owned(),
        };
        match fuse.place {
            FusePlace::String => {
                format!("Fit {size} in the holder of string{GLUE}{}.", fuse.string + 1)
            }
            FusePlace::Member { element, member } => {
                let place = PanelPlace { at: fuse.at, string: fuse.string, element, member };
                format!("Fit {size} in the lead of {}, rated for DC.", self.words.at(place))
            }
        }
    }
}
