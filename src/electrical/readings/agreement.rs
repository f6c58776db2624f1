//! Do the readings agree? Each is held against what the others say.

use super::EstimateError;
use super::adjust::{Solution, adjust_from};
use super::problem::{FIRST_READING, Problem, READING_SHARE, cell_temp};

/// Standard deviations beyond which a reading is named: 1 in 370 by chance alone.
const NAMED: f64 = 3.0;

/// How one reading lies to the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// The reading's own name.
    pub name: String,
    /// Its Voc against what the others predict at its light and temperature. \[%\]
    pub v_oc_percent: f64,
    /// Its Isc against the same. \[%\]
    pub i_sc_percent: f64,
    /// What of it stands out, if anything does.
    pub stands_out: Option<Outlier>,
}

/// Which figure of a reading the others do not explain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlier {
    /// Open-circuit voltage, or the temperature it was taken at.
    Voltage,
    /// Short-circuit current, or the light it was taken in.
    Current,
    /// Both.
    Both,
}

/// How well all readings together agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// How much wider than the instruments' accuracy the readings scatter, at least 1.
    pub wider: f64,
}

/// Each reading against the others; empty for a single one.
pub(super) fn agreement(
    problem: &Problem<'_>,
    all: &Solution,
) -> Result<Vec<Agreement>, EstimateError> {
    let n = problem.readings.len();
    if n < 2 {
        return Ok(Vec::new());
    }
    (0..n)
        .map(|k| {
            let mut others = problem.clone();
            others.readings.remove(k);
            let mut x = all.x.clone();
            x.drain(FIRST_READING + 2 * k..FIRST_READING + 2 * k + 2);
            against(problem, k, &adjust_from(&others, x)?)
        })
        .collect()
}

fn against(problem: &Problem<'_>, k: usize, others: &Solution) -> Result<Agreement, EstimateError> {
    let (reading, a) = (problem.readings[k], &problem.accuracy);
    let g = problem.irradiance_read(reading);
    let t = cell_temp(reading.temp_back, g);
    let seen = others.panel.at(g, t);
    let v = (reading.v_oc.volts() / seen.v_oc).ln();
    let i = (reading.i_sc.amps() / seen.i_sc).ln();
    // What the accuracies leave open there. The others' own scatter is added as if all were alike.
    let sun = match reading.irradiance {
        Some(_) => a.irradiance_percent,
        None => a.amps_percent.hypot(a.twin_percent),
    } / 100.0;
    let (warmer, brighter) = (others.panel.at(g, t + 1.0), others.panel.at(g * 1.01, t));
    let per_k = |x: f64, y: f64| (y / x).ln();
    let sd = |meter: f64, by_temp: f64, by_sun: f64| {
        let others = 1.0 + 1.0 / (problem.readings.len() - 1) as f64;
        let parts = [meter / 100.0, by_temp * a.temp_k, by_sun * 100.0 * sun];
        (others * parts.iter().map(|p| p * p).sum::<f64>()).sqrt()
    };
    let sd_v = sd(a.volts_percent, per_k(seen.v_oc, warmer.v_oc), per_k(seen.v_oc, brighter.v_oc));
    let sd_i = sd(a.amps_percent, per_k(seen.i_sc, warmer.i_sc), per_k(seen.i_sc, brighter.i_sc));
    let stands_out = match (v.abs() > NAMED * sd_v, i.abs() > NAMED * sd_i) {
        (true, true) => Some(Outlier::Both),
        (true, false) => Some(Outlier::Voltage),
        (false, true) => Some(Outlier::Current),
        (false, false) => None,
    };
    Ok(Agreement {
        name: reading.name.clone(),
        v_oc_percent: 100.0 * v.exp_m1(),
        i_sc_percent: 100.0 * i.exp_m1(),
        stands_out,
    })
}

/// How much wider the rows scatter than they should, and only if by more than chance has it.
///
/// R.T. Birge, Phys. Rev. 40, 1932, doi:10.1103/PhysRev.40.207, with Huber's weights. Beyond the
/// mean of χ² by two of its standard deviations (√(2·dof)) it is no chance.
pub(super) fn scatter(problem: &Problem<'_>, solution: &Solution) -> Scatter {
    let free = solution.residuals.len() as f64 - problem.n_unknowns() as f64;
    if free < 1.0 {
        return Scatter { wider: 1.0 };
    }
    // The rows hold a part of each accuracy; beyond chance means beyond all of it.
    let squares = solution.residuals.iter().zip(&solution.weights);
    let sum = READING_SHARE * squares.map(|(r, w)| w * r.value * r.value).sum::<f64>();
    let by_chance = free + 2.0 * (2.0 * free).sqrt();
    Scatter { wider: if sum > by_chance { (sum / free).sqrt() } else { 1.0 } }
}
