//! Elements, strings and arrays: curves and label sums.

use itertools::Itertools;

use super::{Curve, CurveSet, cold_factor};
use crate::model::{ArrayWiring, Element, Kind, PanelString};
use crate::units::{Amps, Celsius, Volts, Watts};

/// Voltage lost over a string's blocking diode. \[V\] (common practice, no source)
pub const BLOCKING_DIODE_DROP: Volts = Volts(0.5);

/// Curve of one element: a panel, or panels in parallel.
#[must_use]
pub fn element_curve(element: &Element, curves: &CurveSet) -> Curve {
    match element.members() {
        [kind] => curves.panel(*kind).clone(),
        members => {
            let parts: Vec<&Curve> = members.iter().map(|k| curves.panel(*k)).collect();
            Curve::in_parallel(&parts)
        }
    }
}

/// Curve of a string: its elements in series.
#[must_use]
pub fn string_curve(string: &PanelString, curves: &CurveSet) -> Curve {
    let elements: Vec<Curve> =
        string.elements().iter().sorted().map(|e| element_curve(e, curves)).collect();
    Curve::in_series(&elements.iter().collect::<Vec<_>>())
}

/// Curve of an array: its strings in parallel, each behind its blocking diode if it has one;
/// `None` if there are no strings.
#[must_use]
pub fn array_curve(array: &ArrayWiring, curves: &CurveSet, blocking_diodes: bool) -> Option<Curve> {
    if array.strings.is_empty() {
        return None;
    }
    let strings: Vec<Curve> = array
        .strings
        .iter()
        .map(|s| {
            let curve = string_curve(s, curves);
            if blocking_diodes { curve.behind_diode(BLOCKING_DIODE_DROP) } else { curve }
        })
        .collect();
    Some(Curve::in_parallel(&strings.iter().collect::<Vec<_>>()))
}

/// Where an open-circuit voltage at low temperature comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VocSource {
    /// Every label gave its coefficient.
    Label,
    /// At least one label gave none: the code's table of factors stands in for it.
    Table,
}

/// Open-circuit voltage of a string at a low temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColdVoc {
    /// By label coefficients, by the table for kinds without one. \[V\]
    pub v_oc: Volts,
    /// By the table for all kinds. \[V\]
    pub by_table: Volts,
    /// Which of the two `v_oc` is.
    pub source: VocSource,
}

/// Open-circuit voltage of a string with its cells at a low temperature, from labels.
///
/// A block counts with its highest member. US NEC 690.7(A): maker's coefficient, else table.
/// Above 25 °C the coefficient is not applied: the figure is never below the label's.
#[must_use]
pub fn cold_v_oc(string: &PanelString, kinds: &[Kind], coldest: Celsius) -> ColdVoc {
    let below = (25.0 - coldest.celsius()).max(0.0);
    let table = cold_factor(coldest);
    let factor =
        |kind: &Kind| kind.v_oc_coefficient.map_or(table, |c| 1.0 - c.fraction_per_k() * below);
    let highest = |element: &Element, f: &dyn Fn(&Kind) -> f64| {
        element
            .members()
            .iter()
            .map(|k| kinds[k.0].highest_v_oc().volts() * f(&kinds[k.0]))
            .fold(0.0, f64::max)
    };
    let total =
        |f: &dyn Fn(&Kind) -> f64| Volts(string.elements().iter().map(|e| highest(e, f)).sum());
    let all_given = string.panels().all(|k| kinds[k.0].v_oc_coefficient.is_some());
    ColdVoc {
        v_oc: total(&factor),
        by_table: total(&|_| table),
        source: if all_given { VocSource::Label } else { VocSource::Table },
    }
}

/// Short-circuit current of an element by its labels: members in parallel add. \[A\]
#[must_use]
pub fn element_i_sc(element: &Element, kinds: &[Kind]) -> Amps {
    element.members().iter().map(|k| kinds[k.0].highest_i_sc()).sum()
}

/// Short-circuit current of a string by its labels: that of its strongest element, since bypass
/// diodes carry it past the weaker ones. \[A\]
#[must_use]
pub fn string_i_sc(string: &PanelString, kinds: &[Kind]) -> Amps {
    string
        .elements()
        .iter()
        .map(|e| element_i_sc(e, kinds))
        .reduce(Amps::max)
        .expect("a string has at least one element")
}

/// Sum of label watts of every panel in an array. \[W\]
#[must_use]
pub fn label_watts(array: &ArrayWiring, kinds: &[Kind]) -> Watts {
    array.panels().map(|k| kinds[k.0].label.p_mp).sum()
}
