//! Figures as they stand in files: rounded, and none instead of NaN.

use super::numbers::rounded;
use crate::energy::Span;
use crate::plan::Yield;
use crate::units::{Amps, Celsius, Volts, Watts};

/// A figure, rounded, or none where there is none.
pub(super) type Figure = Option<f64>;

pub(super) fn figure(x: f64, decimals: i32) -> Figure {
    let x = rounded(x, decimals);
    x.is_finite().then_some(x)
}

pub(super) fn watts(w: Watts) -> Figure {
    figure(w.watts(), 2)
}

pub(super) fn volts(v: Volts) -> Figure {
    figure(v.volts(), 2)
}

pub(super) fn amps(i: Amps) -> Figure {
    figure(i.amps(), 3)
}

pub(super) fn celsius(t: Celsius) -> Figure {
    figure(t.celsius(), 2)
}

/// Energy that is sought, with as many decimals as its part of the year needs.
pub(super) fn sought_kwh(sought: Yield) -> Figure {
    let decimals = if sought.span == Span::Year { 2 } else { 4 };
    figure(sought.energy.kilowatt_hours(), decimals)
}
