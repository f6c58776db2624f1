//! The answer as a table for spreadsheets: a line for each reading, then one for each guess.

use super::words::Words;
use super::{names, table};
use crate::model::Installation;
use crate::plan::{Checked, Verified};
use crate::report::csv::{self, VerifyRow};
use crate::report::figures::figure;
use crate::report::layout::GLUE;
use crate::report::names::Names;

/// The answer as CSV.
pub(super) fn text(installation: &Installation, checked: &Checked, verified: &Verified) -> String {
    let names = Names(installation);
    let words = Words { names, verified };
    let plain = |text: String| text.replace(GLUE, " ");
    let mut rows = Vec::new();
    for (k, (set, predicted)) in
        verified.sets.iter().zip(&verified.guesses[0].predicted).enumerate()
    {
        for (r, likeliest) in set.readings.iter().zip(predicted) {
            rows.push(VerifyRow {
                record: "reading",
                set: Some(k + 1),
                sun_w_m2: figure(set.measured.irradiance.watts_per_m2(), 1),
                cells_c: figure(set.measured.temp_cell.celsius(), 1),
                controller: names.controller(r.at).to_owned(),
                input: Some(r.at.input),
                string: r.spot.string().map(|s| s + 1),
                reading: names::spot(r.spot),
                unit: names::unit(r.spot),
                value: figure(r.value, 3),
                expected: figure(r.band.expected, 3),
                low: figure(r.band.low, 3),
                high: figure(r.band.high, 3),
                likeliest: figure(*likeliest, 3),
                verdict: names::place(r.place),
                text: set.note.clone().unwrap_or_default(),
                ..VerifyRow::default()
            });
        }
    }
    rows.push(VerifyRow {
        record: "verdict",
        text: plain(table::verdict(words)),
        ..VerifyRow::default()
    });
    for guess in &verified.guesses {
        let alike = guess.alike.iter().map(|f| words.faults(f)).collect::<Vec<_>>().join("; ");
        rows.push(VerifyRow {
            record: "guess",
            likely_percent: figure(100.0 * guess.weight, 1),
            text: plain(words.faults(&guess.faults)),
            cannot_tell_from: plain(alike),
            ..VerifyRow::default()
        });
    }
    let text = |record, text: String| VerifyRow { record, text, ..VerifyRow::default() };
    rows.extend(table::next_said(words).map(|said| text("next", plain(said))));
    rows.extend(table::dangers(words).iter().map(|d| text("danger", (*d).into())));
    rows.extend(table::assumed(checked, verified).into_iter().map(|t| text("assumed", t)));
    let cautions = table::cautions(checked, verified);
    rows.extend(cautions.into_iter().map(|c| text("caution", c.to_owned())));
    csv::verified(&checked.site, rows)
}
