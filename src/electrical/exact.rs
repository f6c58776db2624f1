//! The same array without knots: root-finding on the diode equation itself.
//!
//! Simple, and sharing nothing with the curve algebra, so that an error there cannot hide from the
//! audit, which works with this.

use super::{BLOCKING_DIODE_DROP, Catalog, Condition, SingleDiode};
use crate::model::{ArrayWiring, Element, KindIdx, PanelString};
use crate::units::{Amps, Volts};

/// A root is good enough here. \[V\] or \[A\]
const CLOSE: f64 = 1e-11;

/// No bus pushes more than this through a string. \[A\]
const FARTHEST_BACK: f64 = 1.0e5;

/// A string at one condition per kind, evaluated on the diode equation.
#[derive(Debug, Clone)]
pub struct ExactString {
    elements: Vec<ExactElement>,
    /// Voltage lost over its blocking diode, if it has one. \[V\]
    diode_drop: Option<f64>,
}

/// Panels in parallel, or one.
#[derive(Debug, Clone)]
struct ExactElement(Vec<ExactPanel>);

/// One panel at its condition.
#[derive(Debug, Clone, Copy)]
struct ExactPanel {
    diode: SingleDiode,
    clamp: f64,
}

impl ExactString {
    /// A string with each kind at its own condition.
    #[must_use]
    pub fn new(
        string: &PanelString,
        catalog: &Catalog,
        condition: impl Fn(KindIdx) -> Condition,
        blocking_diodes: bool,
    ) -> Self {
        let elements =
            string.elements().iter().map(|e| ExactElement::new(e, catalog, &condition)).collect();
        Self { elements, diode_drop: blocking_diodes.then_some(BLOCKING_DIODE_DROP.volts()) }
    }

    /// Voltage at the string's ends while it carries a current. \[V\]
    #[must_use]
    pub fn voltage_at(&self, i: Amps) -> Volts {
        Volts(self.voltage_and_slope(i.amps()).0)
    }

    /// Current at a voltage; never negative behind a blocking diode. \[A\]
    #[must_use]
    pub fn current_at(&self, v: Volts) -> Amps {
        let photocurrents = || self.elements.iter().map(ExactElement::photocurrent);
        let total: f64 = photocurrents().sum();
        let none = Amps(0.0);
        if self.voltage_at(none) <= v {
            if self.diode_drop.is_some() {
                return none;
            }
            // How far backwards the bus may push it is open: widen until bracketed.
            let mut least = Amps(-total - 1.0);
            while self.voltage_at(least) < v && least.amps() > -FARTHEST_BACK {
                least = least * 4.0;
            }
            return self.current_within(v, (least, none));
        }
        // At no voltage below zero on any element, none carries more than its photocurrent.
        let strongest = photocurrents().fold(0.0, f64::max);
        let most = Amps(if v.volts() >= 0.0 { strongest } else { 1.5 * total });
        self.current_within(v, (none, most))
    }

    /// The same where it is known between which currents it lies: faster. \[A\]
    #[must_use]
    pub fn current_within(&self, v: Volts, (least, most): (Amps, Amps)) -> Amps {
        Amps(falling_root((least.amps(), most.amps()), |i| {
            let (voltage, slope) = self.voltage_and_slope(i);
            (voltage - v.volts(), slope)
        }))
    }

    /// Voltage at a current \[V\] and its change with it \[Ω\].
    fn voltage_and_slope(&self, i: f64) -> (f64, f64) {
        let start = (-self.diode_drop.unwrap_or(0.0), 0.0);
        self.elements
            .iter()
            .map(|e| e.voltage_and_slope(i))
            .fold(start, |s, e| (s.0 + e.0, s.1 + e.1))
    }
}

impl ExactElement {
    fn new(
        element: &Element,
        catalog: &Catalog,
        condition: &impl Fn(KindIdx) -> Condition,
    ) -> Self {
        let panel = |k: &KindIdx| {
            let model = catalog.model(*k);
            ExactPanel { diode: model.at(condition(*k)), clamp: model.lowest_voltage() }
        };
        Self(element.members().iter().map(panel).collect())
    }

    fn photocurrent(&self) -> f64 {
        self.0.iter().map(|p| p.diode.photocurrent).sum()
    }

