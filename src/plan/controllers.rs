//! What becomes of spare controllers, and which class of controller would carry what is left over.

use super::{Help, Verdict};
use crate::model::{ArrayWiring, ControllerType, KindIdx};
use crate::units::{Amps, KilowattHours, Volts, Watts};

/// The answer for one sort of spare controller.
#[derive(Debug, Clone, PartialEq)]
pub struct ControllerAnswer {
    /// What the file calls it.
    pub sort: String,
    /// How many there are.
    pub offered: usize,
    /// How many of them the best plan uses.
    pub used: usize,
    /// Watts that come out at full sun more than without this sort. \[W\]
    pub adds: Watts,
    /// The same over a year; `None` where none is used, or without a year of sun. \[kWh\]
    pub adds_energy: Option<KilowattHours>,
    /// In one word.
    pub verdict: Verdict,
    /// Why no more of them are used; empty where all are.
    pub because: String,
    /// The smallest change after which one would be used; empty where it is.
    pub would_help: String,
    /// Every change that was found to help, from the smallest.
    pub helps: Vec<Help>,
    /// What one costs, or would sell for, in any currency.
    pub price: Option<f64>,
}

/// Panels that the best plan leaves over, on a controller of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnController {
    /// The panels left over.
    pub panels: Vec<(KindIdx, usize)>,
    /// The classes that would carry them, MPPT first.
    pub classes: Vec<ControllerClass>,
    /// In plain words, against what they would bring if wired in.
    pub words: String,
}

/// A class of small controller, and what panels give on it.
#[derive(Debug, Clone, PartialEq)]
pub struct ControllerClass {
    /// MPPT or PWM.
    pub controller_type: ControllerType,
    /// Nominal voltage of the battery. \[V\]
    pub battery: Volts,
    /// Voltage that its input must bear at least, the next usual rating. \[V\]
    pub max_pv: Volts,
    /// Charging current that it must give at least, the next usual rating. \[A\]
    pub charge: Amps,
    /// How the panels are wired to it.
    pub wiring: ArrayWiring,
    /// What they give. \[W\]
    pub watts: Watts,
    /// What comes out over a year; `None` without a year of sun. \[kWh\]
    pub energy: Option<KilowattHours>,
}
