//! Numbers on the command line: bare, in the unit that the option names.

/// Watts, which may be none.
pub(super) fn watts(text: &str) -> Result<f64, String> {
    not_negative(text)
}

/// A year: longer than anybody waits. \[s\]
const LONGEST: f64 = 31_536_000.0;

/// After how long to stop, which is not at once: what `--seconds` takes wherever it stands. \[s\]
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    let within = |s| match s {
        s if s <= 0.0 => Err("must be above 0".into()),
        s if s > LONGEST => Err(format!("must be at most {LONGEST:.0}, which is a year")),
        s => Ok(s),
    };
    number(text).and_then(within)
}

/// A number that is not below zero.
pub(super) fn not_negative(text: &str) -> Result<f64, String> {
    number(text).and_then(|x| if x >= 0.0 { Ok(x) } else { Err("must not be negative".into()) })
}

/// A share of the whole.
pub(super) fn percent(text: &str) -> Result<f64, String> {
    let within =
        |p| if (0.0..=100.0).contains(&p) { Ok(p) } else { Err("must lie from 0 to 100".into()) };
    number(text).and_then(within)
}

fn number(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(x) if x.is_finite() => Ok(x),
        _ if text.contains(',') => Err("write a decimal point, not a comma".into()),
        _ => Err("is not a number (write it without a unit)".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thresholds_are_finite_and_never_negative() {
        assert_eq!(watts("2.5"), Ok(2.5));
        assert!(watts("-1").is_err() && watts("nan").is_err() && watts("inf").is_err());
        assert!(watts("2,5").is_err_and(|e| e.contains("decimal point")));
        assert!(watts("5 W").is_err_and(|e| e.contains("without a unit")));
        assert!(percent("100.1").is_err() && percent("0").is_ok());
    }
    #[test]
    fn a_time_limit_is_some_time_and_not_for_ever() {
        assert_eq!(seconds("0.5"), Ok(0.5));
        assert!(seconds("0").is_err() && seconds("-1").is_err() && seconds("1e9").is_err());
        assert!(seconds("10 s").is_err_and(|e| e.contains("without a unit")));
    }
}
