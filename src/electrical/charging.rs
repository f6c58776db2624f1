//! What an array can push into a battery, by hand arithmetic: common practice, no source.

use super::{label_watts, string_i_sc};
use crate::model::{ArrayWiring, Controller, ControllerType, Kind};
use crate::units::{Amps, Volts};

/// Current that an array can push into a battery of this nominal voltage, the controller's own
/// limit aside.
///
/// MPPT turns watts into amps: label watts over the nominal voltage, near which an empty battery
/// stands. PWM passes the array's own current on: the sum of its strings' short-circuit currents.
#[must_use]
pub fn charging_current(
    array: &ArrayWiring,
    controller: &Controller,
    nominal: Volts,
    kinds: &[Kind],
) -> Amps {
    match controller.controller_type {
        ControllerType::Mppt => Amps(label_watts(array, kinds).watts() / nominal.volts()),
        ControllerType::Pwm => array.strings.iter().map(|s| string_i_sc(s, kinds)).sum(),
    }
}