    /// Voltage at a current \[V\] and its change with it \[Ω\]; none while a bypass diode conducts.
    fn voltage_and_slope(&self, i: f64) -> (f64, f64) {
        if let [panel] = &self.0[..] {
            return panel.voltage_and_slope(i);
        }
        let clamp = self.0.iter().map(|p| p.clamp).fold(f64::NEG_INFINITY, f64::max);
        let share = i / self.0.len() as f64;
        // None stands higher than the highest would if all carried an equal share.
        let right = self.0.iter().map(|p| p.diode.voltage_at_current(share)).fold(clamp, f64::max);
        // The sum of the members' currents falls and is concave: Newton from the right again.
        let sum = |v: f64| {
            let parts = self.0.iter().map(|p| p.current_and_slope(v));
            parts.fold((-i, 0.0), |s, p| (s.0 + p.0, s.1 + p.1))
        };
        let v = newton_from_right(right, clamp, sum);
        if v > clamp { (v, 1.0 / sum(v).1) } else { (clamp, 0.0) }
    }
}

impl ExactPanel {
    /// Voltage at a current \[V\] and its change with it \[Ω\], bypass diodes included.
    fn voltage_and_slope(&self, i: f64) -> (f64, f64) {
        let x = self.diode.junction_at_current(i);
        let rs = self.diode.resistance_series;
        let v = x - i * rs;
        if v > self.clamp {
            (v, 1.0 / self.diode.current_and_slope(x).1 - rs)
        } else {
            (self.clamp, 0.0)
        }
    }

    /// Current at a voltage above the clamp \[A\] and its change with it \[S\].
    fn current_and_slope(&self, v: f64) -> (f64, f64) {
        let (i, slope) = self.diode.current_and_slope(self.diode.junction_at_voltage(v));
        (i, slope / (1.0 - self.diode.resistance_series * slope))
    }
}

/// Voltage of an element at a current, each kind under its own condition. \[V\]
#[must_use]
pub fn exact_element_voltage(
    element: &Element,
    catalog: &Catalog,
    condition: impl Fn(KindIdx) -> Condition,
    i: Amps,
) -> Volts {
    Volts(ExactElement::new(element, catalog, &condition).voltage_and_slope(i.amps()).0)
}

/// Current of a string at a voltage, behind its blocking diode if it has one. \[A\]
#[must_use]
pub fn exact_string_current(
    string: &PanelString,
    catalog: &Catalog,
    condition: Condition,
    v: Volts,
    blocking_diodes: bool,
) -> Amps {
    ExactString::new(string, catalog, |_| condition, blocking_diodes).current_at(v)
}

/// Current of an array at a voltage. \[A\]
#[must_use]
pub fn exact_array_current(
    array: &ArrayWiring,
    catalog: &Catalog,
    condition: Condition,
    v: Volts,
    blocking_diodes: bool,
) -> Amps {
    array
        .strings
        .iter()
        .map(|s| exact_string_current(s, catalog, condition, v, blocking_diodes))
        .sum()
}

/// Root of a falling concave function by Newton's steps from a point right of it, not beyond `left`.
fn newton_from_right(right: f64, left: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut x = right;
    for _ in 0..500 {
        let (value, slope) = f(x);
        let next = (x - value / slope).max(left);
        // Rounding alone can turn it back, and then it is there.
        let nearer = next < x;
        if !nearer {
            break;
        }
        let step = x - next;
        x = next;
        if step <= 1e-15 * x.abs() {
            break;
        }
    }
    x
}

/// Root of a falling function between two ends, by value and slope; the nearer end if it has none.
///
/// Newton's steps as long as they stay inside the bracket and shrink; halvings otherwise.
fn falling_root((mut lo, mut hi): (f64, f64), f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut x = 0.5 * (lo + hi);
    let mut step = hi - lo;
    for _ in 0..200 {
        let (value, slope) = f(x);
        if value > 0.0 {
            lo = x
        } else {
            hi = x
        }
        if value.abs() < CLOSE || hi - lo < CLOSE {
            break;
        }
        let newton = x - value / slope;
        let sound = lo < newton && newton < hi && (newton - x).abs() < 0.5 * step;
        let next = if sound { newton } else { 0.5 * (lo + hi) };
        step = (next - x).abs();
        x = next;
        if step < CLOSE {
            break;
        }
    }
    x
}
