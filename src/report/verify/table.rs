//! The answer as a page: verdict, readings and bands, what is likely wrong, what to measure next.

use itertools::Itertools;

use super::words::{Words, what};
use super::{act, names};
use crate::model::{Installation, Warmth};
use crate::plan::{Checked, Fault, Guess, Judged, Place, SetJudged, Verified};
use crate::report::layout::{self, Column, GLUE, lined_up, paragraph, titled};
use crate::report::names::Names;
use crate::report::numbers::{fixed, plain};
use crate::report::words::counted;

/// A guess that is off by more than these standard deviations explains nothing well.
const POOR: f64 = 2.0;

/// The answer as a page of at most 100 columns, without colour.
pub(super) fn page(installation: &Installation, checked: &Checked, verified: &Verified) -> String {
    let words = Words { names: Names(installation), verified };
    let mut sections = vec![head(words, checked)];
    sections.extend(verified.sets.iter().map(|set| readings(words, set)));
    sections.push(likely(words));
    sections.push(next(words));
    sections.push(titled("Limits", &limits(checked)));
    sections.push(titled("Assumed", &assumed(checked, verified)));
    sections.push(take_care(&cautions(checked, verified)));
    layout::page(&sections)
}

fn head(words: Words<'_>, checked: &Checked) -> String {
    let mut out = paragraph(&format!("{}: the wiring against what was read", checked.site), 0, 2);
    out.push_str(&paragraph(&verdict(words), 0, 2));
    for danger in dangers(words) {
        out.push_str(&paragraph(danger, 0, 2));
    }
    out
}

/// The sentence on which a person acts.
pub(super) fn verdict(words: Words<'_>) -> String {
    let verified = words.verified;
    let n = verified.readings().count();
    let best = &verified.guesses[0];
    let faults = words.faults(&best.faults);
    let all_in = || {
        let one = "The one reading lies inside its band";
        if n == 1 { one.to_owned() } else { format!("All {n} readings lie inside their bands") }
    };
    let outside = |n_out: usize| {
        let are = if n_out == 1 { "is outside its band" } else { "are outside their bands" };
        if n == 1 {
            format!("The one reading {are}")
        } else {
            format!("{n_out} of {} {are}", counted(n, "reading", "readings"))
        }
    };
    let sure = if best.weight > 0.9 { "Almost certainly" } else { "Likeliest" };
    match (verified.n_outside(), best.faults.is_empty()) {
        (0, true) => format!("{}, and nothing points to a fault.", all_in()),
        (0, false) => format!("{}, but together they point to this: {faults}.", all_in()),
        (n_out, true) => format!(
            "{}, yet no fault explains them better than chance: read those again.",
            outside(n_out)
        ),
        (n_out, false) => format!("{}. {sure}: {faults}.", outside(n_out)),
    }
}

/// What is dangerous about the first guess, each once.
pub(super) fn dangers(words: Words<'_>) -> Vec<&'static str> {
    let most = words.names.0.installed.iter().map(|w| w.array.strings.len()).max().unwrap_or(0);
    let faults = words.verified.guesses[0].faults.iter();
    faults.filter_map(|f| act::danger(f, most)).unique().collect()
}

/// A share in percent; certain it never is.
fn percent(weight: f64) -> String {
    if weight > 0.99 {
        format!("over{GLUE}99{GLUE}%")
    } else {
        format!("{}{GLUE}%", fixed(100.0 * weight, 0))
    }
}

fn readings(words: Words<'_>, set: &SetJudged) -> String {
    let rows: Vec<Vec<String>> =
        std::iter::once(["", "", "read", "expected", "passes", ""].map(str::to_owned).to_vec())
            .chain(set.readings.iter().map(|r| row(words, r)))
            .collect();
    let columns = [
        Column::Left(28),
        Column::Left(32),
        Column::Right(9),
        Column::Right(9),
        Column::Right(17),
        Column::Left(8),
    ];
    format!("{}\n{}", conditions(set), lined_up(2, &columns, &rows))
}

fn row(words: Words<'_>, r: &Judged) -> Vec<String> {
    let several = words.names.has_several_inputs();
    let input = if several { words.names.input(r.at) } else { String::new() };
    let who = match (r.spot.string(), several) {
        (Some(s), false) => format!("string{GLUE}{}", s + 1),
        (Some(s), true) => format!("{input}, string{GLUE}{}", s + 1),
        (None, _) if several => input,
        (None, _) => "array".to_owned(),
    };
    let unit = names::unit(r.spot);
    let decimals = if r.spot.is_volts() { 1 } else { 2 };
    let figure = |x: f64| format!("{}{GLUE}{unit}", fixed(x, decimals));
    let verdict = match r.place {
        Place::Inside => "inside",
        Place::Below => "BELOW",
        Place::Above => "ABOVE",
    };
    vec![
        who,
        what(r.spot).to_owned(),
        figure(r.value),
        figure(r.band.expected),
        format!("{} to {}", fixed(r.band.low, decimals), figure(r.band.high)),
        verdict.to_owned(),
    ]
}

/// Under which sun a set was read.
fn conditions(set: &SetJudged) -> String {
    let cells = fixed(set.measured.temp_cell.celsius(), 1);
    let by = match set.warmth {
        Warmth::Cells(_) => String::new(),
        Warmth::Back(back) => format!(" (back {}{GLUE}°C)", plain(back.celsius(), 1)),
        Warmth::Air(air) => {
            format!(" (worked out from air at {}{GLUE}°C: rough)", plain(air.celsius(), 1))
        }
    };
    let note = set.note.as_ref().map_or_else(String::new, |n| format!("{n}: "));
    format!(
        "{note}at {}{GLUE}W/m² and cells at {cells}{GLUE}°C{by}",
        plain(set.measured.irradiance.watts_per_m2(), 0)
    )
}

fn likely(words: Words<'_>) -> String {
    let verified = words.verified;
    let best = &verified.guesses[0];
    if verified.n_outside() == 0 && best.faults.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "What is likely ({} ways to stand, each evaluated on its curves)\n",
        verified.n_evaluated
    );
    for (k, guess) in verified.guesses.iter().enumerate() {
        let text =
            format!("{}. {}: {}.", k + 1, percent(guess.weight), words.faults(&guess.faults));
        out.push_str(&paragraph(&text, 2, 5));
        if k == 0 {
            out.push_str(&paragraph_if(&explains(words, guess)));
        }
        if !guess.alike.is_empty() {
            let others = guess.alike.iter().map(|f| words.faults(f)).collect::<Vec<_>>();
            let text = format!("These readings cannot tell it from: {}.", others.join("; "));
            out.push_str(&paragraph(&text, 5, 7));
        }
        if let Some(next) = &guess.tell_alike {
            let first = that(words, &guess.faults);
            let second = that(words, &guess.alike[0]);
            let text = format!("To tell: {}.", words.next(next, &first, &second));
            out.push_str(&paragraph(&text, 5, 7));
        }
    }
    if best.misfit > POOR {
        let text = format!(
            "Even the best is off by {} standard deviations: several things may be wrong at once, or the sun moved between readings. Mend what is found, then read again.",
            fixed(best.misfit, 1)
        );
        out.push_str(&paragraph(&text, 2, 5));
    }
    out
}

