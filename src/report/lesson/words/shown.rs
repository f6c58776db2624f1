//! Figures as lessons show them.

use crate::report::layout::GLUE;
use crate::report::numbers::{fixed, plain};
use crate::units::{Amps, Volts, Watts};

/// `30.4 V`, as it stands on a label.
pub(in crate::report::lesson) fn v(volts: Volts) -> String {
    format!("{}{GLUE}V", plain(volts.volts(), 2))
}

/// `8.39 A`.
pub(in crate::report::lesson) fn a(amps: Amps) -> String {
    format!("{}{GLUE}A", plain(amps.amps(), 2))
}

/// `255.06 W`: sums by hand come out to the last digit.
pub(in crate::report::lesson) fn w(watts: Watts) -> String {
    format!("{}{GLUE}W", plain(watts.watts(), 2))
}

/// `54.9 V` on a curve: more digits than a meter shows would be a pretence.
pub(in crate::report::lesson) fn cv(volts: Volts) -> String {
    format!("{}{GLUE}V", fixed(volts.volts(), 1))
}

/// `8.39 A` on a curve.
pub(in crate::report::lesson) fn ca(amps: Amps) -> String {
    format!("{}{GLUE}A", fixed(amps.amps(), 2))
}

/// `255.1 W` on a curve.
pub(in crate::report::lesson) fn cw(watts: Watts) -> String {
    format!("{}{GLUE}W", fixed(watts.watts(), 1))
}

/// `98.1 %`.
pub(in crate::report::lesson) fn part(fraction: f64) -> String {
    format!("{}{GLUE}%", plain(fraction * 100.0, 1))
}
