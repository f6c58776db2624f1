//! Text where a number belongs: what was meant, and what to write instead.

use super::codes::{DECIMAL_COMMA, NOT_A_NUMBER, NOT_FINITE, UNIT_IN_VALUE};
use super::findings::quoted;
use super::keys::Unit;
use super::typed_units::unit_help;

/// What is wrong with a text that should be a number.
#[derive(Debug, PartialEq)]
pub(super) struct Mistyped {
    pub(super) code: &'static str,
    pub(super) message: String,
    pub(super) help: String,
}

/// Explains a text that stands where a number belongs. `subject` is what the message calls it.
pub(super) fn explain(text: &str, subject: &str, unit: Unit) -> Mistyped {
    let found = |code, message: String, help: String| Mistyped { code, message, help };
    let tidy = tidied(text);
    let lower = tidy.to_lowercase();
    if matches!(lower.trim_start_matches(['+', '-', '.']), "nan" | "inf" | "infinity" | "∞") {
        let message = format!("{subject} must be a finite number (it is {})", quoted(text));
        return found(
            NOT_FINITE,
            message,
            "write the figure itself, or leave an optional key out".into(),
        );
    }
    if let Some(digits) = with_letters_for_digits(&tidy) {
        let message =
            format!("{subject} must be a number ({} has a letter for a digit)", quoted(text));
        return found(NOT_A_NUMBER, message, format!("write `{digits}`, with zeros and ones"));
    }
    let Some((number, rest)) = split_number(&tidy) else {
        let message = format!("{subject} must be a number (it is the text {})", quoted(text));
        let help = in_words(&lower, unit).unwrap_or_else(|| {
            "write the bare figure; leave an optional key out if nobody knows it".into()
        });
        return found(NOT_A_NUMBER, message, help);
    };
    let Some(value) = number.value.filter(|v| v.is_finite()) else {
        let message = format!("{subject} must be a finite number ({} is too large)", quoted(text));
        return found(NOT_FINITE, message, "write the figure itself".into());
    };
    if !rest.is_empty() {
        return unit_behind(text, subject, unit, &number, value, &rest);
    }
    if number.commas {
        let message =
            format!("{subject} must be a number (in {} the comma is not understood)", quoted(text));
        let help = match &number.or_thousands {
            Some(thousands) => format!(
                "write `{}` for a decimal, or `{thousands}` if the comma parts thousands",
                number.digits
            ),
            None => format!("write `{}`, with a point for the decimals", number.digits),
        };
        return found(DECIMAL_COMMA, message, help);
    }
    let why = if text.contains(['\u{2212}', '\u{2013}', '\u{2014}']) {
        "has a typographic minus"
    } else if text.contains(CURLY) {
        "stands in typographic quotes"
    } else if text.contains('_') {
        "has underscores"
    } else if text.contains(['$', '€', '£']) {
        "has a sign for money"
    } else if text.chars().any(char::is_whitespace) {
        "has spaces in it"
    } else if text.trim_start_matches(['+', '-']).starts_with('0') && text != number.digits {
        "begins with 0"
    } else {
        "is text, since it stands in quotes"
    };
    let message = format!("{subject} must be a number ({} {why})", quoted(text));
    found(NOT_A_NUMBER, message, format!("write `{}`", number.digits))
}

