//! Single changes to an installation, for solving again with one thing different.

use super::terms::Terms;
use crate::model::{ArrayWiring, InputRef, Installation, KindIdx, Output};
use crate::units::{Amps, Volts};

/// Usual maximum voltages of controllers and converters. \[V\] (common practice, no source)
pub(super) const VOLTAGE_RATINGS: [f64; 10] =
    [50.0, 75.0, 100.0, 150.0, 200.0, 250.0, 450.0, 600.0, 800.0, 1000.0];
/// Usual current ratings, of inputs and of outputs. \[A\] (common practice, no source)
pub(super) const CURRENT_RATINGS: [f64; 13] =
    [10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 120.0, 150.0, 200.0];

/// A change that only moves a limit which adds up over the array.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Row {
    /// One more place for a string.
    Port,
    /// Any short-circuit current.
    AnyCurrent,
    /// The next usual current rating of the input.
    NextCurrent,
    /// Any array power.
    AnyPower,
    /// Any charging current.
    AnyCharge,
}

impl Row {
    /// The terms with this limit moved; `None` if there is no such limit.
    pub(super) fn apply(
        self,
        terms: &Terms,
        installation: &Installation,
        at: InputRef,
    ) -> Option<Terms> {
        let mut moved = terms.clone();
        match self {
            Self::Port => moved.ports += 1,
            Self::AnyCurrent => {
                moved.current.take()?;
            }
            Self::NextCurrent => {
                let rating = installation.controller(at).max_pv_current?;
                moved.current = Some(next_current(rating)?.amps() / installation.site.isc_factor);
            }
            Self::AnyPower => {
                moved.power.take()?;
            }
            Self::AnyCharge => {
                moved.charging.take()?;
            }
        }
        Some(moved)
    }
}

/// A change after which candidates must be listed anew.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Refit {
    /// Blocks one panel larger.
    LargerBlocks,
    /// Room for any number of panels on every plane.
    AnyRoom,
    /// The next usual voltage rating of the controller.
    NextVoltage,
    /// No lower end of the window, and no voltage needed to start.
    NoFloor,
    /// A blocking diode on each string.
    Diodes,
    /// No fuse rating on any label is exceeded.
    AnyReverse,
    /// The currents of the kind's label times this.
    Currents(f64),
    /// Its voltages times this.
    Voltages(f64),
    /// An input of the same controller with nothing else on it.
    OwnInput,
}

impl Refit {
    /// The installation after the change; `None` where it makes no sense.
    pub(super) fn apply(
        self,
        installation: &Installation,
        at: InputRef,
        kind: KindIdx,
    ) -> Option<Installation> {
        let mut changed = installation.clone();
        let controller = &mut changed.controllers[at.controller];
        match self {
            Self::LargerBlocks => changed.site.block_max += 1,
            Self::AnyRoom => {
                let planes = &mut changed.site.sun.planes;
                if planes.iter().all(|plane| plane.room.is_none()) {
                    return None;
                }
                planes.iter_mut().for_each(|plane| plane.room = None);
            }
            Self::NextVoltage => {
                let next = next_voltage(controller.max_pv)?;
                let reach = next - controller.max_pv;
                controller.max_pv = next;
                controller.window = controller.window.map(|(lo, hi)| (lo, hi + reach));
            }
            Self::NoFloor => {
                let (_, hi) = controller.window?;
                controller.window = Some((Volts(1.0), hi));
                if let Output::Battery(bank) = &mut controller.output {
                    bank.charge = Some(Volts(0.0));
                }
            }
            Self::Diodes => {
                if controller.blocking_diodes {
                    return None;
                }
                controller.blocking_diodes = true;
            }
            Self::AnyReverse => {
                let rated = changed.kinds.iter().any(|k| k.max_fuse.is_some());
                if !rated {
                    return None;
                }
                changed.kinds.iter_mut().for_each(|k| k.max_fuse = None);
            }
            Self::Currents(factor) => {
                for k in installation.same_label(kind) {
                    let label = &mut changed.kinds[k.0].label;
                    label.i_mp = label.i_mp * factor;
                    label.i_sc = label.i_sc * factor;
                    label.p_mp = label.p_mp * factor;
                }
            }
            Self::Voltages(factor) => {
                for k in installation.same_label(kind) {
                    let label = &mut changed.kinds[k.0].label;
                    label.v_mp = label.v_mp * factor;
                    label.v_oc = label.v_oc * factor;
                    label.p_mp = label.p_mp * factor;
                }
            }
            Self::OwnInput => strip(&mut changed, at, kind),
        }
        Some(changed)
    }

    /// Does the change alter the kind's own label, so that its curve must be fitted again?
    pub(super) fn alters_label(self) -> bool {
        matches!(self, Self::Currents(_) | Self::Voltages(_))
    }
}

/// Nothing installed on the input and no spares but of one kind; what stood there of it is spare.
fn strip(changed: &mut Installation, at: InputRef, kind: KindIdx) {
    for wiring in changed.installed.iter_mut().filter(|w| w.at == at) {
        wiring.array = ArrayWiring::default();
    }
    changed.spares.retain(|s| s.kinds().contains(&kind));
}

/// The next usual voltage rating.
pub(super) fn next_voltage(v: Volts) -> Option<Volts> {
    VOLTAGE_RATINGS.into_iter().find(|r| *r > v.volts() * 1.001).map(Volts)
}

/// The next usual current rating.
pub(super) fn next_current(i: Amps) -> Option<Amps> {
    CURRENT_RATINGS.into_iter().find(|r| *r > i.amps() * 1.001).map(Amps)
}
