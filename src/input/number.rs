//! Numbers and counts: finite, in range, and in our spelling.

use super::codes::{NOT_A_NUMBER, NOT_FINITE, NOT_WHOLE, OUT_OF_RANGE, WRONG_SORT};
use super::document::{Node, Value};
use super::fields::Typed;
use super::findings::{Findings, rounded};
use super::keys::{Range, Unit};
use super::mistyped::explain;
use super::typed_units::fahrenheit_to_celsius;

/// A number in its range. `subject` is what messages call it.
pub(super) fn read_number(
    node: &Node,
    subject: &str,
    unit: Unit,
    range: Range,
    findings: &mut Findings,
) -> Option<Typed<f64>> {
    let number = read_finite(node, subject, unit, findings)?;
    if range.contains(number.value) {
        return Some(number);
    }
    let message = format!("{subject} must be {} (it is {})", range.in_words(unit), number.as_typed);
    findings.error(OUT_OF_RANGE, node.place, message, help_for_range(number.value, unit, range));
    None
}

/// Numbers of one list, all in one range; `None` unless all are sound. Those outside are one finding,
/// since a list in another unit is one mistake.
pub(super) fn read_numbers(
    nodes: &[Node],
    subject: &str,
    unit: Unit,
    range: Range,
    findings: &mut Findings,
) -> Option<Vec<Typed<f64>>> {
    let numbers: Option<Vec<Typed<f64>>> = nodes
        .iter()
        .map(|node| read_finite(node, subject, unit, findings))
        .collect::<Vec<_>>()
        .into_iter()
        .collect();
    let numbers = numbers?;
    let outside: Vec<&Typed<f64>> = numbers.iter().filter(|x| !range.contains(x.value)).collect();
    let Some(first) = outside.first() else { return Some(numbers) };
    let others = match outside.len() - 1 {
        0 => String::new(),
        1 => ", and another is outside, too".to_owned(),
        n => format!(", and {n} others are outside, too"),
    };
    let message =
        format!("{subject} must be {} (it is {}{others})", range.in_words(unit), first.as_typed);
    let help = match unit {
        Unit::SunHours => help_for_sun(&numbers, range),
        _ => None,
    };
    let help = help.unwrap_or_else(|| help_for_range(first.value, unit, range));
    findings.error(OUT_OF_RANGE, first.at, message, help);
    None
}

/// The unit in which twelve monthly figures of the sun are likely to be.
fn help_for_sun(numbers: &[Typed<f64>], range: Range) -> Option<String> {
    /// Least and most that a month's mean is likely to be. \[kWh/m² a day\]
    const LIKELY: (f64, f64) = (1.0, 9.0);
    let most = numbers.iter().max_by(|a, b| a.value.total_cmp(&b.value))?;
    let units = [
        (3.6, "MJ/m² a day", "divide by 3.6"),
        (30.4, "kWh/m² a month", "divide by the days of the month"),
        (1000.0, "Wh/m² a day", "divide by 1000"),
        (30.4 * 3.6, "MJ/m² a month", "divide by 3.6 and by the days of the month"),
        (30.4 * 1000.0, "Wh/m² a month", "divide by 1000 and by the days of the month"),
    ];
    let fits = |by: f64| {
        let x = most.value / by;
        LIKELY.0 <= x && x <= LIKELY.1 && numbers.iter().all(|n| range.contains(n.value / by))
    };
    let (by, unit, how) = units.into_iter().find(|(by, ..)| fits(*by))?;
    let is = rounded(most.value / by, 1);
    Some(format!("are they in {unit}? {} would be {is} kWh/m² a day: {how}", most.as_typed))
}

