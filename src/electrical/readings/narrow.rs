//! Which reading, or which better instrument, would narrow the band of maximum power most.
//!
//! The band depends on what is read and how well, hardly on what the meter then shows; so the
//! band of a reading not yet taken can be told beforehand.

use super::EstimateError;
use super::adjust::{Solution, linearise_in_full};
use super::band::bands;
use super::problem::{FIRST_READING, Problem, cell_temp};
use super::spreads::CELL_ABOVE_BACK;
use crate::model::{Accuracy, PanelReading};
use crate::units::{Amps, Celsius, Irradiance, Volts};

/// A calibrated reference cell tells the light about this well. \[%\] (common practice, no source)
const GOOD_LIGHT: f64 = 2.0;
/// A sensor glued to the back under insulation tells the cells' temperature about this well. \[K\]
/// (common practice, no source)
const GOOD_TEMP: f64 = 1.0;
/// A good bench meter. \[%\] (common practice, no source)
const GOOD_METER: f64 = 0.3;
/// Cells at noon in full sun. \[°C\] (common practice, no source)
const WARM_CELLS: f64 = 50.0;

/// What could be done next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NextReading {
    /// One loaded point near maximum power: at about this voltage, in the light of the last reading. \[V\]
    LoadedPoint(Volts),
    /// The light by a calibrated reference cell, good to 2 %.
    BetterLight,
    /// The cells' temperature to 1 K.
    BetterTemperature,
    /// A meter good to 0.3 %.
    BetterMeter,
    /// The same once more, in full sun.
    OnceMore,
}

/// What it would bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Narrowing {
    /// What to do.
    pub next: NextReading,
    /// The band of maximum power with it. \[%\]
    pub p_mp_percent: f64,
}

/// What each would bring, the best first.
pub(super) fn narrowings(
    problem: &Problem<'_>,
    solution: &Solution,
    wider: f64,
) -> Result<Vec<Narrowing>, EstimateError> {
    let last = *problem.readings.last().expect("there is a reading");
    let loaded = with_load(problem, solution, last);
    let in_full_sun = full_sun(solution);
    let better = |change: fn(&mut Accuracy)| {
        let mut changed = problem.clone();
        change(&mut changed.accuracy);
        changed
    };
    let mut candidates = vec![
        (
            NextReading::BetterLight,
            better(|a| {
                a.irradiance_percent = a.irradiance_percent.min(GOOD_LIGHT);
                a.twin_percent = a.twin_percent.min(GOOD_LIGHT);
            }),
        ),
        (NextReading::BetterTemperature, better(|a| a.temp_k = a.temp_k.min(GOOD_TEMP))),
        (
            NextReading::BetterMeter,
            better(|a| {
                a.volts_percent = a.volts_percent.min(GOOD_METER);
                a.amps_percent = a.amps_percent.min(GOOD_METER);
            }),
        ),
    ];
    let mut more = problem.clone();
    more.readings.push(&in_full_sun);
    candidates.push((NextReading::OnceMore, more));
    if problem.readings.iter().all(|r| r.load.is_none()) {
        let mut changed = problem.clone();
        changed.readings.pop();
        changed.readings.push(&loaded);
        let (v, _) = loaded.load.expect("it was just loaded");
        candidates.push((NextReading::LoadedPoint(v), changed));
    }
    let mut found = candidates
        .into_iter()
        .map(|(next, changed)| {
            Ok(Narrowing { next, p_mp_percent: band_of(&changed, solution, wider)? })
        })
        .collect::<Result<Vec<_>, EstimateError>>()?;
    found.sort_by(|a, b| a.p_mp_percent.total_cmp(&b.p_mp_percent));
    Ok(found)
}

/// The band of maximum power of another problem about the panel as it is taken to be. \[%\]
fn band_of(changed: &Problem<'_>, solution: &Solution, wider: f64) -> Result<f64, EstimateError> {
    let mut x = changed.start();
    x[..FIRST_READING].copy_from_slice(&solution.x[..FIRST_READING]);
    Ok(bands(&linearise_in_full(changed, x)?, wider).p_mp.percent())
}

/// A reading with the panel loaded at its maximum power.
fn with_load(problem: &Problem<'_>, solution: &Solution, reading: &PanelReading) -> PanelReading {
    let g = problem.irradiance_read(reading);
    let (v, i) = solution.panel.max_power(g, cell_temp(reading.temp_back, g));
    PanelReading { load: Some((Volts(v), Amps(i))), ..reading.clone() }
}

/// What the meters would show at noon.
fn full_sun(solution: &Solution) -> PanelReading {
    let seen = solution.panel.at(1000.0, WARM_CELLS);
    PanelReading {
        name: String::new(),
        v_oc: Volts(seen.v_oc),
        i_sc: Amps(seen.i_sc),
        irradiance: Some(Irradiance(1000.0)),
        twin_i_sc: None,
        temp_back: Celsius(WARM_CELLS - CELL_ABOVE_BACK),
        load: None,
    }
}
