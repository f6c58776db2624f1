//! Exercises and their key.

use super::{cw, v, w};
use crate::report::numbers::plain;
use crate::units::{Volts, Watts};

pub(in crate::report::lesson) const EXERCISES: &str = "Exercises in wiring solar panels";
pub(in crate::report::lesson) const ANSWERS: &str = "Exercises in wiring solar panels: the answers";

pub(in crate::report::lesson) fn sheet_line(seed: u64, count: usize) -> String {
    format!(
        "Sheet {seed}, {count} to solve. Work with the rule of thumb: labels and a pencil are enough."
    )
}

pub(in crate::report::lesson) fn problem(number: usize, level: usize, of: usize) -> String {
    format!("Problem {number} (level {level} of {of})")
}

pub(in crate::report::lesson) fn answer(number: usize) -> String {
    format!("Answer to problem {number}")
}

pub(in crate::report::lesson) fn scene(site: &str, panels: &str, kinds: usize) -> String {
    let labels = if kinds == 1 { "The label says:" } else { "The labels say:" };
    format!("{site}. On the ground lie {panels}. {labels}")
}

pub(in crate::report::lesson) const LABELS_CAPTION: &str = "Labels";
pub(in crate::report::lesson) const BLANKS_CAPTION: &str = "To fill in";
pub(in crate::report::lesson) const MINE_CAPTION: &str = "Figures of my wiring";
pub(in crate::report::lesson) const BLANK_COLDEST: &str = "its longest string, open, coldest";
pub(in crate::report::lesson) const LABEL_HEADS: [&str; 7] =
    ["panel", "how many", "Pmax", "Vmp", "Imp", "Voc", "Isc"];

pub(in crate::report::lesson) fn controller(
    lo: Volts,
    hi: Volts,
    most: Volts,
    ports: usize,
    blocks: &str,
) -> String {
    let places = if ports == 1 { "one place" } else { "places" };
    format!(
        "The controller works from {} to {} and must never see more than {}. Its combiner has {ports} \
         {places} for strings.{blocks}",
        v(lo),
        v(hi),
        v(most)
    )
}

pub(in crate::report::lesson) const WITH_BLOCKS: &str = " Two panels may stand side by side inside a string, as a block, if their Voc \
    differ by at most 15 %.";

pub(in crate::report::lesson) fn cold(rise: f64) -> String {
    format!(
        "On the coldest morning open voltage is {} times what the label says: a string's sum of Voc times \
         {} must not pass the controller's maximum, or the controller is destroyed.",
        plain(rise, 2),
        plain(rise, 2)
    )
}

pub(in crate::report::lesson) const ASK_SUMS: &str =
    "A. Work out this wiring. Write the figures beside each string and on the bus.";
pub(in crate::report::lesson) const ASK_BEST: &str = "B. Find the wiring that gives the most watts. Any panel may stay out. Draw it, with its \
    volts and amps, and check its cold voltage.";
pub(in crate::report::lesson) const BEST_HERE: &str = "My wiring:";
pub(in crate::report::lesson) const ANSWER_SUMS: &str = "A. The wiring that was given";
pub(in crate::report::lesson) const ANSWER_BEST: &str = "B. The best wiring";

pub(in crate::report::lesson) const BLANK_HEADS: [&str; 4] = ["where", "volts", "amps", "watts"];
pub(in crate::report::lesson) const BUS: &str = "the bus";
pub(in crate::report::lesson) const BLANK_LABEL: &str = "label watts of all panels wired";
pub(in crate::report::lesson) const BLANK_USED: &str = "part of the label watts that is used, %";
pub(in crate::report::lesson) const BLANK_LOST: &str = "watts lost";
pub(in crate::report::lesson) const BLANK_HOLDS: &str =
    "which panel or string holds the others down";

pub(in crate::report::lesson) fn best_of(n: usize, wiring: &str, rule: Watts) -> String {
    let all = if n == 1 {
        "It is the only wiring there is.".to_owned()
    } else {
        format!("All {n} wirings of these panels were tried.")
    };
    format!("{wiring}: {}. {all}", w(rule))
}

pub(in crate::report::lesson) fn too_high(n: usize) -> String {
    match n {
        1 => "One of them would pass the controller's maximum on the coldest morning.".to_owned(),
        n => format!("{n} of them would pass the controller's maximum on the coldest morning."),
    }
}

pub(in crate::report::lesson) fn second(
    wiring: &str,
    rule: Watts,
    curve: Watts,
    best_curve: Watts,
) -> String {
    if rule.watts() <= 0.0 {
        return "By the rule of thumb no other wiring gives anything: the controller cannot hold it."
            .to_owned();
    }
    format!(
        "Next by the rule of thumb comes {wiring} with {}. The curves agree on which is better: {} \
         against {}.",
        w(rule),
        cw(best_curve),
        cw(curve)
    )
}

pub(in crate::report::lesson) fn cold_sum(open: Volts, rise: f64, most: Volts) -> String {
    format!(
        "Its longest string stands at {} open; × {} = {} on the coldest morning, and {} are allowed.",
        v(open),
        plain(rise, 2),
        v(open * rise),
        v(most)
    )
}

pub(in crate::report::lesson) const EXERCISE_CAUTION: &str = "These exercises look at watts, the window and cold voltage alone. Real \
    wiring must keep every limit, fuses and reverse current among them: `sungraft check` says which, and local \
    code and a licensed person have the last word. Panels are live in any light; never part a connector under \
    load.";