/// A whole number from `lo` to `hi`.
pub(super) fn read_count(
    node: &Node,
    subject: &str,
    lo: usize,
    hi: usize,
    findings: &mut Findings,
) -> Option<Typed<usize>> {
    let number = read_finite(node, subject, Unit::None, findings)?;
    let Typed { value, at, as_typed } = number;
    if value.fract() != 0.0 {
        let message = format!("{subject} must be a whole number (it is {as_typed})");
        let help = format!("write {} or {}", rounded(value.floor(), 0), rounded(value.ceil(), 0));
        findings.error(NOT_WHOLE, at, message, help);
        return None;
    }
    if (lo as f64) <= value && value <= (hi as f64) {
        return Some(Typed { value: value as usize, at, as_typed });
    }
    let message = format!("{subject} must be a whole number from {lo} to {hi} (it is {as_typed})");
    let help = match subject {
        _ if value > hi as f64 => "look the number up again".to_owned(),
        "`count`" => format!("write {lo} or more, or leave the entry out if there are none"),
        _ => format!("write {lo} or more"),
    };
    findings.error(OUT_OF_RANGE, at, message, help);
    None
}

/// A number that is neither NaN nor infinite.
fn read_finite(
    node: &Node,
    subject: &str,
    unit: Unit,
    findings: &mut Findings,
) -> Option<Typed<f64>> {
    match &node.value {
        Value::Number { value, typed } if value.is_finite() => {
            Some(Typed { value: *value, at: node.place, as_typed: typed.clone() })
        }
        Value::Number { typed, .. } => {
            let message = format!("{subject} must be a finite number (it is `{typed}`)");
            let help = "write the figure itself, or leave an optional key out";
            findings.error(NOT_FINITE, node.place, message, help);
            None
        }
        Value::Text(text) => {
            let found = explain(text, subject, unit);
            findings.error(found.code, node.place, found.message, found.help);
            None
        }
        Value::List(items)
            if items.len() == 2
                && items.iter().all(|i| matches!(i.value, Value::Number { .. })) =>
        {
            let message = format!("{subject} must be one number (it is a list of 2)");
            findings.error(
                WRONG_SORT,
                node.place,
                message,
                "write one number, with a point for the decimals",
            );
            None
        }
        Value::Nothing => {
            let message = format!("{subject} must be a number (it is empty)");
            findings.error(NOT_A_NUMBER, node.place, message, "write the figure");
            None
        }
        other => {
            let message = format!("{subject} must be a number (it is {})", other.sort());
            findings.error(WRONG_SORT, node.place, message, "write one bare number");
            None
        }
    }
}

/// A slope in percent in degrees.
fn slope(percent: f64) -> String {
    rounded((percent / 100.0).atan().to_degrees(), 1)
}

/// The slip that probably made a number too large or too small.
fn help_for_range(x: f64, unit: Unit, range: Range) -> String {
    let celsius = fahrenheit_to_celsius(x);
    if unit == Unit::Celsius && range.contains(celsius) {
        return format!("temperatures are in °C; {x} °F are {} °C", rounded(celsius, 1));
    }
    if unit == Unit::Degree && x < 0.0 && range.contains(x + 360.0) {
        return format!("count from north over east: {x}° is {}°", x + 360.0);
    }
    if unit == Unit::Degree && range.lo == 0.0 && range.hi == 90.0 && x > 90.0 {
        return format!("degrees, not a slope in percent: {x} % are {}°", slope(x));
    }
    if x < 0.0 && range.contains(-x) {
        return "write it without the minus sign".to_owned();
    }
    let thousandth = match unit {
        Unit::Volt => "mV",
        Unit::Amp => "mA",
        Unit::Watt => "mW",
        _ => "",
    };
    if !thousandth.is_empty() && x > range.hi && range.contains(x / 1000.0) {
        return format!(
            "the figure is in {}; is it in {thousandth} ({x} {thousandth} are {} {}), or is a decimal point missing?",
            unit.symbol(),
            rounded(x / 1000.0, 3),
            unit.symbol()
        );
    }
    if unit == Unit::None && range.contains(x / 100.0) {
        return format!("write it as a factor, not in percent: {}", rounded(x / 100.0, 4));
    }
    match unit {
        Unit::None => "look the figure up again".to_owned(),
        _ => format!("look the figure up again; this key takes {}", unit.plural()),
    }
}
