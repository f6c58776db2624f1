//! A label from meter readings: the label that explains them best, with a band for each figure.
//!
//! The unknowns are the label, its temperature coefficients, how far each instrument is off, and the
//! true light and temperature of each reading. Every reading, every instrument's accuracy and every
//! assumption is a row of one least-squares problem; readings are translated by De Soto's equations
//! with the model fitted to the label as it then stands, so that label and translation agree at the
//! end. The band is the covariance of that problem, and splits exactly by what it comes from.

mod adjust;
mod agreement;
mod band;
mod estimate;
mod fade;
mod matrix;
mod narrow;
mod prior;
mod problem;
mod spreads;

pub use agreement::{Agreement, Outlier, Scatter};
pub use band::{Band, Bands, Share};
pub use estimate::{Doubt, EstimateError, LabelEstimate, estimate_label};
pub use fade::{Fade, FadeVerdict, estimate_fade};
pub use narrow::{Narrowing, NextReading};
pub use prior::Prior;
pub use problem::Source;
pub use spreads::{
    ALPHA, BETA, CELL_ABOVE_BACK, FADE_PERCENT_PER_YEAR, GAMMA_BELOW_BETA, IMP_PER_ISC, Spread,
    VMP_PER_VOC, WEAR,
};
