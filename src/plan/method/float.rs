//! Currents that flow between panels while nothing draws from them.
//!
//! Strings that are joined but isolated from the controller float where their currents sum to zero:
//! unequal ones push current into each other, and so do unequal panels of a block. Such a current is
//! there with the array's disconnect open; a joint in its path would part under load.

use crate::electrical::{Curve, CurveSet, array_curve, element_curve, string_curve};
use crate::model::{ArrayWiring, Element};
use crate::plan::Evaluator;
use crate::units::Amps;

/// Currents below this are leakage: the display of a clamp meter shows none. \[A\]
const NOTHING: Amps = Amps(0.05);

/// The largest current between strings, and between the members of any block, while the array floats:
/// under whichever sky is worst. \[A\]
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Circulating {
    /// Into the string that takes most.
    pub(super) strings: Amps,
    /// Into the member of a block that takes most.
    pub(super) members: Amps,
}

impl Circulating {
    /// Of both the larger.
    pub(super) fn largest(self) -> Amps {
        self.strings.max(self.members)
    }
}

/// What circulates in strings that are joined and isolated from the controller.
pub(super) fn circulating(
    evaluator: &Evaluator,
    array: &ArrayWiring,
    has_diodes: bool,
) -> Circulating {
    evaluator.floating_curves().iter().fold(Circulating::default(), |worst, curves| {
        let here = circulating_at(curves, array, has_diodes);
        Circulating {
            strings: worst.strings.max(here.strings),
            members: worst.members.max(here.members),
        }
    })
}

fn circulating_at(curves: &CurveSet, array: &ArrayWiring, has_diodes: bool) -> Circulating {
    // Behind blocking diodes each string floats by itself.
    let bus = (!has_diodes).then(|| array_curve(array, curves, false)).flatten();
    let mut worst = Circulating::default();
    for string in &array.strings {
        let i = bus
            .as_ref()
            .map_or(Amps(0.0), |bus| string_curve(string, curves).current_at(bus.v_oc()));
        worst.strings = worst.strings.max(no_leakage(Amps(-i.amps())));
        for block in string.elements().iter().filter(|e| e.is_block()) {
            worst.members = worst.members.max(into_members(curves, block, i));
        }
    }
    worst
}

/// The largest current into a member of a block that carries this one in all. \[A\]
fn into_members(curves: &CurveSet, block: &Element, i: Amps) -> Amps {
    let v = element_curve(block, curves).voltage_at(i);
    let into = |curve: &Curve| no_leakage(Amps(-curve.current_at(v).amps()));
    block.members().iter().map(|k| into(curves.panel(*k))).fold(Amps(0.0), Amps::max)
}

fn no_leakage(i: Amps) -> Amps {
    if i > NOTHING { i } else { Amps(0.0) }
}
