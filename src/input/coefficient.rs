//! Temperature coefficients: in %/°C, or in one of the other units that labels print.
//!
//! Bands are from the open CEC module table (file `sam-library-cec-modules-2019-03-05.csv` of pvlib 0.16.1,
//! 21,535 modules of all sorts), which has −0.17 to −0.53 %/°C for open-circuit voltage, −0.05 to +0.2 for
//! short-circuit current and −0.17 to −0.66 for power, but for a few in a thousand.

use super::codes::{COEFFICIENT, COEFFICIENT_ODD};
use super::fields::{Fields, Typed};
use super::findings::{Findings, rounded};

/// The label figure that a coefficient belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Figure {
    OpenCircuitVoltage,
    ShortCircuitCurrent,
    Power,
}

/// What is expected of the coefficient of a figure.
struct Expected {
    key: &'static str,
    figure_key: &'static str,
    unit: &'static str,
    thousandth: &'static str,
    /// What a warming panel does.
    warming: &'static str,
    /// Outside nothing is built: refused. \[%/°C\]
    possible: (f64, f64),
    /// Outside it is worth a word. \[%/°C\]
    usual: (f64, f64),
    /// A figure typed in another unit is recognised if it comes out here, which holds nearly all
    /// crystalline silicon. \[%/°C\]
    likely: (f64, f64),
}

const fn expected(figure: Figure) -> Expected {
    match figure {
        Figure::OpenCircuitVoltage => Expected {
            key: "voc_percent_per_c",
            figure_key: "voc_v",
            unit: "V",
            thousandth: "mV",
            warming: "a panel's voltage falls as it warms",
            possible: (-1.0, -0.05),
            usual: (-0.50, -0.20),
            likely: (-0.45, -0.22),
        },
        Figure::ShortCircuitCurrent => Expected {
            key: "isc_percent_per_c",
            figure_key: "isc_a",
            unit: "A",
            thousandth: "mA",
            warming: "a panel's current rises a little as it warms",
            possible: (-0.3, 0.6),
            usual: (-0.06, 0.20),
            likely: (0.015, 0.13),
        },
        Figure::Power => Expected {
            key: "pmax_percent_per_c",
            figure_key: "pmax_w",
            unit: "W",
            thousandth: "mW",
            warming: "a panel's power falls as it warms",
            possible: (-1.2, -0.05),
            usual: (-0.65, -0.15),
            likely: (-0.60, -0.24),
        },
    }
}

/// Currents' coefficients nearer to zero than this may be fractions or A/°C. \[%/°C\]
const NEAR_ZERO: f64 = 0.01;

fn holds((lo, hi): (f64, f64), x: f64) -> bool {
    lo <= x && x <= hi
}

/// The coefficient of a figure, whose label value is `base` if that could be read.
pub(super) fn read_coefficient(
    fields: &Fields,
    figure: Figure,
    base: Option<f64>,
    findings: &mut Findings,
) -> Option<Typed<f64>> {
    let expected = expected(figure);
    let typed = fields.number(expected.key, findings)?;
    let x = typed.value;
    if !holds(expected.possible, x) {
        report_impossible(&typed, &expected, base, findings);
        return None;
    }
    let near_zero = figure == Figure::ShortCircuitCurrent && x != 0.0 && x.abs() < NEAR_ZERO;
    let other = other_unit(&typed.as_typed, x, &expected, base);
    if !holds(expected.usual, x) || (near_zero && other.is_some()) {
        warn_unusual(&typed, &expected, other, findings);
    }
    Some(typed)
}

/// The figure with the unit in which it would be likely, and what it then is in %/°C.
fn other_unit(
    typed: &str,
    x: f64,
    expected: &Expected,
    base: Option<f64>,
) -> Option<(String, f64)> {
    let Expected { unit, thousandth, likely, .. } = expected;
    let per_figure = base.into_iter().flat_map(|base| {
        [
            (format!("{typed} {unit}/°C"), x / base * 100.0),
            (format!("{typed} {thousandth}/°C"), x / base / 10.0),
        ]
    });
    let bare = [
        (format!("{typed} as a fraction per °C"), x * 100.0),
        (format!("{typed} ppm/°C"), x / 10_000.0),
    ];
    per_figure.chain(bare).find(|(_, percent)| holds(*likely, *percent))
}

/// As labels print it: two decimals, or three where two would say little.
fn in_percent(x: f64) -> String {
    if x.abs() < 0.1 { format!("{x:.3}") } else { format!("{x:.2}") }
}

fn report_impossible(
    typed: &Typed<f64>,
    expected: &Expected,
    base: Option<f64>,
    findings: &mut Findings,
) {
    let Expected { key, warming, possible: (lo, hi), .. } = expected;
    let (x, as_typed) = (typed.value, &typed.as_typed);
    let falls = *hi < 0.0;
    let message = if falls && x >= 0.0 {
        format!("`{key}` must be negative ({as_typed} is not)")
    } else {
        format!("`{key}` must be from {lo:.2} to {hi:.2} %/°C (it is {as_typed})")
    };
    let signed = if falls { -x.abs() } else { x };
    let help = if falls && x > 0.0 && holds(expected.usual, signed) {
        format!("{warming}: write `{}`", rounded(signed, 4))
    } else if let Some((other, percent)) = other_unit(&rounded(signed, 6), signed, expected, base) {
        let percent = in_percent(percent);
        format!(
            "{other} would be {percent} %/°C here: if that is what the label says, write `{percent}`"
        )
    } else {
        format!(
            "{warming}; look the figure and its unit up again, or leave the key out if the label has none"
        )
    };
    findings.error(COEFFICIENT, typed.at, message, help);
}

fn warn_unusual(
    typed: &Typed<f64>,
    expected: &Expected,
    other: Option<(String, f64)>,
    findings: &mut Findings,
) {
    let Expected { key, figure_key, usual: (lo, hi), .. } = expected;
    let as_typed = &typed.as_typed;
    let message = format!("`{key}` is {as_typed} %/°C; panels have {lo:.2} to {hi:.2}");
    let message = if holds(expected.usual, typed.value) {
        format!("`{key}` is {as_typed} %/°C, which is next to nothing")
    } else {
        message
    };
    let cold = if *figure_key == "voc_v" && typed.value > *hi {
        " Too weak a figure hides how far the voltage rises on a cold morning."
    } else {
        ""
    };
    let help = match other {
        Some((other, percent)) => {
            let percent = in_percent(percent);
            format!("if the label says {other}, that is {percent} %/°C: write `{percent}`.{cold}")
        }
        None => format!("look the figure and its unit up again: it must be in %/°C.{cold}"),
    };
    findings.warning(COEFFICIENT_ODD, typed.at, message, help);
}