/// `18O` and `l2` in digits, if letters that look like some are all that is wrong.
fn with_letters_for_digits(text: &str) -> Option<String> {
    let looks_like = |c: char| matches!(c, 'O' | 'o' | 'l' | 'I' | '|');
    if !text.contains(looks_like) || !text.contains(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let digits = text.replace(['O', 'o'], "0").replace(['l', 'I', '|'], "1");
    digits.parse::<f64>().is_ok_and(f64::is_finite).then_some(digits)
}

/// A small number or a point of the compass that was written out.
fn in_words(lower: &str, unit: Unit) -> Option<String> {
    const NUMBERS: [&str; 13] = [
        "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    const POINTS: [[&str; 2]; 8] = [
        ["north", "n"],
        ["northeast", "ne"],
        ["east", "e"],
        ["southeast", "se"],
        ["south", "s"],
        ["southwest", "sw"],
        ["west", "w"],
        ["northwest", "nw"],
    ];
    if let Some(n) = NUMBERS.iter().position(|word| *word == lower) {
        return Some(format!("write `{n}`"));
    }
    let bare: String = lower.chars().filter(|c| !matches!(c, ' ' | '-')).collect();
    let point = POINTS.iter().position(|names| names.contains(&bare.as_str()));
    point.filter(|_| unit == Unit::Degree).map(|point| {
        format!("write `{}`: degrees from north (0) over east (90) and south (180)", 45 * point)
    })
}

/// Quotes as word processors set them.
pub(super) const CURLY: [char; 8] = ['“', '”', '„', '‟', '‘', '’', '«', '»'];

/// Plain minus, no quotes, plain spaces.
fn tidied(text: &str) -> String {
    let plain = |c: char| match c {
        '\u{2212}' | '\u{2013}' | '\u{2014}' => '-',
        c if c.is_whitespace() => ' ',
        c => c,
    };
    let no_quotes = text.chars().filter(|c| !CURLY.contains(c) && !matches!(c, '"' | '\''));
    no_quotes.map(plain).collect::<String>().trim().to_owned()
}

/// Words that people put before a figure.
const ABOUT: [&str; 6] = ["about", "approx", "approximately", "ca", "circa", "max"];

/// A number as somebody typed it, in our spelling.
struct Meant {
    digits: String,
    value: Option<f64>,
    commas: bool,
    /// What it is if its comma parts thousands, where both are possible.
    or_thousands: Option<String>,
}

/// The number at the start of a text, and what stands behind it.
fn split_number(text: &str) -> Option<(Meant, String)> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let (before, tail) = text.split_at(from);
    // What may stand in front: a sign, a point, a mark for "about", a currency sign.
    let near = before.trim_end();
    let word: String = before.chars().filter(|c| c.is_alphabetic()).collect();
    let about = ABOUT.contains(&word.to_lowercase().as_str());
    let sign_or_mark = |c: char| " +-.,~≈<>≤≥=±$€£".contains(c) || (about && c.is_alphabetic());
    if !before.chars().all(sign_or_mark) {
        return None;
    }
    let sign =
        if near.ends_with("-") || near.ends_with("-.") || near.ends_with("-,") { "-" } else { "" };
    let lead = if !about && before.ends_with(['.', ',']) { "0." } else { "" };
    let end = number_end(tail);
    let (raw, rest) = tail.split_at(end);
    let mut meant = read_digits(raw);
    meant.digits = tidy_digits(&format!("{sign}{lead}{}", meant.digits));
    meant.value = meant.digits.parse().ok();
    meant.commas |= !about && before.ends_with(',');
    let marks: String =
        before.chars().filter(|c| "~≈<>≤≥=±".contains(*c) || c.is_alphabetic()).collect();
    Some((meant, if marks.is_empty() { rest.trim().to_owned() } else { marks }))
}

/// Where digits, points, commas, single gaps before three digits, and an exponent end.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
    let mut i = 0;
    while i < bytes.len() {
        let goes_on = match bytes[i] {
            b'0'..=b'9' => true,
            b'.' | b',' | b'_' => digit(i + 1) || i + 1 == bytes.len(),
            b' ' => digit(i + 1) && digit(i + 2) && digit(i + 3) && !digit(i + 4),
            b'e' | b'E' => {
                digit(i + 1) || (matches!(bytes.get(i + 1), Some(b'+' | b'-')) && digit(i + 2))
            }
            b'+' | b'-' => i > 0 && matches!(bytes[i - 1], b'e' | b'E') && digit(i + 1),
            _ => false,
        };
        if !goes_on {
            break;
        }
        i += 1;
    }
    i
}

/// Takes commas, gaps and underscores out. The last of points and commas is the decimal one.
fn read_digits(raw: &str) -> Meant {
    let bare: String = raw.chars().filter(|c| !matches!(c, ' ' | '_')).collect();
    let n_commas = bare.matches(',').count();
    let n_points = bare.matches('.').count();
    let decimal_comma = n_commas == 1 && bare.rfind(',') > bare.rfind('.');
    let digits = match (n_commas, n_points) {
        (0, 0 | 1) => bare.clone(),
        (0, _) => bare.replace('.', ""),
        _ if decimal_comma => bare.replace('.', "").replace(',', "."),
        _ => bare.replace(',', ""),
    };
    let behind = bare.rsplit(',').next().map_or(0, str::len);
    let ambiguous = decimal_comma && n_points == 0 && behind == 3;
    let or_thousands = ambiguous.then(|| bare.replace(',', ""));
    Meant { value: None, digits, commas: n_commas > 0, or_thousands }
}

/// Without leading zeros and without a point at the end.
fn tidy_digits(digits: &str) -> String {
    let (sign, bare) = digits.strip_prefix('-').map_or(("", digits), |bare| ("-", bare));
    let bare = bare.strip_suffix('.').unwrap_or(bare);
    let zeros = bare.len() - bare.trim_start_matches('0').len();
    let cut = if bare[zeros..].starts_with(|c: char| c.is_ascii_digit()) {
        zeros
    } else {
        zeros.saturating_sub(1)
    };
    format!("{sign}{}", &bare[cut..])
}

