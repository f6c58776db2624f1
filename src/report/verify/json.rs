//! The answer as JSON: a contract, versioned; see `docs/verify.schema.json`.

use serde::Serialize;

use super::words::Words;
use super::{names, table};
use crate::model::Installation;
use crate::plan::{Checked, Fault, Guess, Judged, Outcome, SetJudged, Verified};
use crate::report::figures::{Figure, celsius, figure};
use crate::report::layout::GLUE;
use crate::report::names::Names;

#[derive(Serialize)]
struct VerifyJson<'a> {
    format: &'static str,
    site: &'a str,
    outside: usize,
    suspected: bool,
    verdict: String,
    dangers: Vec<&'static str>,
    sets: Vec<SetJson<'a>>,
    guesses: Vec<GuessJson>,
    next: Option<String>,
    evaluated: usize,
    limits: &'static str,
    assumed: Vec<String>,
    cautions: Vec<&'static str>,
}

#[derive(Serialize)]
struct SetJson<'a> {
    note: Option<&'a str>,
    sun_w_m2: Figure,
    cells_c: Figure,
    readings: Vec<ReadingJson<'a>>,
}

#[derive(Serialize)]
struct ReadingJson<'a> {
    controller: &'a str,
    input: usize,
    string: Option<usize>,
    reading: &'static str,
    unit: &'static str,
    value: Figure,
    expected: Figure,
    low: Figure,
    high: Figure,
    verdict: &'static str,
    /// What the first guess makes of it.
    likeliest: Figure,
}

#[derive(Serialize)]
struct GuessJson {
    likely_percent: Figure,
    misfit: Figure,
    faults: Vec<FaultJson>,
    cannot_tell_from: Vec<Vec<FaultJson>>,
    would_tell: Option<String>,
}

#[derive(Serialize)]
struct FaultJson {
    fault: &'static str,
    text: String,
}

/// The answer as JSON text.
pub(super) fn text(installation: &Installation, checked: &Checked, verified: &Verified) -> String {
    let names = Names(installation);
    let words = Words { names, verified };
    let outcomes = checked.state.checks.iter().map(|c| c.outcome);
    let json = VerifyJson {
        format: "sungraft/verify@1",
        site: &checked.site,
        outside: verified.n_outside(),
        suspected: verified.suspects(),
        verdict: plain(table::verdict(words)),
        dangers: table::dangers(words),
        sets: verified
            .sets
            .iter()
            .zip(&verified.guesses[0].predicted)
            .map(|(set, predicted)| set_json(names, set, predicted))
            .collect(),
        guesses: verified.guesses.iter().map(|g| guess(words, g)).collect(),
        next: table::next_said(words).map(plain),
        evaluated: verified.n_evaluated,
        limits: outcomes.max().unwrap_or(Outcome::Pass).name(),
        assumed: table::assumed(checked, verified),
        cautions: table::cautions(checked, verified),
    };
    serde_json::to_string_pretty(&json).expect("plain data with string keys serializes") + "\n"
}

/// With ordinary spaces.
fn plain(text: String) -> String {
    text.replace(GLUE, " ")
}

fn set_json<'a>(names: Names<'a>, set: &'a SetJudged, predicted: &[f64]) -> SetJson<'a> {
    let readings = set.readings.iter().zip(predicted);
    SetJson {
        note: set.note.as_deref(),
        sun_w_m2: figure(set.measured.irradiance.watts_per_m2(), 1),
        cells_c: celsius(set.measured.temp_cell),
        readings: readings.map(|(r, x)| reading(names, r, *x)).collect(),
    }
}

fn reading<'a>(names_: Names<'a>, r: &Judged, likeliest: f64) -> ReadingJson<'a> {
    ReadingJson {
        controller: names_.controller(r.at),
        input: r.at.input,
        string: r.spot.string().map(|s| s + 1),
        reading: names::spot(r.spot),
        unit: names::unit(r.spot),
        value: figure(r.value, 3),
        expected: figure(r.band.expected, 3),
        low: figure(r.band.low, 3),
        high: figure(r.band.high, 3),
        verdict: names::place(r.place),
        likeliest: figure(likeliest, 3),
    }
}

fn guess(words: Words<'_>, g: &Guess) -> GuessJson {
    let faults = |faults: &[Fault]| -> Vec<FaultJson> {
        let one = |f| FaultJson { fault: names::fault(f), text: plain(words.fault(f)) };
        faults.iter().map(one).collect()
    };
    let would_tell = g.tell_alike.as_ref().map(|next| {
        plain(words.next(next, &table::that(words, &g.faults), &table::that(words, &g.alike[0])))
    });
    GuessJson {
        likely_percent: figure(100.0 * g.weight, 1),
        misfit: figure(g.misfit, 2),
        faults: faults(&g.faults),
        cannot_tell_from: g.alike.iter().map(|f| faults(f)).collect(),
        would_tell,
    }
}
