//! Getting ready, isolating, parting.

use super::super::blocks::StepText;
use super::super::terminals::parted;
use super::{IN_THE_DARK, Said, in_block, in_order};
use crate::model::{InputRef, KindIdx, Output};
use crate::plan::{Rejoined, Step, Tag};
use crate::report::layout::GLUE;
use crate::report::numbers::{amps, volts};
use crate::report::words::listed;
use crate::units::{Amps, Volts};

impl Said<'_> {
    pub(super) fn prepare(&self, spares: &[KindIdx], marks: bool, highest: Volts) -> StepText {
        let mut acts = vec![
            "Read the manuals of panels, controller and battery: where they differ from this sheet, they \
             come first."
                .to_owned(),
            "Choose a dry, calm day and the hours of weak light; do not work alone. Have a DC clamp meter, \
             a voltmeter and tools fit for the voltages below, caps or tape for open leads, and covers for \
             the panels."
                .to_owned(),
            "Photograph the wiring as it stands.".to_owned(),
        ];
        if marks {
            acts.push(
                "Number the strings at the combiner, mark every panel that is wired today with its string \
                 and place, and hold both against the drawing of today: if what stands on the roof is not \
                 what is drawn, stop and mend the site file first."
                    .to_owned(),
            );
        }
        if !spares.is_empty() {
            let named = spares.iter().enumerate().map(|(n, kind)| {
                format!("{}: {}", self.names.tag(Tag::Spare(n)), self.names.kind(*kind))
            });
            acts.push(format!("Mark the spares. {}.", listed(&named.collect::<Vec<_>>())));
            acts.push(
                "Look each spare over: cracked, burnt or wet ones stay out. Measure its polarity and open \
                 voltage by itself."
                    .to_owned(),
            );
        }
        StepText {
            title: "Get ready".into(),
            acts,
            live: format!(
                "every panel in any light; between the ends of a string up to {}",
                volts(highest)
            ),
            prove: vec!["Every panel of the drawing is found and marked.".into()],
            found: Vec::new(),
        }
    }

    pub(super) fn open_disconnect(&self, step: &Step, at: &str) -> StepText {
        let (off, stays) = match step.at.map(|at| self.names.0.controller(at).output) {
            Some(Output::Converter { .. }) => (
                "Switch the converter off as its manual says, and wait as long as it says.",
                "Lock or tag the switch.",
            ),
            _ => (
                "Stop the charging as the controller's manual says.",
                "Lock or tag the switch. The battery stays connected: array before battery when parting.",
            ),
        };
        let mut prove = vec![
            "The controller shows no current from the array, and a DC clamp meter on the array's conductor \
             reads zero amps."
                .to_owned(),
        ];
        if step.circulating > Amps(0.0) {
            prove.push(format!(
                "Clamp every string's own conductor as well: with the disconnect open up to {} may still \
                 flow from one panel or string into another. Where the meter does not read zero, cover the \
                 panels or wait for the dark before anything is parted.",
                amps(step.circulating)
            ));
        }
        StepText {
            title: format!("Isolate the array on {at}"),
            acts: vec![
                off.into(),
                format!(
                    "Open the array's DC disconnect. {stays} Where there is no disconnect rated for DC, \
                     nothing is parted under load: wait for the dark or cover every panel."
                ),
            ],
            live: format!(
                "the array's side of the disconnect, up to {} in any light{}",
                volts(step.highest),
                self.other_inputs(step)
            ),
            prove,
            found: Vec::new(),
        }
    }

    pub(super) fn lift(&self, order: &[usize], safe: bool, at: &str) -> StepText {
        let mut acts: Vec<String> = (!safe).then(|| IN_THE_DARK.to_owned()).into_iter().collect();
        let which = match order {
            [only] => format!("String{GLUE}{}: open its", only + 1),
            _ => {
                format!("One after another, in this order: {}. Open the string's", in_order(order))
            }
        };
        acts.push(format!(
            "{which} fuse holder or isolator; where it has none, part its plus lead at the combiner and \
             cap it."
        ));
        StepText {
            title: match order {
                [_] => format!("Take the string of {at} off the combiner"),
                _ => format!("Take the strings of {at} off the combiner"),
            },
            acts,
            live: String::new(),
            prove: vec![
                "Before each: zero amps on that string's conductor by the clamp meter.".into(),
            ],
            found: Vec::new(),
        }
    }

    pub(super) fn take_apart(
        &self,
        step: &Step,
        string: usize,
        openings: &[Rejoined],
        leaving: &[(Tag, KindIdx)],
    ) -> StepText {
        let mut acts: Vec<String> = openings.iter().flat_map(|o| parted(self.words, o)).collect();
        for (tag, kind) in leaving {
            acts.push(format!(
                "Take {} ({}) out: the plan does not need it. Cap its leads: it stays live in any light.",
                self.names.tag(*tag),
                self.names.kind(*kind)
            ));
        }
        let mut prove = vec!["Before each joint: zero amps by the clamp meter.".to_owned()];
        if step.circulating > Amps(0.0) {
            prove.push(in_block(step.circulating));
        }
        prove.push("Every open lead is capped, and none can touch another.".into());
        StepText {
            title: format!("Part today's string{GLUE}{}{}", string + 1, self.on(step.at)),
            acts,
            live: format!(
                "up to {} between the ends of the string, less between its parts",
                volts(step.highest)
            ),
            prove,
            found: Vec::new(),
        }
    }

    /// What stays live at a controller of which only one input is isolated.
    fn other_inputs(&self, step: &Step) -> String {
        let wired = |at: InputRef| {
            let inputs = &self.names.0.installed;
            inputs.iter().any(|i| i.at == at && !i.array.strings.is_empty())
        };
        let stays = |at: InputRef| {
            let inputs = 1..=self.names.0.controller(at).n_inputs;
            let others = inputs.map(|input| InputRef { input, ..at }).filter(|o| *o != at);
            let live: Vec<String> =
                others.filter(|o| wired(*o)).map(|o| self.names.input(o)).collect();
            (!live.is_empty()).then(|| format!("; {} stays live", listed(&live)))
        };
        step.at.and_then(stays).unwrap_or_default()
    }
}
