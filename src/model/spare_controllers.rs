//! Controllers that stand ready, and the battery that all charge together.

use super::{InputRef, Installation};
use crate::units::Volts;

impl Installation {
    /// Does an input belong to a controller that stands ready, wired to nothing today?
    #[must_use]
    pub fn is_spare(&self, at: InputRef) -> bool {
        self.controller(at).spare.is_some()
    }

    /// Does a controller fit what is there: a battery of its voltage that an installed one charges, or
    /// an installed converter for one without a battery?
    #[must_use]
    pub fn has_output_for(&self, controller: usize) -> bool {
        let own = self.controllers[controller].battery();
        self.controllers.iter().any(|c| c.spare.is_none() && same_battery(c.battery(), own))
    }

    /// Are there spare controllers that fit what is there, so that outputs are weighed against each
    /// other?
    #[must_use]
    pub fn weighs_outputs(&self) -> bool {
        let mut controllers = self.controllers.iter().enumerate();
        controllers.any(|(c, its)| its.spare.is_some() && self.has_output_for(c))
    }

    /// The battery that `battery_charge` is about: that of the first installed controller which
    /// charges one. \[V\]
    #[must_use]
    pub fn limited_battery(&self) -> Option<Volts> {
        self.controllers.iter().filter(|c| c.spare.is_none()).find_map(super::Controller::battery)
    }

    /// Does a controller charge the battery that `battery_charge` is about?
    #[must_use]
    pub fn charges_limited_battery(&self, controller: usize) -> bool {
        let own = self.controllers[controller].battery();
        own.is_some() && same_battery(self.limited_battery(), own)
    }

    /// The spare controllers sort by sort, in file order: the places of their units.
    #[must_use]
    pub fn spare_sorts(&self) -> Vec<Vec<usize>> {
        let mut sorts: Vec<Vec<usize>> = Vec::new();
        for (c, controller) in self.controllers.iter().enumerate() {
            match &controller.spare {
                Some(spare) if spare.unit == 1 => sorts.push(vec![c]),
                Some(_) => sorts.last_mut().expect("a sort begins with unit 1").push(c),
                None => {}
            }
        }
        sorts
    }

    /// The same site without its spare controllers.
    #[must_use]
    pub fn without_spare_controllers(&self) -> Self {
        let mut without = self.clone();
        without.installed.retain(|w| !self.is_spare(w.at));
        without.runs.retain(|run| !self.is_spare(run.at));
        without.controllers.retain(|c| c.spare.is_none());
        without
    }
}

/// One battery has one nominal voltage; no battery is like no battery.
fn same_battery(a: Option<Volts>, b: Option<Volts>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a.volts() - b.volts()).abs() < 1e-6,
        (None, None) => true,
        _ => false,
    }
}