/// A number with a unit, or anything else, behind it.
fn unit_behind(
    text: &str,
    subject: &str,
    unit: Unit,
    number: &Meant,
    value: f64,
    rest: &str,
) -> Mistyped {
    let what = quoted(text);
    if let (Unit::Degree, "N" | "S" | "n" | "s") = (unit, rest) {
        let sign = if rest.eq_ignore_ascii_case("s") && value > 0.0 { "-" } else { "" };
        return Mistyped {
            code: UNIT_IN_VALUE,
            message: format!("{subject} must be a number without a letter (it is {what})"),
            help: format!("write `{sign}{}`: north is positive, south negative", number.digits),
        };
    }
    match unit_help(&what, subject, unit, &number.digits, value, rest) {
        Some(help) => Mistyped {
            code: UNIT_IN_VALUE,
            message: format!("{subject} must be a number without a unit (it is {what})"),
            help,
        },
        None => Mistyped {
            code: NOT_A_NUMBER,
            message: format!("{subject} must be a bare number (it is {what})"),
            help: format!("write `{}`", number.digits),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn explained(text: &str, unit: Unit) -> (&'static str, String) {
        let found = explain(text, "`x`", unit);
        (found.code, found.help)
    }

    fn help(text: &str, unit: Unit) -> String {
        explained(text, unit).1
    }

    #[test]
    fn a_decimal_comma_is_shown_with_a_point() {
        assert_eq!(
            explained("18,4", Unit::Volt),
            (DECIMAL_COMMA, "write `18.4`, with a point for the decimals".into())
        );
        assert!(help("-0,31", Unit::PercentPerC).starts_with("write `-0.31`"));
        assert!(help(",5", Unit::Volt).starts_with("write `0.5`"));
        assert!(help("1.234,5", Unit::Watt).starts_with("write `1234.5`"));
        assert!(help("1,234.5", Unit::Watt).starts_with("write `1234.5`"));
        assert_eq!(
            help("1,250", Unit::Watt),
            "write `1.250` for a decimal, or `1250` if the comma parts thousands"
        );
    }

    #[test]
    fn a_unit_is_taken_off() {
        assert_eq!(
            explained("18.4 V", Unit::Volt),
            (UNIT_IN_VALUE, "write `18.4`; the key's name already says V".into())
        );
        assert!(help("18,4V", Unit::Volt).starts_with("write `18.4`;"));
        assert_eq!(help("9300 mA", Unit::Amp), "write `9.3`, which is 9300 mA in A");
        assert_eq!(help("1.2kW", Unit::Watt), "write `1200`, which is 1.2 kW in W");
        assert_eq!(help("95 °F", Unit::Celsius), "write `35`, which is 95 °F in °C");
        assert!(help("-0.31 %/°C", Unit::PercentPerC).starts_with("write `-0.31`;"));
        assert!(help("-70 mV/°C", Unit::PercentPerC).contains("divided by `voc_v`"));
        assert!(help("18.4 A", Unit::Volt).contains("takes volts"));
        assert_eq!(help("$35", Unit::None), "write `35`");
    }

    #[test]
    fn other_spellings_of_a_number_are_shown_plainly() {
        assert_eq!(help("012", Unit::Volt), "write `12`");
        assert_eq!(help("1_000", Unit::Watt), "write `1000`");
        assert_eq!(help("1 000", Unit::Watt), "write `1000`");
        assert_eq!(help("\u{2212}0.31", Unit::PercentPerC), "write `-0.31`");
        assert_eq!(help("“18.4”", Unit::Volt), "write `18.4`");
        assert_eq!(help("18.4", Unit::Volt), "write `18.4`");
        assert_eq!(help("~18", Unit::Volt), "write `18`");
        assert_eq!(help("approx. 18", Unit::Volt), "write `18`");
        assert_eq!(help("18.4 at STC", Unit::Volt), "write `18.4`");
    }

    #[test]
    fn what_is_no_number_at_all_is_said_so() {
        assert_eq!(explained("n/a", Unit::Volt).0, NOT_A_NUMBER);
        assert_eq!(explained("?", Unit::Volt).0, NOT_A_NUMBER);
        assert_eq!(explained("", Unit::Volt).0, NOT_A_NUMBER);
        assert_eq!(explained("NaN", Unit::Volt).0, NOT_FINITE);
        assert_eq!(explained("1e999", Unit::Volt).0, NOT_FINITE);
    }
}
