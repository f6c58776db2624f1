//! The steps of the work in words.
//!
//! General practice of the trade in our own words (common practice, no source, unless a line names one).

use super::blocks::{Block, StepText};
use super::terminals::{Words, joined, parted};
use crate::model::{InputRef, InputWiring, KindIdx, Output, PanelString};
use crate::plan::{Check, Method, Outcome, Rejoined, StateFound, Step, Tag, Work};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::numbers::{amps, finding, volts};
use crate::report::words::{counted, listed, outcome};
use crate::units::Amps;

const IN_THE_DARK: &str = "In the sun no order of these keeps every limit: do it in the dark, or with every panel covered.";

/// The section's blocks. One paragraph where nothing is to be done.
pub(in crate::report) fn steps(names: Names<'_>, method: &Method) -> Vec<Block> {
    if method.steps.is_empty() {
        return vec![Block::Paragraph("Nothing is to be rewired.".into())];
    }
    let joints = method.rewiring.joints;
    let intro = format!(
        "{} to part and {} to make. Panels are called by the tape on them: {}. One step at a time; do \
         not begin one before what the last one asks is proven.",
        counted(joints.opened, "joint", "joints"),
        joints.made,
        marks(names),
    );
    let said = Said { names, method, words: Words { names, method } };
    vec![
        Block::Paragraph(intro),
        Block::Paragraph(checked(method)),
        Block::Steps(method.steps.iter().map(|step| said.step(step)).collect()),
    ]
}

/// How the names on the tapes are made.
fn marks(names: Names<'_>) -> String {
    let place = "1.2 is the second of string 1 counted from its plus end, 1.2a and 1.2b stand there \
                 side by side in a block";
    if !names.has_several_inputs() {
        return place.to_owned();
    }
    let letters = names
        .0
        .installed
        .iter()
        .map(|i| format!("{} for {}", names.letter(i.at), names.input(i.at)));
    format!(
        "{place}, with a letter before it for the input, {}",
        listed(&letters.collect::<Vec<_>>())
    )
}

/// How many states were judged on the way, and what came of it.
fn checked(method: &Method) -> String {
    let states = || method.steps.iter().flat_map(|s| &s.states);
    let n_states = states().count();
    let breaches = states().flat_map(|s| &s.findings).any(|c| c.outcome == Outcome::Breach);
    let checked = format!(
        "The wiring is judged by the limits of a plan in {} on the way",
        counted(n_states, "state", "states")
    );
    if breaches {
        format!("{checked}; where one breaches a limit, its step says so and what to do instead.")
    } else {
        format!("{checked}: none breaches a limit.")
    }
}

struct Said<'a> {
    names: Names<'a>,
    method: &'a Method,
    words: Words<'a>,
}

