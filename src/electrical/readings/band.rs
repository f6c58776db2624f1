//! The band of each figure, and what it comes from.

use super::adjust::Solution;
use super::problem::{IMP_SHARE, LN_ISC, LN_VOC, Source, VMP_SHARE};

/// Standard deviations to either side.
///
/// For a normal distribution 1.96 would hold 95 %. The spreads have longer tails and De Soto's
/// translation has errors of its own, so a little more is needed; `tests/label_coverage.rs` shows
/// that this holds 95 % on two tables (ours, found by that test).
const REACH: f64 = 2.2;

/// A figure with the band in which it lies in at least 95 of 100 cases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The most likely value, in the figure's own unit.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Band {
    fn around(value: f64, sd_of_log: f64) -> Self {
        let factor = (REACH * sd_of_log).exp();
        Self { value, low: value / factor, high: value * factor }
    }

    /// How far the upper end lies above the value, the wider side. \[%\]
    #[must_use]
    pub fn percent(&self) -> f64 {
        100.0 * (self.high / self.value - 1.0)
    }

    /// Does a value lie inside?
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// The five figures at standard test conditions, each with its band. \[W\], \[V\], \[A\]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bands {
    /// Maximum power. \[W\]
    pub p_mp: Band,
    /// Voltage at maximum power. \[V\]
    pub v_mp: Band,
    /// Current at maximum power. \[A\]
    pub i_mp: Band,
    /// Open-circuit voltage. \[V\]
    pub v_oc: Band,
    /// Short-circuit current. \[A\]
    pub i_sc: Band,
}

/// What one source adds to the width of each band, as a share of its square; all shares make 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Where it comes from.
    pub source: Source,
    /// Of the band of maximum power.
    pub of_p_mp: f64,
    /// Of the band of open-circuit voltage.
    pub of_v_oc: f64,
    /// Of the band of short-circuit current.
    pub of_i_sc: f64,
}

/// How the logarithm of each figure changes with the unknowns: p_mp, v_mp, i_mp, v_oc, i_sc.
fn directions(solution: &Solution) -> [Vec<f64>; 5] {
    let n = solution.x.len();
    let unit = |ones: &[(usize, f64)]| {
        let mut d = vec![0.0; n];
        for (j, value) in ones {
            d[*j] = *value;
        }
        d
    };
    let (v, i) = (1.0 / solution.x[VMP_SHARE], 1.0 / solution.x[IMP_SHARE]);
    [
        unit(&[(LN_VOC, 1.0), (LN_ISC, 1.0), (VMP_SHARE, v), (IMP_SHARE, i)]),
        unit(&[(LN_VOC, 1.0), (VMP_SHARE, v)]),
        unit(&[(LN_ISC, 1.0), (IMP_SHARE, i)]),
        unit(&[(LN_VOC, 1.0)]),
        unit(&[(LN_ISC, 1.0)]),
    ]
}

/// The bands at a solution, `wider` times as wide as the rows alone would have them.
pub(super) fn bands(solution: &Solution, wider: f64) -> Bands {
    let label = &solution.panel.label;
    let values = [
        label.p_mp.watts(),
        label.v_mp.volts(),
        label.i_mp.amps(),
        label.v_oc.volts(),
        label.i_sc.amps(),
    ];
    let directions = directions(solution);
    let band = |f: usize| {
        let d = &directions[f];
        let variance: f64 = d.iter().zip(solution.factored.solve(d)).map(|(a, b)| a * b).sum();
        Band::around(values[f], wider * variance.sqrt())
    };
    Bands { p_mp: band(0), v_mp: band(1), i_mp: band(2), v_oc: band(3), i_sc: band(4) }
}

/// Variance by source.
///
/// The estimate is linear in the rows, each of variance 1: with `h = (JᵀWJ)⁻¹d`, the row `J_k` adds
/// `w_k (J_k·h)²`, and these sum to `dᵀ(JᵀWJ)⁻¹d` exactly.
pub(super) fn shares(solution: &Solution) -> Vec<Share> {
    let directions = directions(solution);
    let parts = |f: usize| -> Vec<(Source, f64)> {
        let h = solution.factored.solve(&directions[f]);
        let of_row = |row: &Vec<f64>| row.iter().zip(&h).map(|(a, b)| a * b).sum::<f64>();
        let added = solution.rows.iter().zip(&solution.weights).map(|(r, w)| w * of_row(r).powi(2));
        solution.residuals.iter().map(|r| r.source).zip(added).collect()
    };
    let (p_mp, v_oc, i_sc) = (parts(0), parts(3), parts(4));
    let share = |parts: &[(Source, f64)], source: Source| {
        let total: f64 = parts.iter().map(|p| p.1).sum();
        parts.iter().filter(|p| p.0 == source).map(|p| p.1).sum::<f64>() / total
    };
    let mut sources: Vec<Source> = solution.residuals.iter().map(|r| r.source).collect();
    sources.sort_unstable();
    sources.dedup();
    sources
        .into_iter()
        .map(|source| Share {
            source,
            of_p_mp: share(&p_mp, source),
            of_v_oc: share(&v_oc, source),
            of_i_sc: share(&i_sc, source),
        })
        .collect()
}
