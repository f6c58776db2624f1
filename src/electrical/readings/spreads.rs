//! What panels have that a meter on open and shorted leads does not show, with its spread.
//!
//! Medians and spreads over silicon modules of two open tables, each with equal weight: 300 labels
//! (CEC) and 424 modules measured outdoors (Sandia). `tests/data/label_spreads.py` computes them,
//! `tests/data/label_spreads.csv` holds them, and a test compares.

/// A figure that is assumed: its middle and its standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Median.
    pub middle: f64,
    /// Standard deviation of the normal distribution that covers 95 % of the modules.
    pub sd: f64,
}

/// Vmp as a share of Voc.
pub const VMP_PER_VOC: Spread = Spread { middle: 0.803_42, sd: 0.018_93 };
/// Imp as a share of Isc.
pub const IMP_PER_ISC: Spread = Spread { middle: 0.929_82, sd: 0.032_75 };
/// Temperature coefficient of short-circuit current. \[%/°C\]
pub const ALPHA: Spread = Spread { middle: 0.054, sd: 0.023_47 };
/// Temperature coefficient of open-circuit voltage. \[%/°C\]
pub const BETA: Spread = Spread { middle: -0.358_45, sd: 0.040_62 };
/// How much steeper power falls than open-circuit voltage. \[%/°C\]
pub const GAMMA_BELOW_BETA: Spread = Spread { middle: -0.12, sd: 0.033_16 };

/// How far Vmp/Voc and Imp/Isc of a worn panel may each be from its label's, as a share: series
/// resistance, cracked cells and dirt bend the curve (ours, no source; a loaded point replaces it).
pub const WEAR: f64 = 0.03;

/// How far a label's own temperature coefficient may be off. \[%/°C\] (ours, no source)
pub(super) const LABEL_COEFFICIENT_SD: f64 = 0.02;

/// How much warmer the cells are than the back at 1000 W/m². \[K\]
///
/// D.L. King, W.E. Boyson, J.A. Kratochvil, SAND2004-3535, 2004, for glass fronts on an open rack; as in
/// pvlib 0.16.1, `TEMPERATURE_MODEL_PARAMETERS`. A panel laid flat on something warm has less.
pub const CELL_ABOVE_BACK: f64 = 3.0;

/// Median loss of power a year. \[%\]
///
/// D.C. Jordan and S.R. Kurtz, Prog. Photovoltaics 21, 2013, doi:10.1002/pip.1182.
pub const FADE_PERCENT_PER_YEAR: f64 = 0.5;

/// How far the change of Voc with the logarithm of the light may be from the fitted model's, as a share of Voc.
///
/// Ideality × cells × thermal voltage over Voc has its median at 0.042 over the 300 rows of the CEC
/// extract and at 0.057 over the 424 measured modules of Sandia's table (pvlib 0.16.1,
/// `N · Cells_in_Series · kT/q / Voco`): the distance of the two.
pub(super) const LIGHT_SLOPE_SD: f64 = 0.015;
