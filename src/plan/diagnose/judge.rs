//! Each reading against the band of the test sheet.

use crate::electrical::{cell_temperature, readings::CELL_ABOVE_BACK};
use crate::model::{ArrayReading, InputRef, Installation, ReadingSet, Spot, Warmth};
use crate::plan::method::sheet_for;
use crate::plan::{Evaluator, InputSheet, Measured, Reading};
use crate::units::Celsius;

/// Readings under one sun, each with its band.
#[derive(Debug, Clone, PartialEq)]
pub struct SetJudged {
    /// The person's own word for it.
    pub note: Option<String>,
    /// For which sun and cells the bands stand.
    pub measured: Measured,
    /// By what the cells' temperature is known.
    pub warmth: Warmth,
    /// In file order.
    pub readings: Vec<Judged>,
}

/// A reading and its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// On which input.
    pub at: InputRef,
    /// Where and what.
    pub spot: Spot,
    /// As read. \[V or A\]
    pub value: f64,
    /// What passes.
    pub band: Reading,
    /// Where the reading lies.
    pub place: Place,
}

/// Where a reading lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Inside its band.
    Inside,
    /// Below it.
    Below,
    /// Above it.
    Above,
}

/// Cells by what is known of their warmth. \[°C\]
///
/// The back is cooler by King's rule (SAND2004-3535); the air by the NOCT of the panels that are wired,
/// their mean.
pub(super) fn cells(installation: &Installation, set: &ReadingSet) -> Celsius {
    let sun = set.irradiance.watts_per_m2() / 1000.0;
    match set.warmth {
        Warmth::Cells(cells) => cells,
        Warmth::Back(back) => back + Celsius(CELL_ABOVE_BACK * sun),
        Warmth::Air(air) => {
            let panels = installation.installed.iter().flat_map(|w| w.array.panels());
            let warm: Vec<f64> = panels
                .map(|k| cell_temperature(installation.kind(k), air, set.irradiance).celsius())
                .collect();
            // Something is wired where something was read.
            Celsius(warm.iter().sum::<f64>() / warm.len().max(1) as f64)
        }
    }
}

/// Holds the readings of one set against the test sheet for its sun.
pub(super) fn judge(
    evaluator: &Evaluator<'_>,
    installation: &Installation,
    set: &ReadingSet,
) -> SetJudged {
    let measured = Measured { irradiance: set.irradiance, temp_cell: cells(installation, set) };
    let sheet = sheet_for(evaluator, installation, &installation.installed, Some(measured));
    let readings = set.readings.iter().map(|r| {
        let input = sheet.inputs.iter().find(|i| i.at == r.at);
        judged(r, input.expect("`input` takes readings of wired inputs alone"))
    });
    SetJudged { note: set.note.clone(), measured, warmth: set.warmth, readings: readings.collect() }
}

fn judged(reading: &ArrayReading, sheet: &InputSheet) -> Judged {
    let asked = "the sheet was asked for these conditions";
    let band = match reading.spot {
        Spot::StringVoc(s) => sheet.strings[s].v_oc_measured.expect(asked),
        Spot::StringIsc(s) => sheet.strings[s].i_sc_measured.expect(asked),
        Spot::StringAmps(s) => sheet.strings[s].work,
        Spot::OpenVolts => sheet.v_oc_measured.expect(asked),
        Spot::WorkVolts => sheet.work_volts,
        Spot::WorkAmps => sheet.work_amps,
    };
    // The sign of a current says how the clamp was put on.
    let shown = match reading.spot {
        Spot::StringIsc(_) => reading.value.abs(),
        _ => reading.value,
    };
    let place = if shown < band.low {
        Place::Below
    } else if shown > band.high {
        Place::Above
    } else {
        Place::Inside
    };
    Judged { at: reading.at, spot: reading.spot, value: reading.value, band, place }
}