impl Said<'_> {
    fn step(&self, step: &Step) -> StepText {
        let at = step.at.map(|at| self.names.input(at)).unwrap_or_default();
        let highest = volts(step.highest);
        let mut text = match &step.work {
            Work::Prepare { spares, marks } => self.prepare(spares, *marks),
            Work::OpenDisconnect => self.open_disconnect(step, &at),
            Work::LiftStrings { order, safe } => self.lift(order, *safe, &at),
            Work::TakeApart { string, openings, leaving } => {
                self.take_apart(step, *string, openings, leaving)
            }
            Work::Join { string, joinings, in_blocks } => {
                self.join(step, *string, joinings, *in_blocks)
            }
            Work::ProveStrings { strings } => self.prove(step, strings),
            Work::ConnectStrings { order, joinings, safe } => {
                self.connect(step, order, joinings, *safe, &at)
            }
            Work::CloseDisconnect { v_oc, most } => {
                self.close(step, &at, &volts(*v_oc), &volts(*most))
            }
            Work::ProveOperation => prove_operation(&at),
            Work::AfterAnHour => after_an_hour(),
            Work::Record { moved } => self.record(moved),
        };
        if text.live.is_empty() {
            text.live = format!("up to {highest}");
        }
        text.found = self.found(&step.states);
        text
    }

    fn prepare(&self, spares: &[KindIdx], marks: bool) -> StepText {
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
            live: String::new(),
            prove: vec!["Every panel of the drawing is found and marked.".into()],
            found: Vec::new(),
        }
    }

    fn open_disconnect(&self, step: &Step, at: &str) -> StepText {
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
                "the array's side of the disconnect, up to {} in any light",
                volts(step.highest)
            ),
            prove,
            found: Vec::new(),
        }
    }

    fn lift(&self, order: &[usize], safe: bool, at: &str) -> StepText {
        let mut acts: Vec<String> = (!safe).then(|| IN_THE_DARK.to_owned()).into_iter().collect();
        acts.push(format!(
            "One after another, in this order: {}. Open the string's fuse holder or isolator; where it has \
             none, part its plus lead at the combiner and cap it.",
            in_order(order)
        ));
        StepText {
            title: format!("Take the strings of {at} off the combiner"),
            acts,
            live: String::new(),
            prove: vec![
                "Before each: zero amps on that string's conductor by the clamp meter.".into(),
            ],
            found: Vec::new(),
        }
    }

    fn take_apart(
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

    fn join(&self, step: &Step, string: usize, joinings: &[Rejoined], in_blocks: Amps) -> StepText {
        let mut acts = Vec::new();
        if let Some(row) = step.at.map(|at| self.words.row(at, string)) {
            acts.push(format!("Set the panels out from plus to minus: {row}."));
        }
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

    fn prove(&self, step: &Step, strings: &[usize]) -> StepText {
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

    fn connect(
        &self,
        step: &Step,
        order: &[usize],
        joinings: &[Rejoined],
        safe: bool,
        at: &str,
    ) -> StepText {
        let mut acts = vec![
            "The array's disconnect is open, every fuse holder is open. Fit the fuses of the shopping list, \
             each in its own string."
                .to_owned(),
        ];
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

    fn close(&self, step: &Step, at: &str, v_oc: &str, most: &str) -> StepText {
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

    fn record(&self, moved: &[(Tag, crate::plan::PanelPlace)]) -> StepText {
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

    /// ` on shed, input 1`, where a site has several inputs.
    fn on(&self, at: Option<InputRef>) -> String {
        match at {
            Some(at) if self.names.has_several_inputs() => format!(" on {}", self.names.input(at)),
            _ => String::new(),
        }
    }

    fn planned(&self, at: Option<InputRef>, string: usize) -> Option<&PanelString> {
        let input: &InputWiring = self.method.rewiring.inputs.iter().find(|i| Some(i.at) == at)?;
        input.array.strings.get(string)
    }

    /// What the states of a step came to: each finding once, the worst first.
    fn found(&self, states: &[StateFound]) -> Vec<String> {
        let mut worst: Vec<(&StateFound, &Check)> = Vec::new();
        for (state, check) in states.iter().flat_map(|s| s.findings.iter().map(move |c| (s, c))) {
            match worst.iter_mut().find(|(_, w)| w.rule == check.rule) {
                Some(known) if known.1.outcome < check.outcome => *known = (state, check),
                Some(_) => {}
                None => worst.push((state, check)),
            }
        }
        worst.sort_by_key(|(_, c)| (std::cmp::Reverse(c.outcome), c.rule.gravity()));
        let said = worst.into_iter().map(|(state, check)| {
            format!(
                "{}: {} with {} joined",
                outcome(check.outcome),
                finding(self.names, check),
                strings(&state.joined)
            )
        });
        said.collect()
    }
}

fn in_block(most: Amps) -> String {
    format!(
        "Panels side by side in a block push up to {} into each other in the sun: part and join them \
         covered or in the dark.",
        amps(most)
    )
}

fn prove_operation(at: &str) -> StepText {
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

fn after_an_hour() -> StepText {
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

fn in_order(order: &[usize]) -> String {
    let numbers: Vec<String> = order.iter().map(|s| (s + 1).to_string()).collect();
    format!("string{GLUE}{}", numbers.join(", then "))
}

fn strings(joined: &[usize]) -> String {
    let numbers: Vec<String> = joined.iter().map(|s| (s + 1).to_string()).collect();
    let word = if numbers.len() == 1 { "string" } else { "strings" };
    format!("{word}{GLUE}{}", listed(&numbers))
}
