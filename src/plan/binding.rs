//! What keeps a panel out of the best plan.

use super::{Unit, Yield};
use crate::model::ArrayWiring;
use crate::units::Watts;

/// The best plan that has a panel which the best plan of all leaves out.
#[derive(Debug, Clone, PartialEq)]
pub struct Certificate {
    /// Its wiring on the planned input.
    pub wiring: ArrayWiring,
    /// Its watts. \[W\]
    pub watts: Watts,
    /// Its watts less those of the best plan. \[W\]
    pub change: Watts,
    /// The same as energy, where energy was sought.
    pub change_energy: Option<Yield>,
    /// What binds, found by lifting it alone; `None` if no single limit does.
    pub binding: Option<Binding>,
}

/// What keeps a panel out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// No place for another string.
    NoPort,
    /// No room for another panel where it could go.
    NoRoom,
    /// The input's short-circuit current.
    InputCurrent,
    /// The input's power.
    InputPower,
    /// What the battery takes.
    BatteryCharge,
    /// Strings with it are too long for a cold morning.
    ColdVoltage,
    /// Strings with it are too short for the window on a hot noon.
    HotWindow,
    /// Current flowing back while the controller idles, or in a fault.
    ReverseCurrent,
    /// Its current does not match the string's.
    Current,
    /// Its voltage does not match the bus.
    Voltage,
}

impl Cause {
    /// The cause's name in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::NoPort => "no_port",
            Self::NoRoom => "no_room",
            Self::InputCurrent => "input_current",
            Self::InputPower => "input_power",
            Self::BatteryCharge => "battery_charge",
            Self::ColdVoltage => "cold_voltage",
            Self::HotWindow => "hot_window",
            Self::ReverseCurrent => "reverse_current",
            Self::Current => "current_mismatch",
            Self::Voltage => "voltage_mismatch",
        }
    }
}

/// A cause with both numbers, and what it costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Binding {
    /// What keeps it out.
    pub cause: Cause,
    /// The panel's, or the array's, figure.
    pub value: f64,
    /// What it is held against.
    pub limit: f64,
    /// Unit of both.
    pub unit: Unit,
    /// Watts that the panel would bring with this one thing lifted or matched. \[W\]
    pub unlocks: Watts,
    /// The same as energy, where energy was sought.
    pub unlocks_energy: Option<Yield>,
}
