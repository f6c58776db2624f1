//! Robust least squares: Gauss-Newton steps with Huber's weights.
//!
//! P.J. Huber, Ann. Math. Statist. 35(1), 1964, doi:10.1214/aoms/1177703732. A reading that is off by
//! more than a few standard deviations pulls with a bounded force; it is never dropped.

use super::EstimateError;
use super::matrix::{Factored, Row, weighted_sum};
use super::problem::{PANEL_END, Panel, Problem, READING_SHARE, Residual};

/// Standard deviations up to which a residual counts in full: 95 % efficient where nothing is wrong
/// (P.W. Holland and R.E. Welsch, Comm. Statist. A6, 1977, doi:10.1080/03610927708827533).
const HUBER: f64 = 1.345;
/// Steps that end it even if the last digits still move; four to eight are usual.
const STEPS: usize = 40;
/// A step that lowers the cost by less moves no unknown by more than a thousandth of its band.
const LITTLE: f64 = 1e-7;
/// Steps of the numerical derivative, in the unit of each unknown of the panel and the instruments.
const PANEL_STEP: [f64; PANEL_END] = [1e-4, 1e-4, 1e-3, 1e-3, 1e-3, 1e-3, 1e-3];
const OTHER_STEP: f64 = 1e-4;

/// Where the rows agree best, and how the rows lie there.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) x: Vec<f64>,
    pub(super) panel: Panel,
    pub(super) residuals: Vec<Residual>,
    pub(super) weights: Vec<f64>,
    pub(super) rows: Vec<Row>,
    pub(super) factored: Factored,
}

/// The unknowns at which the rows agree best.
///
/// # Errors
/// As [`EstimateError`] says.
pub(super) fn adjust(problem: &Problem<'_>) -> Result<Solution, EstimateError> {
    adjust_from(problem, problem.start())
}

/// The same from a point that is near.
///
/// # Errors
/// As [`adjust`].
pub(super) fn adjust_from(problem: &Problem<'_>, x: Vec<f64>) -> Result<Solution, EstimateError> {
    let mut here = linearise(problem, x)?;
    for _ in 0..STEPS {
        let values: Vec<f64> = here.residuals.iter().map(|r| r.value).collect();
        let downhill = weighted_sum(&here.rows, &here.weights, &values);
        let step = here.factored.solve(&downhill);
        let gain: f64 = step.iter().zip(&downhill).map(|(s, d)| s * d).sum();
        if gain < LITTLE {
            break;
        }
        // Half as far, and half again, until it gets better: the weights make it no parabola.
        let before = cost(&here.residuals);
        let next = (0..12).find_map(|halvings| {
            let share = 0.5_f64.powi(halvings);
            let x: Vec<f64> = here.x.iter().zip(&step).map(|(x, s)| x - share * s).collect();
            let panel = problem.panel(&x).ok()?;
            (cost(&problem.residuals(&x, &panel)) <= before).then_some(x)
        });
        match next {
            Some(x) => here = linearise(problem, x)?,
            None => break,
        }
    }
    Ok(here)
}

/// The rows around a point.
///
/// # Errors
/// If no curve passes through the label there.
fn linearise(problem: &Problem<'_>, x: Vec<f64>) -> Result<Solution, EstimateError> {
    let panel = problem.panel(&x)?;
    let residuals = problem.residuals(&x, &panel);
    let mut rows = vec![vec![0.0; x.len()]; residuals.len()];
    for j in 0..x.len() {
        let step = PANEL_STEP.get(j).copied().unwrap_or(OTHER_STEP);
        let moved = |by: f64| {
            let mut x = x.clone();
            x[j] += by;
            let panel = if j < PANEL_END { problem.panel(&x)? } else { panel };
            Ok(problem.residuals(&x, &panel))
        };
        let (up, down) = (moved(step)?, moved(-step)?);
        for ((row, u), d) in rows.iter_mut().zip(&up).zip(&down) {
            row[j] = (u.value - d.value) / (2.0 * step);
        }
    }
    let weights: Vec<f64> = residuals.iter().map(weight).collect();
    let factored = Factored::new(&rows, &weights).ok_or(EstimateError::Apart)?;
    Ok(Solution { x, panel, residuals, weights, rows, factored })
}

/// The rows around a point, with no reading held back: what a design of readings can tell.
///
/// # Errors
/// As [`linearise`].
pub(super) fn linearise_in_full(
    problem: &Problem<'_>,
    x: Vec<f64>,
) -> Result<Solution, EstimateError> {
    let mut solution = linearise(problem, x)?;
    solution.weights.fill(1.0);
    solution.factored =
        Factored::new(&solution.rows, &solution.weights).expect("as determined as with weights");
    Ok(solution)
}

/// Where a reading's residual ceases to count in full: the rows hold only a part of an accuracy, and
/// Huber's limit is meant for all of it.
fn limit() -> f64 {
    HUBER / READING_SHARE.sqrt()
}

/// Huber's weight of a reading's row; what is assumed always counts in full.
fn weight(r: &Residual) -> f64 {
    let far = r.value.abs();
    if r.of_reading && far > limit() { limit() / far } else { 1.0 }
}

/// Huber's cost: a parabola, straight on beyond its end.
fn cost(residuals: &[Residual]) -> f64 {
    let of = |r: &Residual| {
        let far = r.value.abs();
        let end = limit();
        if r.of_reading && far > end { end * (far - 0.5 * end) } else { 0.5 * far * far }
    };
    residuals.iter().map(of).sum()
}
