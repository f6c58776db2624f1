//! Curves as the solver's rates.

use crate::electrical::Curve;
use crate::solve::Rate;
use crate::units::Volts;

/// The curve between two voltages, with knots at both ends.
pub(super) fn rate_over(curve: &Curve, lo: f64, hi: f64) -> Rate {
    let at = |v: f64| (v, curve.current_at(Volts(v)).amps());
    let mut knots = vec![at(lo)];
    let between = curve.knots().iter().filter(|k| k.v.volts() > lo && k.v.volts() < hi);
    for knot in between.map(|k| (k.v.volts(), k.i.amps())) {
        match knots.last_mut() {
            // A step of a bypass diode may leave two knots at one voltage: the later one counts.
            Some(last) if knot.0 <= last.0 => last.1 = knot.1,
            _ => knots.push(knot),
        }
    }
    if hi > lo {
        knots.push(at(hi));
    }
    Rate::new(knots)
}
