//! Charge controllers and other converters with a DC window.

use crate::units::{Amps, Volts, Watts};

/// How the input treats the array.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ControllerType {
    /// Looks for the highest power inside its window.
    Mppt,
    /// Holds the array at battery voltage.
    Pwm,
}

/// What hangs on the output.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Output {
    /// A battery.
    Battery(BatteryBank),
    /// Grid or pump inverter: no battery.
    Converter {
        /// Voltage at which it begins to run. \[V\]
        start: Option<Volts>,
        /// Output above which it clips. \[W\]
        max_out: Option<Watts>,
    },
}

/// The battery as the controller sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BatteryBank {
    /// Nominal voltage. \[V\]
    pub nominal: Volts,
    /// Charging voltage as given; `None` means 1.2 × nominal. \[V\]
    pub charge: Option<Volts>,
    /// Output current limit: above it the controller clips, which is no breach. \[A\]
    pub charge_limit: Option<Amps>,
}

impl BatteryBank {
    /// Charging voltage: as given, or 1.2 × nominal. \[V\]
    #[must_use]
    pub fn charging_voltage(&self) -> Volts {
        self.charge.unwrap_or(self.nominal * 1.2)
    }
}

/// One of the controllers that stand ready, wired to nothing today.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareUnit {
    /// What the file calls its sort; all units of a sort are alike.
    pub sort: String,
    /// Which of the sort, from 1.
    pub unit: usize,
    /// How many of the sort there are, be they weighed or not.
    pub of: usize,
    /// What one costs, or would sell for, in any currency.
    pub price: Option<f64>,
}

/// A charge controller, or any converter with a DC window.
#[derive(Debug, Clone, PartialEq)]
pub struct Controller {
    /// The person's own name for it.
    pub id: String,
    /// MPPT or PWM. PWM always has a battery.
    pub controller_type: ControllerType,
    /// What hangs on the output.
    pub output: Output,
    /// Absolute maximum voltage of an input. \[V\]
    pub max_pv: Volts,
    /// Tracking range, low and high; `None` only for PWM. \[V\]
    pub window: Option<(Volts, Volts)>,
    /// Short-circuit current the input may see; `None` if the maker does not say. \[A\]
    pub max_pv_current: Option<Amps>,
    /// Array power, only where the maker states it as a limit. \[W\]
    pub max_pv_power: Option<Watts>,
    /// Independent trackers.
    pub n_inputs: usize,
    /// Places for strings on each input's combiner.
    pub string_ports: usize,
    /// Each string has its own blocking diode (0.5 V lost, no reverse current).
    pub blocking_diodes: bool,
    /// Share of the array's power that comes out; `None` if the maker does not say.
    pub efficiency: Option<f64>,
    /// Is it a spare, and which; `None` for one that is installed.
    pub spare: Option<SpareUnit>,
}

impl Controller {
    /// Nominal voltage of the battery that it charges; `None` for a converter without one. \[V\]
    #[must_use]
    pub fn battery(&self) -> Option<Volts> {
        match self.output {
            Output::Battery(bank) => Some(bank.nominal),
            Output::Converter { .. } => None,
        }
    }

    /// Most current that it pushes into its battery, if it has one and the maker says it. \[A\]
    #[must_use]
    pub fn charge_limit(&self) -> Option<Amps> {
        match self.output {
            Output::Battery(bank) => bank.charge_limit,
            Output::Converter { .. } => None,
        }
    }

    /// Output power above which the controller clips. \[W\]
    #[must_use]
    pub fn clip_limit(&self) -> Option<Watts> {
        match self.output {
            Output::Battery(bank) => bank.charge_limit.map(|i| bank.charging_voltage() * i),
            Output::Converter { max_out, .. } => max_out,
        }
    }

    /// The voltages at which the input can hold the array: the window, or for PWM the charging voltage alone. \[V\]
    #[must_use]
    pub fn hold_range(&self) -> (Volts, Volts) {
        match (self.controller_type, self.output, self.window) {
            (ControllerType::Pwm, Output::Battery(bank), _) => {
                (bank.charging_voltage(), bank.charging_voltage())
            }
            (_, _, Some(window)) => window,
            (_, _, None) => (Volts(0.0), self.max_pv),
        }
    }
}