/// An explanation behind "means".
pub(super) fn that(words: Words<'_>, faults: &[Fault]) -> String {
    format!("that {}", words.faults(faults))
}

fn paragraph_if(text: &str) -> String {
    if text.is_empty() { String::new() } else { paragraph(text, 5, 7) }
}

/// What the best guess makes of the readings that are outside their band.
fn explains(words: Words<'_>, guess: &Guess) -> String {
    if guess.faults.is_empty() {
        return String::new();
    }
    let pairs = words.verified.readings().zip(guess.predicted.iter().flatten());
    let said: Vec<String> = pairs
        .filter(|(r, _)| r.place != Place::Inside)
        .take(4)
        .map(|(r, x)| {
            let unit = names::unit(r.spot);
            let decimals = if r.spot.is_volts() { 1 } else { 2 };
            let figure = |x: f64| format!("{}{GLUE}{unit}", fixed(x, decimals));
            format!("{} {} (read {})", words.spot(r.at, r.spot), figure(*x), figure(r.value))
        })
        .collect();
    if said.is_empty() { said.concat() } else { format!("Then: {}.", said.join(", ")) }
}

fn next(words: Words<'_>) -> String {
    match next_said(words) {
        Some(said) => titled("Measure next", &[said]),
        None => String::new(),
    }
}

/// What tells the first guess from the second.
pub(super) fn next_said(words: Words<'_>) -> Option<String> {
    let verified = words.verified;
    if verified.n_outside() == 0 && !verified.suspects() {
        return None;
    }
    let said = words.next(verified.next.as_ref()?, "1", "2");
    Some(format!("To tell 1 from 2: {said}."))
}

fn limits(checked: &Checked) -> Vec<String> {
    let n = checked.state.checks.iter().filter(|c| c.outcome == crate::plan::Outcome::Breach);
    match n.count() {
        0 => vec![
            "The wiring in the site file breaches none; what really stands was not judged.".into(),
        ],
        n => vec![format!(
            "The wiring in the site file BREACHES {}: `sungraft check` without readings lists them.",
            counted(n, "limit", "limits")
        )],
    }
}

/// What the figures rest on.
pub(super) fn assumed(checked: &Checked, verified: &Verified) -> Vec<String> {
    let mut texts = vec![
        "The wiring that stands under `installed` in the site file, written there as it should be now.".to_owned(),
        "Meters, light and temperature are as accurate as `meters` in the file of readings says; each share is against all ways that were evaluated, weighed by how common they are (ours, no source).".to_owned(),
    ];
    if verified.sets.iter().any(|s| matches!(s.warmth, Warmth::Air(_))) {
        texts.push(
            "Cells by the air and the panels' NOCT: wind and mounting move them by 5 °C and more."
                .to_owned(),
        );
    }
    texts.extend(checked.assumed.iter().cloned());
    texts
}

/// The cautions, those of measuring and mending first.
pub(super) fn cautions(checked: &Checked, verified: &Verified) -> Vec<&'static str> {
    const GUESS: &str = "A likely cause is no finding: isolate, prove zero amps, and see with your own eyes and meter before \
         you change anything.";
    const SHORT: &str = "A short-circuit test needs a DC switch and a meter for the current; never make it by mating or \
         parting connectors.";
    let wrong = verified.guesses.iter().any(|g| g.faults.iter().any(|f| !is_harmless(f)));
    let first = wrong.then_some(GUESS);
    first.into_iter().chain([SHORT]).chain(checked.cautions.iter().copied()).collect()
}

fn is_harmless(fault: &Fault) -> bool {
    matches!(fault, Fault::HeldBack(_) | Fault::Light(_) | Fault::Warmer(_) | Fault::Misread(_))
}

fn take_care(texts: &[&'static str]) -> String {
    let lines = texts.iter().map(|text| paragraph(text, 2, 4));
    std::iter::once("Take care\n".to_owned()).chain(lines).collect()
}
