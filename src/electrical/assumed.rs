//! What is assumed where a label is silent, and the code's table of cold factors.

use crate::model::Kind;
use crate::units::{Celsius, PercentPerC, Volts};

/// NOCT where the label is silent: near the median of silicon rows in the open CEC module table (46.3 °C).
pub const DEFAULT_NOCT: Celsius = Celsius(46.0);

/// How much steeper power falls than open-circuit voltage where the label is silent. \[%/°C\]
///
/// Median of silicon rows of the open CEC module table: −0.116, nine in ten between −0.15 and −0.06.
/// Closer than ideality by E.I. Batzelis, IEEE J. Photovoltaics 7(5), 2017, eq. 9, which came out
/// 2 % high in watts at 65 °C on the same rows, where this is within 0.2 % (medians).
const POWER_BELOW_VOLTAGE: PercentPerC = PercentPerC(-0.12);

/// The figures a panel model works with, label or assumption.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assumed {
    /// Temperature coefficient of short-circuit current. \[%/°C\]
    pub i_sc_coefficient: PercentPerC,
    /// Temperature coefficient of open-circuit voltage, for curves. \[%/°C\]
    pub v_oc_coefficient: PercentPerC,
    /// Temperature coefficient of maximum power. \[%/°C\]
    pub p_mp_coefficient: PercentPerC,
    /// Bypass diodes.
    pub bypass_diodes: usize,
}

impl Assumed {
    /// Label figures where given, medians of silicon rows of the open CEC module table otherwise
    /// (α +0.05 %/°C, β −0.33 %/°C, γ 0.12 %/°C below β).
    #[must_use]
    pub fn for_kind(kind: &Kind) -> Self {
        let v_oc_coefficient = kind.v_oc_coefficient.unwrap_or(PercentPerC(-0.33));
        Self {
            i_sc_coefficient: kind.i_sc_coefficient.unwrap_or(PercentPerC(0.05)),
            v_oc_coefficient,
            p_mp_coefficient: kind
                .p_mp_coefficient
                .unwrap_or(v_oc_coefficient + POWER_BELOW_VOLTAGE),
            bypass_diodes: resolve_bypass_diodes(kind),
        }
    }
}

/// Bypass diodes of a kind: the label's number, or the assumed one.
#[must_use]
pub fn resolve_bypass_diodes(kind: &Kind) -> usize {
    kind.bypass_diodes.unwrap_or_else(|| assumed_bypass_diodes(kind.label.v_oc, kind.cells))
}

/// Usual number of bypass diodes: one for every 18 to 24 cells (common practice, no source);
/// where cells are not counted, by open-circuit voltage.
#[must_use]
pub fn assumed_bypass_diodes(v_oc: Volts, cells: Option<usize>) -> usize {
    match cells {
        Some(n) if n <= 20 => 1,
        Some(n) if n <= 48 => 2,
        Some(_) => 3,
        None if v_oc.volts() < 13.0 => 1,
        None if v_oc.volts() < 28.0 => 2,
        None => 3,
    }
}

/// Lowest temperature of each band \[°C\] and factor on open-circuit voltage, crystalline silicon.
///
/// US NEC table 690.7(A), from secondary sources: check your edition.
const COLD_FACTORS: [(f64, f64); 13] = [
    (20.0, 1.02),
    (15.0, 1.04),
    (10.0, 1.06),
    (5.0, 1.08),
    (0.0, 1.10),
    (-5.0, 1.12),
    (-10.0, 1.14),
    (-15.0, 1.16),
    (-20.0, 1.18),
    (-25.0, 1.20),
    (-30.0, 1.21),
    (-35.0, 1.23),
    (-40.0, 1.25),
];

/// Factor on open-circuit voltage by the code's table of cold factors.
///
/// At 25 °C and above it is 1. Below −40 °C the table ends; from there 0.5 % per °C is added,
/// steeper than any silicon panel (ours, on the safe side).
#[must_use]
pub fn cold_factor(temp: Celsius) -> f64 {
    let t = temp.celsius();
    if t >= 25.0 {
        return 1.0;
    }
    // The table's bands are whole degrees: 24 to 20, 19 to 15, …; between them the colder band counts.
    COLD_FACTORS
        .iter()
        .find(|(lowest, _)| t >= *lowest)
        .map_or_else(|| 1.25 + 0.005 * (-40.0 - t), |(_, factor)| *factor)
}
