//! How well an array as it may stand explains what was read.
//!
//! Each set of readings has unknowns of its own: the true light, the true warmth of the cells, and how far
//! each tracker stands beside its point. They are common to all readings of the set, so they are fitted:
//! predictions are taken as straight in them, which makes their best values and the remaining squares a
//! small linear problem (Gauss, least squares with prior terms).

use super::built::{Tracking, World};
use super::curves::Sky;
use super::predict::{Question, Shift};
use super::trial::LABEL_VOLTS;
use crate::model::{ControllerType, Spot};

/// Steps by which the slopes are taken.
const SUN_STEP: f64 = 0.02;
const WARM_STEP: f64 = 1.0;
const VOLT_STEP: f64 = 0.005;
/// How far a tracker stands beside its point, and volts lost in the cable to the controller: one standard
/// deviation, as a share of the voltage. (common practice, no source)
const TRACKER_SLACK: f64 = 0.025;
/// The same where the voltage is not the tracker's choice.
const FREE_VOLTS: f64 = 0.30;
/// A battery while it charges, against its charging voltage.
const BATTERY_SLACK: f64 = 0.07;

/// What is unknown about the conditions, one standard deviation each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spreads {
    /// The light, as a share.
    pub(super) sun: f64,
    /// The cells, in kelvin.
    pub(super) warmth: f64,
}

/// What one world predicts for one set.
#[derive(Debug, Clone)]
pub(super) struct Prediction {
    /// Reading by reading.
    pub(super) values: Vec<f64>,
    /// For each unknown the change of all readings with one of its standard deviations.
    pub(super) slopes: Vec<Vec<f64>>,
    /// What the panels' own scatter in volts makes of each reading beside the meter's error: much where a
    /// string stands on its flank, nothing where it is flat. One standard deviation.
    pub(super) flank: Vec<f64>,
}

/// A fitted set.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    /// Squares that remain, in standard deviations, prior terms included.
    pub(super) squares: f64,
    /// What it costs that the world leaves readings more room than the meter does, in the same measure.
    pub(super) width: f64,
    /// What the world predicts under the fitted conditions, reading by reading.
    pub(super) values: Vec<f64>,
}

/// Looks at a world under one set.
pub(super) fn predict(question: &Question<'_>, world: &World, spreads: Spreads) -> Prediction {
    let working = question.working(world);
    let show = |sky: Sky, volts: &[f64]| -> Vec<f64> {
        let at = |input: usize| working.iter().position(|w| *w == input).map_or(0.0, |k| volts[k]);
        let pairs = question.readings.iter().zip(question.inputs);
        pairs.map(|(r, input)| question.value(world, (*input, r.spot), sky, at)).collect()
    };
    let held = |sky: Sky, near: Option<&[f64]>| -> Vec<f64> {
        let each = working.iter().enumerate();
        each.map(|(k, input)| question.work_volts(world, *input, sky, near.map(|n| n[k]))).collect()
    };
    let here = question.sky(world, Shift::NONE);
    let volts = held(here, None);
    let values = show(here, &volts);
    let shifted = |shift: Shift| {
        let sky = question.sky(world, shift);
        show(sky, &held(sky, Some(&volts)))
    };
    let slope = |shifted: Vec<f64>, per_step: f64| -> Vec<f64> {
        shifted.iter().zip(&values).map(|(s, v)| (s - v) * per_step).collect()
    };
    let mut slopes = vec![
        slope(shifted(Shift { sun: 1.0 + SUN_STEP, ..Shift::NONE }), spreads.sun / SUN_STEP),
        slope(shifted(Shift { warmer: WARM_STEP, ..Shift::NONE }), spreads.warmth / WARM_STEP),
    ];
    let mut flank: Vec<f64> = question
        .readings
        .iter()
        .zip(question.inputs)
        .map(|(r, input)| match r.spot {
            Spot::StringIsc(s) => question.short_scatter(world, (*input, s), here),
            _ => 0.0,
        })
        .collect();
    for (k, input) in working.iter().enumerate() {
        // Central: the current falls ever faster along the flank.
        let moved = |factor: f64| {
            let mut moved = volts.clone();
            moved[k] *= factor;
            show(here, &moved)
        };
        let (up, down) = (moved(1.0 + VOLT_STEP), moved(1.0 - VOLT_STEP));
        let change: Vec<f64> =
            up.iter().zip(&down).map(|(u, d)| (u - d) / (2.0 * VOLT_STEP)).collect();
        let n_strings = world.joined(*input).count().max(1) as f64;
        for (r, reading) in question.readings.iter().enumerate() {
            // Each string scatters by itself; in their sum some of it evens out.
            let share = match reading.spot {
                Spot::StringAmps(_) => LABEL_VOLTS,
                Spot::WorkAmps => LABEL_VOLTS / n_strings.sqrt(),
                _ => 0.0,
            };
            flank[r] = f64::hypot(flank[r], share * change[r]);
        }
        let slack = slack(question, world, *input);
        slopes.push(change.iter().map(|c| c * slack).collect());
    }
    Prediction { values, slopes, flank }
}

