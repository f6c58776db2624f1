//! One panel: five parameters at standard test conditions, translated to any other, as a curve.

use super::{Condition, Curve, Point, SingleDiode};
use crate::units::{Amps, Volts, whole_power};

/// Boltzmann's constant. \[eV/K\] (CODATA 2018, exact to the digits given)
const BOLTZMANN_EV: f64 = 8.617_333_262e-5;
/// Reference cell temperature. \[K\]
const T_REF: f64 = 298.15;
/// Band gap of silicon at 25 °C and its relative change per kelvin.
///
/// De Soto, Klein, Beckman, Solar Energy 80, 2006, doi:10.1016/j.solener.2005.06.010.
const E_GAP_REF: f64 = 1.121;
const E_GAP_SLOPE: f64 = -0.000_267_7;
/// Forward voltage of a conducting bypass diode. \[V\] (common practice, no source)
const BYPASS_DROP: f64 = 0.5;
/// A clamped panel carries any current; the curve ends here. \[A\]
const CURRENT_END: f64 = 1.0e4;
/// A panel without bypass diodes is followed this far into reverse bias. \[V\]
const REVERSE_END: f64 = -3000.0;
/// The curve is followed to this many short-circuit currents pushed backwards, then straight on …
const BACKWARD_MULTIPLE: f64 = 40.0;
/// … counting at least this share of full sun: what pushes is the voltage of others, not the light.
const BACKWARD_LIGHT: f64 = 0.25;
/// Largest distance of a chord from the curve, in units of Voc and Isc.
const CHORD_TOLERANCE: f64 = 2.0e-5;

/// A panel fitted to its label.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelModel {
    /// Parameters at standard test conditions.
    pub reference: SingleDiode,
    /// Change of photocurrent with cell temperature, adjusted by the fit. \[A/K\]
    pub alpha: f64,
    /// Bypass diodes; 0 means none.
    pub bypass_diodes: usize,
}

impl PanelModel {
    /// Parameters at another irradiance and cell temperature.
    ///
    /// De Soto, Klein, Beckman, Solar Energy 80, 2006, doi:10.1016/j.solener.2005.06.010; series
    /// resistance stays as it is.
    #[must_use]
    pub fn at(&self, condition: Condition) -> SingleDiode {
        let t = condition.temp_cell.celsius() + 273.15;
        let dt = t - T_REF;
        let sun = condition.irradiance.watts_per_m2() / 1000.0;
        let e_gap = E_GAP_REF * (1.0 + E_GAP_SLOPE * dt);
        let r = &self.reference;
        let growth =
            whole_power(t / T_REF, 3) * ((E_GAP_REF / T_REF - e_gap / t) / BOLTZMANN_EV).exp();
        SingleDiode {
            photocurrent: (sun * (r.photocurrent + self.alpha * dt)).max(0.0),
            saturation_current: r.saturation_current * growth,
            resistance_series: r.resistance_series,
            conductance_shunt: r.conductance_shunt * sun,
            a: r.a * t / T_REF,
        }
    }

    /// Voltage at which the bypass diodes conduct; `None` without any. \[V\]
    #[must_use]
    pub fn clamp_voltage(&self) -> Option<f64> {
        (self.bypass_diodes > 0).then(|| -BYPASS_DROP * self.bypass_diodes as f64)
    }

    /// Lowest voltage the model drives the panel to: its bypass diodes conduct there, or, without
    /// any, the model ends (far below where real cells break down, which is not modelled). \[V\]
    #[must_use]
    pub fn lowest_voltage(&self) -> f64 {
        self.clamp_voltage().unwrap_or(REVERSE_END)
    }

    /// The I-V curve at a condition, with bypass diodes, as knots close enough for its chords.
    ///
    /// In the dark too: then it only takes current.
    #[must_use]
    pub fn curve(&self, condition: Condition) -> Curve {
        let diode = self.at(condition);
        let left = self.lowest_voltage();
        // A panel in the dark has neither Voc nor Isc to measure by.
        let full_sun = self.reference.current_at_voltage(0.0);
        let short = diode.current_at_voltage(0.0).max(0.01 * full_sun);
        let scale = Scale { v: diode.v_oc().max(diode.a), i: short };
        let x_left = diode.junction_at_voltage(left);
        let pushed = short.max(BACKWARD_LIGHT * full_sun);
        let x_right = diode.junction_at_current(-BACKWARD_MULTIPLE * pushed);
        let i_left = diode.current_at_junction(x_left);
        let mut knots = vec![Point { v: Volts(left), i: Amps(CURRENT_END.max(2.0 * i_left)) }];
        let mut push = |at: Junction| {
            // A hair of slope, so that a panel without shunt leakage still falls strictly.
            let i = at.i - 1e-8 * scale.i * (at.v / scale.v);
            knots.push(Point { v: Volts(at.v.max(left)), i: Amps(i) });
        };
        // Parts that the eye would choose: reverse, flat, knee, backwards.
        let x_sc = diode.junction_at_voltage(0.0);
        let mut marks = [x_left, x_sc, 0.5 * scale.v, 0.8 * scale.v, scale.v, x_right];
        marks.sort_by(f64::total_cmp);
        let mut from = Junction::at(&diode, x_left);
        push(from);
        for x in marks.into_iter().filter(|x| *x > x_left) {
            let to = Junction::at(&diode, x);
            subdivide(&diode, scale, (from, to), 0, &mut push);
            from = to;
        }
        Curve::from_knots(knots)
    }
}

/// What distances on a curve are measured by. \[V\], \[A\]
#[derive(Clone, Copy)]
struct Scale {
    v: f64,
    i: f64,
}

/// A point of the diode's curve and its junction voltage. \[V\], \[V\], \[A\]
#[derive(Clone, Copy)]
struct Junction {
    x: f64,
    v: f64,
    i: f64,
}

impl Junction {
    fn at(diode: &SingleDiode, x: f64) -> Self {
        let (v, i) = diode.point_at_junction(x);
        Self { x, v, i }
    }
}

/// Pushes points after the first, up to the second, until every chord lies within the tolerance.
fn subdivide(
    diode: &SingleDiode,
    scale: Scale,
    (from, to): (Junction, Junction),
    depth: usize,
    push: &mut impl FnMut(Junction),
) {
    let mid = Junction::at(diode, 0.5 * (from.x + to.x));
    let (dv, di) = ((to.v - from.v) / scale.v, (to.i - from.i) / scale.i);
    let area = dv * (mid.i - from.i) / scale.i - di * (mid.v - from.v) / scale.v;
    if depth < 14 && area.abs() > CHORD_TOLERANCE * dv.hypot(di) {
        subdivide(diode, scale, (from, mid), depth + 1, push);
        subdivide(diode, scale, (mid, to), depth + 1, push);
    } else if to.x > from.x {
        push(to);
    }
}
