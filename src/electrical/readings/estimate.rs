//! The estimate of an unknown label, and what about it is doubtful.

use super::adjust::{Solution, adjust};
use super::agreement::{Agreement, Scatter, agreement, scatter};
use super::band::{Bands, Share, bands, shares};
use super::narrow::{Narrowing, narrowings};
use super::prior::Prior;
use super::problem::{BETA, IMP_SHARE, Problem, VMP_SHARE};
use super::spreads::Spread;
use crate::electrical::FitError;
use crate::model::{Label, MeasuredPanel};

/// Voc of one silicon cell at standard test conditions: outside, cells or section are in doubt. \[V\]
///
/// Nine in ten silicon rows of the open CEC module table have 0.598 to 0.664, and 0.76 is the
/// record for silicon (from memory, check your edition).
const VOLTS_PER_CELL: (f64, f64) = (0.53, 0.77);
/// Standard deviations from the middle beyond which the curve's shape is worth a word.
const UNUSUAL: f64 = 2.5;
/// Weaker light than this says little about full sun. \[W/m²\] (IEC 60904-1 asks for 800 outdoors; from
/// memory, check your edition; half of it is where our own bands still hold)
const WEAK_LIGHT: f64 = 400.0;

/// A band of maximum power that is wider says nothing: a factor of five either way. \[%\] (ours)
const SAYS_NOTHING: f64 = 400.0;

/// Why there is no estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EstimateError {
    /// No curve passes through a label on the way; [`crate::electrical::fit_label`] has never refused a legal one.
    NoCurve(FitError),
    /// The readings are so far apart that no panel is near them all.
    Apart,
}

/// A label as meter readings show it.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelEstimate {
    /// The most likely figures at standard test conditions.
    pub label: Label,
    /// Each figure with the band in which it lies in at least 95 of 100 cases.
    pub bands: Bands,
    /// What the bands come from.
    pub shares: Vec<Share>,
    /// What was assumed before the readings.
    pub prior: Prior,
    /// Temperature coefficient of Voc that the readings were translated with. \[%/°C\]
    pub beta_percent_per_c: f64,
    /// Each reading against the others; empty for a single one.
    pub agreement: Vec<Agreement>,
    /// How well all agree.
    pub scatter: Scatter,
    /// What to do next, the best first.
    pub narrowings: Vec<Narrowing>,
    /// What a person should look at.
    pub doubts: Vec<Doubt>,
}

/// What does not look like a sound silicon panel, or weakens the estimate.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Voc of one cell at standard test conditions is unusual. \[V\]
    VoltsPerCell(f64),
    /// Vmp/Voc or Imp/Isc, as a loaded point shows them, are far from usual.
    Shape {
        /// Vmp/Voc and its usual spread.
        vmp_per_voc: (f64, Spread),
        /// Imp/Isc and its usual spread.
        imp_per_isc: (f64, Spread),
    },
    /// All light was weaker than 400 W/m²; the strongest. \[W/m²\]
    WeakLight(f64),
    /// Two readings disagree, and two cannot say which is wrong.
    TwoDisagree,
    /// Readings stand out; their names.
    StandOut(Vec<String>),
}

/// The label that explains the readings best.
///
/// # Errors
/// As [`EstimateError`] says.
pub fn estimate_label(
    measured: &MeasuredPanel,
    prior: &Prior,
) -> Result<LabelEstimate, EstimateError> {
    let problem = Problem::new(measured, prior);
    let solution = adjust(&problem)?;
    let scatter = scatter(&problem, &solution);
    let bands = bands(&solution, scatter.wider);
    if bands.p_mp.percent() > SAYS_NOTHING {
        return Err(EstimateError::Apart);
    }
    let agreement = agreement(&problem, &solution)?;
    let doubts = doubts(measured, &problem, &solution, &agreement);
    Ok(LabelEstimate {
        label: solution.panel.label,
        bands,
        shares: shares(&solution),
        prior: *prior,
        beta_percent_per_c: solution.x[BETA],
        narrowings: narrowings(&problem, &solution, scatter.wider)?,
        agreement,
        scatter,
        doubts,
    })
}

fn doubts(
    measured: &MeasuredPanel,
    problem: &Problem<'_>,
    solution: &Solution,
    agreement: &[Agreement],
) -> Vec<Doubt> {
    let mut found = Vec::new();
    if let Some(cells) = measured.cells {
        let each = solution.panel.label.v_oc.volts() / cells as f64;
        if !(VOLTS_PER_CELL.0..=VOLTS_PER_CELL.1).contains(&each) {
            found.push(Doubt::VoltsPerCell(each));
        }
    }
    let shape = [
        (solution.x[VMP_SHARE], problem.prior.vmp_per_voc),
        (solution.x[IMP_SHARE], problem.prior.imp_per_isc),
    ];
    if shape.iter().any(|(x, usual)| (x - usual.middle).abs() > UNUSUAL * usual.sd) {
        found.push(Doubt::Shape { vmp_per_voc: shape[0], imp_per_isc: shape[1] });
    }
    let strongest = problem.readings.iter().map(|r| problem.irradiance_read(r)).fold(0.0, f64::max);
    if strongest < WEAK_LIGHT {
        found.push(Doubt::WeakLight(strongest));
    }
    let named: Vec<String> =
        agreement.iter().filter(|a| a.stands_out.is_some()).map(|a| a.name.clone()).collect();
    match (agreement.len(), named.len()) {
        (_, 0) => {}
        (2, _) => found.push(Doubt::TwoDisagree),
        _ => found.push(Doubt::StandOut(named)),
    }
    found
}
