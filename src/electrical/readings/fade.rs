//! How far a panel has faded: today's readings against its label.

use super::Band;
use super::EstimateError;
use super::estimate::{LabelEstimate, estimate_label};
use super::prior::Prior;
use super::spreads::FADE_PERCENT_PER_YEAR;
use crate::model::{Kind, MeasuredPanel};

/// What is left of a label.
#[derive(Debug, Clone, PartialEq)]
pub struct Fade {
    /// Today's figures.
    pub estimate: LabelEstimate,
    /// Loss of maximum power against the label. \[%\]
    pub p_mp_percent: Band,
    /// Loss of open-circuit voltage. \[%\]
    pub v_oc_percent: Band,
    /// Loss of short-circuit current. \[%\]
    pub i_sc_percent: Band,
    /// Against what panels of its age have usually lost; `None` without an age.
    pub usual: Option<(f64, FadeVerdict)>,
}

/// Today's loss of power beside the usual one for the age.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FadeVerdict {
    /// The usual loss lies inside the band.
    AsUsual,
    /// Even the least that the band leaves open is more than usual.
    Faster,
    /// Even the most that the band leaves open is less than usual.
    Slower,
}

/// How far a panel of a kind has faded.
///
/// # Errors
/// As [`estimate_label`].
pub fn estimate_fade(measured: &MeasuredPanel, kind: &Kind) -> Result<Fade, EstimateError> {
    let estimate = estimate_label(measured, &Prior::of_worn(kind))?;
    let label = &kind.label;
    let lost = |today: &Band, then: f64| Band {
        value: 100.0 * (1.0 - today.value / then),
        low: 100.0 * (1.0 - today.high / then),
        high: 100.0 * (1.0 - today.low / then),
    };
    let p_mp_percent = lost(&estimate.bands.p_mp, (label.v_mp * label.i_mp).watts());
    let usual = kind.age_years.map(|age| {
        let usual = FADE_PERCENT_PER_YEAR * age;
        let verdict = match usual {
            u if u < p_mp_percent.low => FadeVerdict::Faster,
            u if u > p_mp_percent.high => FadeVerdict::Slower,
            _ => FadeVerdict::AsUsual,
        };
        (usual, verdict)
    });
    Ok(Fade {
        v_oc_percent: lost(&estimate.bands.v_oc, label.v_oc.volts()),
        i_sc_percent: lost(&estimate.bands.i_sc, label.i_sc.amps()),
        p_mp_percent,
        usual,
        estimate,
    })
}