fn slack(question: &Question<'_>, world: &World, input: usize) -> f64 {
    let at = question.installation.installed[input].at;
    let pwm = question.installation.controller(at).controller_type == ControllerType::Pwm;
    match world.tracking[input] {
        _ if pwm => BATTERY_SLACK,
        Tracking::Best | Tracking::OtherPeak(_) => TRACKER_SLACK,
        Tracking::Held | Tracking::Below => FREE_VOLTS,
    }
}

/// Fits the unknowns to what was read; `used` says which readings count.
pub(super) fn fit(
    prediction: &Prediction,
    read: &[f64],
    sigmas: &[f64],
    used: impl Fn(usize) -> bool,
) -> Fitted {
    let rows: Vec<usize> = (0..read.len()).filter(|r| used(*r)).collect();
    let wide = |r: &usize| f64::hypot(sigmas[*r], prediction.flank[*r]);
    let off: Vec<f64> = rows.iter().map(|r| (read[*r] - prediction.values[*r]) / wide(r)).collect();
    let columns: Vec<Vec<f64>> =
        prediction.slopes.iter().map(|s| rows.iter().map(|r| s[*r] / wide(r)).collect()).collect();
    let (unknowns, squares) = solve(&columns, &off);
    // What allows more explains less: the normal distribution's own factor.
    let width = rows.iter().map(|r| 2.0 * (wide(r) / sigmas[*r]).ln()).sum();
    let mut values = prediction.values.clone();
    for (slope, x) in prediction.slopes.iter().zip(&unknowns) {
        for (value, s) in values.iter_mut().zip(slope) {
            *value += s * x;
        }
    }
    Fitted { squares, width, values }
}

/// Squares by which two predictions differ where their unknowns may make up for it.
pub(super) fn apart(
    a: &Prediction,
    b: &Prediction,
    sigmas: &[f64],
    used: impl Fn(usize) -> bool,
) -> f64 {
    let rows: Vec<usize> = (0..sigmas.len()).filter(|r| used(*r)).collect();
    let wide = |r: &usize| f64::hypot(sigmas[*r], a.flank[*r].max(b.flank[*r]));
    let off: Vec<f64> = rows.iter().map(|r| (b.values[*r] - a.values[*r]) / wide(r)).collect();
    let columns: Vec<Vec<f64>> =
        a.slopes.iter().map(|s| rows.iter().map(|r| s[*r] / wide(r)).collect()).collect();
    solve(&columns, &off).1
}

/// The unknowns x that make |off − A·x|² + |x|² least, and that least sum.
fn solve(columns: &[Vec<f64>], off: &[f64]) -> (Vec<f64>, f64) {
    let n = columns.len();
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let mut rows: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            let mut row: Vec<f64> = (0..n).map(|j| dot(&columns[i], &columns[j])).collect();
            row[i] += 1.0;
            row.push(dot(&columns[i], off));
            row
        })
        .collect();
    // Positive definite by the prior terms, so that elimination needs no exchange of rows.
    for i in 0..n {
        for below in i + 1..n {
            let factor = rows[below][i] / rows[i][i];
            let (above, rest) = rows.split_at_mut(below);
            for (x, y) in rest[0][i..].iter_mut().zip(&above[i][i..]) {
                *x -= factor * y;
            }
        }
    }
    let mut x = vec![0.0; n];
    for i in (0..n).rev() {
        let known: f64 = (i + 1..n).map(|k| rows[i][k] * x[k]).sum();
        x[i] = (rows[i][n] - known) / rows[i][i];
    }
    let left: f64 = (0..off.len())
        .map(|r| {
            let made_up: f64 = (0..n).map(|k| columns[k][r] * x[k]).sum();
            (off[r] - made_up).powi(2)
        })
        .sum();
    let prior: f64 = x.iter().map(|x| x * x).sum();
    (x, left + prior)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_known_least_squares_problem_is_solved() {
        // One unknown, two readings of 1: |1 − x|²·2 + x² is least at x = 2/3, where it is 2/3.
        let (x, squares) = solve(&[vec![1.0, 1.0]], &[1.0, 1.0]);
        assert!((x[0] - 2.0 / 3.0).abs() < 1e-12 && (squares - 2.0 / 3.0).abs() < 1e-12);
        // Two unknowns that bear on a reading each do not see each other.
        let (x, _) = solve(&[vec![3.0, 0.0], vec![0.0, 1.0]], &[1.0, 1.0]);
        assert!((x[0] - 0.3).abs() < 1e-12 && (x[1] - 0.5).abs() < 1e-12);
    }
}
