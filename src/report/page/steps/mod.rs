//! The steps of the work in words.
//!
//! General practice of the trade in our own words (common practice, no source, unless a line names one).

mod after;
mod apart;
mod hang;
mod together;

use super::blocks::{Block, StepText};
use super::terminals::Words;
use crate::model::{InputRef, InputWiring, PanelString};
use crate::plan::{Check, Method, Outcome, StateFound, Step, Work};
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
            Work::Prepare { spares, marks } => self.prepare(spares, *marks, step.highest),
            Work::OpenDisconnect => self.open_disconnect(step, &at),
            Work::LiftStrings { order, safe } => self.lift(order, *safe, &at),
            Work::TakeApart { string, openings, leaving } => {
                self.take_apart(step, *string, openings, leaving)
            }
            Work::Join { string, joinings, in_blocks, fuses } => {
                self.join(step, *string, joinings, *in_blocks, fuses)
            }
            Work::HangController => self.hang(step, &at),
            Work::ProveStrings { strings } => self.prove(step, strings),
            Work::ConnectStrings { order, joinings, fuses, safe } => {
                self.connect(step, order, joinings, fuses, *safe, &at)
            }
            Work::CloseDisconnect { v_oc, most } => {
                self.close(step, &at, &volts(*v_oc), &volts(*most))
            }
            Work::ProveOperation => after::prove_operation(&at),
            Work::AfterAnHour => after::after_an_hour(),
            Work::Record { moved } => self.record(moved),
        };
        if text.live.is_empty() {
            text.live = format!("up to {highest}");
        }
        text.found = self.found(&step.states);
        text
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

fn strings(joined: &[usize]) -> String {
    let numbers: Vec<String> = joined.iter().map(|s| (s + 1).to_string()).collect();
    let word = if numbers.len() == 1 { "string" } else { "strings" };
    format!("{word}{GLUE}{}", listed(&numbers))
}

fn in_block(most: Amps) -> String {
    format!(
        "Panels side by side in a block push up to {} into each other in the sun: part and join them \
         covered or in the dark.",
        amps(most)
    )
}

fn in_order(order: &[usize]) -> String {
    let numbers: Vec<String> = order.iter().map(|s| (s + 1).to_string()).collect();
    format!("string{GLUE}{}", numbers.join(", then "))
}
