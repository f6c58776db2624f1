//! What a meter showed on one panel, and how far the instruments may be off.

use crate::units::{Amps, Celsius, Irradiance, Volts};

/// One reading of one panel: taken at one time, under one light.
///
/// Valid by construction in `input`: all positive and finite, and at least one of `irradiance` and
/// `twin_i_sc` there.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelReading {
    /// What messages call it: `line 3`, or the person's own note.
    pub name: String,
    /// Open-circuit voltage as read. \[V\]
    pub v_oc: Volts,
    /// Short-circuit current as read. \[A\]
    pub i_sc: Amps,
    /// Irradiance in the plane of the panel, if an instrument showed it. \[W/m²\]
    pub irradiance: Option<Irradiance>,
    /// Short-circuit current of a twin panel of known label beside it, at the same time. \[A\]
    pub twin_i_sc: Option<Amps>,
    /// Temperature of the back of the panel. \[°C\]
    pub temp_back: Celsius,
    /// Voltage and current into a load, if one was put on. \[V\], \[A\]
    pub load: Option<(Volts, Amps)>,
}

/// One standard deviation of a single reading by each instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// The meter on volts. \[%\]
    pub volts_percent: f64,
    /// The meter on amperes. \[%\]
    pub amps_percent: f64,
    /// The irradiance meter. \[%\]
    pub irradiance_percent: f64,
    /// Temperature of the cells by way of the back. \[K\]
    pub temp_k: f64,
    /// How far the twin's true short-circuit current may be from its label. \[%\]
    pub twin_percent: f64,
}

impl Default for Accuracy {
    /// A hand-held meter 1 %, a hand-held irradiance meter 5 %, the back's temperature 2 K, a twin's
    /// label 3 % (common practice, no source).
    fn default() -> Self {
        Self {
            volts_percent: 1.0,
            amps_percent: 1.0,
            irradiance_percent: 5.0,
            temp_k: 2.0,
            twin_percent: 3.0,
        }
    }
}

/// Everything that was read on one panel, or on several of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredPanel {
    /// At least one.
    pub readings: Vec<PanelReading>,
    /// How far the instruments may be off.
    pub accuracy: Accuracy,
    /// Cells in series, if they were counted.
    pub cells: Option<usize>,
    /// Short-circuit current on the twin's label; there if any reading has a twin. \[A\]
    pub twin_label_i_sc: Option<Amps>,
}
