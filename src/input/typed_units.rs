//! A unit typed behind a number, whose key already carries one.

use super::findings::rounded;
use super::keys::Unit;

/// Spellings of units, the quantity they belong to, and their size in the unit of our keys.
const SPELLINGS: &[(&str, Unit, f64)] = &[
    ("v", Unit::Volt, 1.0),
    ("vdc", Unit::Volt, 1.0),
    ("v dc", Unit::Volt, 1.0),
    ("volt", Unit::Volt, 1.0),
    ("volts", Unit::Volt, 1.0),
    ("mv", Unit::Volt, 1e-3),
    ("kv", Unit::Volt, 1e3),
    ("a", Unit::Amp, 1.0),
    ("adc", Unit::Amp, 1.0),
    ("amp", Unit::Amp, 1.0),
    ("amps", Unit::Amp, 1.0),
    ("ampere", Unit::Amp, 1.0),
    ("amperes", Unit::Amp, 1.0),
    ("ma", Unit::Amp, 1e-3),
    ("w", Unit::Watt, 1.0),
    ("wp", Unit::Watt, 1.0),
    ("watt", Unit::Watt, 1.0),
    ("watts", Unit::Watt, 1.0),
    ("kw", Unit::Watt, 1e3),
    ("kwp", Unit::Watt, 1e3),
    ("°c", Unit::Celsius, 1.0),
    ("c", Unit::Celsius, 1.0),
    ("deg c", Unit::Celsius, 1.0),
    ("degc", Unit::Celsius, 1.0),
    ("celsius", Unit::Celsius, 1.0),
    ("%/°c", Unit::PercentPerC, 1.0),
    ("%/c", Unit::PercentPerC, 1.0),
    ("%/k", Unit::PercentPerC, 1.0),
    ("%/°k", Unit::PercentPerC, 1.0),
    ("%", Unit::PercentPerC, 1.0),
    ("% per c", Unit::PercentPerC, 1.0),
    ("%/deg c", Unit::PercentPerC, 1.0),
    ("°", Unit::Degree, 1.0),
    ("deg", Unit::Degree, 1.0),
    ("degrees", Unit::Degree, 1.0),
    ("kwh", Unit::SunHours, 1.0),
    ("kwh/m2", Unit::SunHours, 1.0),
    ("kwh/m²", Unit::SunHours, 1.0),
    ("h", Unit::SunHours, 1.0),
    ("m", Unit::Metre, 1.0),
    ("metre", Unit::Metre, 1.0),
    ("metres", Unit::Metre, 1.0),
    ("meter", Unit::Metre, 1.0),
    ("meters", Unit::Metre, 1.0),
    ("cm", Unit::Metre, 1e-2),
    ("km", Unit::Metre, 1e3),
    ("ft", Unit::Foot, 1.0),
    ("foot", Unit::Foot, 1.0),
    ("feet", Unit::Foot, 1.0),
    ("'", Unit::Foot, 1.0),
    ("mm2", Unit::SquareMm, 1.0),
    ("mm²", Unit::SquareMm, 1.0),
    ("sq mm", Unit::SquareMm, 1.0),
    ("w/m2", Unit::Irradiance, 1.0),
    ("w/m²", Unit::Irradiance, 1.0),
    ("kw/m2", Unit::Irradiance, 1e3),
    ("kw/m²", Unit::Irradiance, 1e3),
    ("pcs", Unit::None, 1.0),
    ("pieces", Unit::None, 1.0),
    ("panels", Unit::None, 1.0),
    ("x", Unit::None, 1.0),
    ("€", Unit::None, 1.0),
    ("$", Unit::None, 1.0),
    ("eur", Unit::None, 1.0),
    ("usd", Unit::None, 1.0),
];

/// The unit of a spelling, and its size in the unit of our keys.
pub(super) fn unit_of(spelling: &str) -> Option<(Unit, f64)> {
    let lower = spelling.trim().trim_end_matches('.').to_lowercase();
    SPELLINGS.iter().find(|(name, ..)| *name == lower).map(|(_, unit, factor)| (*unit, *factor))
}

/// What to write instead of a number with a unit; `None` if it is no unit that stands behind.
pub(super) fn unit_help(
    what: &str,
    subject: &str,
    unit: Unit,
    digits: &str,
    value: f64,
    rest: &str,
) -> Option<String> {
    let lower = rest.trim_end_matches('.').to_lowercase();
    if unit == Unit::Celsius && matches!(lower.as_str(), "°f" | "f" | "deg f" | "fahrenheit") {
        let celsius = rounded(fahrenheit_to_celsius(value), 1);
        return Some(format!("write `{celsius}`, which is {digits} °F in °C"));
    }
    if unit == Unit::PercentPerC && rest.contains('/') && !rest.starts_with('%') {
        let help = "write it in %/°C: V/°C divided by `voc_v` (A/°C by `isc_a`, W/°C by `pmax_w`), times 100";
        return Some(help.to_owned());
    }
    if unit == Unit::Degree && lower == "%" {
        let degrees = rounded((value / 100.0).atan().to_degrees(), 1);
        return Some(format!("a slope of {digits} % is {degrees}°: write `{degrees}`"));
    }
    if unit == Unit::Degree && matches!(lower.as_str(), "rad" | "radians") {
        return Some(format!("write `{}`, in degrees", rounded(value.to_degrees(), 1)));
    }
    let (its, factor) = unit_of(&lower)?;
    let percent = unit == Unit::Percent && lower == "%";
    let same = its == unit || percent || (unit == Unit::Celsius && its == Unit::Degree);
    let symbol = unit.symbol();
    Some(match (same, unit) {
        (true, Unit::None) => format!("write `{digits}`"),
        (true, _) if factor == 1.0 => {
            format!("write `{digits}`; the key's name already says {symbol}")
        }
        (true, _) => {
            let converted = rounded(value * factor, 6);
            format!("write `{converted}`, which is {digits} {rest} in {symbol}")
        }
        (false, Unit::None) => format!("write `{digits}`"),
        (false, _) => format!(
            "{subject} takes {}, not {}: does the figure belong to another key? If not, write `{digits}`",
            unit.plural(),
            if its == Unit::None { what } else { its.plural() }
        ),
    })
}

/// °F to °C.
pub(super) fn fahrenheit_to_celsius(f: f64) -> f64 {
    (f - 32.0) / 1.8
}
