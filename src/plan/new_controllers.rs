//! Spare controllers that a wiring uses, and what hanging one up takes.

use super::Joints;
use crate::electrical::label_watts;
use crate::model::{Controller, InputWiring, Installation};
use crate::units::Watts;

/// Joints of a controller that is hung up: two poles towards its panels, two towards its battery.
const JOINTS_EACH: usize = 4;

/// Label watts beyond what an output passes count by this part less, where there are spare
/// controllers to choose among: such watts come in weak sun alone.
pub const BEYOND_OUTPUT: f64 = 0.5;

/// What is taken off for label watts beyond the outputs of controllers with one input, controller by
/// controller; nothing where no spare controller can be used. \[W\]
#[must_use]
pub fn beyond_outputs(installation: &Installation, wiring: &[InputWiring]) -> Vec<(usize, Watts)> {
    if !installation.weighs_outputs() {
        return Vec::new();
    }
    let beyond = |(c, controller): (usize, &Controller)| {
        let most = controller.clip_limit().filter(|_| controller.n_inputs == 1)?;
        let own = wiring.iter().filter(|w| w.at.controller == c);
        let label: Watts = own.map(|w| label_watts(&w.array, &installation.kinds)).sum();
        let beyond = (label - most).watts();
        (beyond > 0.0).then_some((c, Watts(BEYOND_OUTPUT * beyond)))
    };
    installation.controllers.iter().enumerate().filter_map(beyond).collect()
}

/// The spare controllers to which something is wired, ascending.
#[must_use]
pub fn spare_controllers_used(installation: &Installation, wiring: &[InputWiring]) -> Vec<usize> {
    let used = wiring.iter().filter(|w| !w.array.strings.is_empty() && installation.is_spare(w.at));
    let mut controllers: Vec<usize> = used.map(|w| w.at.controller).collect();
    controllers.sort_unstable();
    controllers.dedup();
    controllers
}

/// Joints with those of so many controllers that are hung up.
#[must_use]
pub fn with_controllers(joints: Joints, n_controllers: usize) -> Joints {
    Joints { made: joints.made + JOINTS_EACH * n_controllers, ..joints }
}
