//! The trade's hand arithmetic, the nameplate rule: common practice, no source.
//!
//! A string carries its lowest Imp at the sum of its Vmp; parallel strings meet at the lowest
//! string voltage and their currents add. Where panels stand on several planes, a panel's current is
//! in proportion to the sun on its own; its voltage is taken to stay (common practice, no source).

use super::Point;
use crate::model::{ArrayWiring, Element, Kind, PanelString};
use crate::units::{Amps, Volts};

/// A string by the nameplate rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NameplateString {
    /// Sum of Vmp, a block at its lowest. \[V\]
    pub v: Volts,
    /// Lowest Imp, a block at its sum. \[A\]
    pub i: Amps,
}

/// A string by the nameplate rule.
#[must_use]
pub fn nameplate_string(string: &PanelString, kinds: &[Kind]) -> NameplateString {
    let element = |e: &Element| {
        let members = || e.members().iter().map(|k| &kinds[k.0]);
        let v = members().map(|kind| kind.label.v_mp.volts()).fold(f64::INFINITY, f64::min);
        let i: f64 = members().map(|kind| kind.design_i_mp().amps()).sum();
        (v, i)
    };
    let (v, i) = string
        .elements()
        .iter()
        .map(element)
        .fold((0.0, f64::INFINITY), |(v, i), (ve, ie)| (v + ve, i.min(ie)));
    NameplateString { v: Volts(v), i: Amps(i) }
}

/// An array by the nameplate rule, held between two voltages: above the range it is held at its
/// top, below its bottom it gives nothing. `None` if there are no strings.
#[must_use]
pub fn nameplate_array(array: &ArrayWiring, kinds: &[Kind], lo: Volts, hi: Volts) -> Option<Point> {
    let strings: Vec<NameplateString> =
        array.strings.iter().map(|s| nameplate_string(s, kinds)).collect();
    let lowest = strings.iter().map(|s| s.v).reduce(Volts::min)?;
    let i = if lowest < lo { Amps(0.0) } else { strings.iter().map(|s| s.i).sum() };
    Some(Point { v: lowest.min(hi), i })
}
