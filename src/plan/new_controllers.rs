//! Spare controllers that a wiring uses, and what hanging one up takes.

use super::Joints;
use crate::model::{InputWiring, Installation};

/// Joints of a controller that is hung up: two poles towards its panels, two towards its battery.
const JOINTS_EACH: usize = 4;

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
