//! What a meter showed on an array after the work: string by string, and at work.

use super::{Accuracy, InputRef};
use crate::units::{Celsius, Irradiance};

/// Everything that was read on an array. Valid by construction in `input`: at least one reading, every
/// string there, values finite and of a size that can be.
#[derive(Debug, Clone, PartialEq)]
pub struct ArrayReadings {
    /// Under one sun each, in file order.
    pub sets: Vec<ReadingSet>,
    /// How far the instruments may be off.
    pub accuracy: Accuracy,
}

/// What was read under one sun.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingSet {
    /// The person's own word for it.
    pub note: Option<String>,
    /// Irradiance in the plane of the panels. \[W/m²\]
    pub irradiance: Irradiance,
    /// How warm the cells were.
    pub warmth: Warmth,
    /// In file order.
    pub readings: Vec<ArrayReading>,
}

/// By what the temperature of the cells is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warmth {
    /// The cells' own temperature.
    Cells(Celsius),
    /// That of the back of a panel.
    Back(Celsius),
    /// That of the air alone: the cells follow by the panels' NOCT.
    Air(Celsius),
}

/// One figure that a meter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArrayReading {
    /// On which input.
    pub at: InputRef,
    /// Where and what.
    pub spot: Spot,
    /// Volts or amps. A voltage below zero is a wrong polarity.
    pub value: f64,
    /// Size of the last digit that was written down, in the same unit.
    pub digit: f64,
}

/// Where a meter is put, and what it reads there. Strings count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spot {
    /// Open-circuit voltage of a string by itself. \[V\]
    StringVoc(usize),
    /// Short-circuit current of a string by itself. \[A\]
    StringIsc(usize),
    /// Current of a string at work. \[A\]
    StringAmps(usize),
    /// Voltage at the open disconnect, all strings joined. \[V\]
    OpenVolts,
    /// Voltage at the controller, at work. \[V\]
    WorkVolts,
    /// Current into the controller, at work. \[A\]
    WorkAmps,
}

impl Spot {
    /// Is it a voltage?
    #[must_use]
    pub fn is_volts(self) -> bool {
        matches!(self, Self::StringVoc(_) | Self::OpenVolts | Self::WorkVolts)
    }

    /// The string that is read, if it is one.
    #[must_use]
    pub fn string(self) -> Option<usize> {
        match self {
            Self::StringVoc(s) | Self::StringIsc(s) | Self::StringAmps(s) => Some(s),
            Self::OpenVolts | Self::WorkVolts | Self::WorkAmps => None,
        }
    }

    /// Is it read while the controller works?
    #[must_use]
    pub fn is_at_work(self) -> bool {
        matches!(self, Self::StringAmps(_) | Self::WorkVolts | Self::WorkAmps)
    }
}
