//! Charging current, so far as a battery's limit bears on it.

use super::terms::Charging;
use crate::electrical::charging_current;
use crate::model::{ArrayWiring, ControllerType, InputRef, Installation};
use crate::patterns::{Bench, Pattern};
use crate::plan::charging_flows;
use crate::units::Amps;

/// What an input may push into the battery while all others stand as they do; `None` where that can
/// be anything.
pub(super) fn left_for(installation: &Installation, at: InputRef) -> Option<Charging> {
    let limit = installation.site.battery_charge?;
    if !installation.charges_limited_battery(at.controller) {
        return None;
    }
    let flows = charging_flows(installation, &installation.installed);
    let others: Amps =
        flows.iter().filter(|(c, _)| *c != at.controller).map(|(_, amps)| *amps).sum();
    let left = limit - others;
    let controller = installation.controller(at);
    if controller.charge_limit().is_some_and(|most| most <= left) {
        return None;
    }
    let siblings = installation.installed.iter().filter(|w| w.at != at);
    let siblings = siblings.filter(|w| w.at.controller == at.controller);
    let pushed: Amps = siblings.map(|w| pushed(installation, w.at, &w.array)).sum();
    Some(Charging::at_most((left - pushed).amps()))
}

/// What an array on an input can push into the limited battery, the controller's own limit aside.
pub(super) fn pushed(installation: &Installation, at: InputRef, array: &ArrayWiring) -> Amps {
    let controller = installation.controller(at);
    match controller.battery() {
        Some(nominal) if installation.charges_limited_battery(at.controller) => {
            charging_current(array, controller, nominal, &installation.kinds)
        }
        _ => Amps(0.0),
    }
}

/// The same of one candidate. \[A\]
pub(super) fn pushed_by(pattern: &Pattern, bench: &Bench) -> f64 {
    let controller = bench.controller();
    match (controller.battery(), controller.controller_type) {
        (Some(nominal), ControllerType::Mppt) => pattern.label / nominal.volts(),
        (Some(_), ControllerType::Pwm) => pattern.i_sc,
        (None, _) => 0.0,
    }
}
