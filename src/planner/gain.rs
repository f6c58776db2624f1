//! What one wiring brings beyond another.

use super::season::Season;
use crate::plan::Yield;
use crate::units::Watts;

/// What one wiring brings beyond another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Gain {
    /// At full sun. \[W\]
    pub watts: f64,
    /// Of what is sought: watts, or the value of a season.
    pub sought: f64,
}

impl Gain {
    /// A gain in watts, where watts are sought.
    pub(super) fn of_watts(watts: f64) -> Self {
        Self { watts, sought: watts }
    }

    pub(super) fn watts(self) -> Watts {
        Watts(self.watts)
    }

    /// As energy, where energy is sought.
    pub(super) fn energy(self, season: Option<&Season>) -> Option<Yield> {
        season.map(|season| season.yields(self.sought))
    }
}

/// `58 W`, or `12 kWh a year` where energy is sought.
pub(super) fn said(watts: Watts, energy: Option<Yield>) -> String {
    energy.map_or_else(|| format!("{:.0} W", watts.watts()), Yield::in_words)
}
