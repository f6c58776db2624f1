//! Numbers as they are shown: rounded the same way everywhere, never "-0", units glued on.

use super::layout::GLUE;
use super::names::Names;
use super::words;
use crate::plan::{Check, CheckRule, Outcome, Unit};
use crate::units::{Amps, Volts, Watts};

/// A number rounded half away from zero to so many decimals, without a negative zero.
///
/// What is not finite comes back as it is: callers that write files turn it into "no figure".
pub(super) fn rounded(x: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let x = (x * scale).round() / scale;
    if x == 0.0 { 0.0 } else { x }
}

/// A number with so many decimals, as text.
pub(super) fn fixed(x: f64, decimals: usize) -> String {
    if !x.is_finite() {
        return "?".into();
    }
    let places = i32::try_from(decimals).expect("a handful of decimals");
    format!("{:.decimals$}", rounded(x, places))
}

/// A number with at most so many decimals and no trailing zeros: `150`, `7.5`.
pub(super) fn plain(x: f64, decimals: usize) -> String {
    let text = fixed(x, decimals);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

/// `54.9 V`.
pub(super) fn volts(v: Volts) -> String {
    format!("{}{GLUE}V", fixed(v.volts(), 1))
}

/// `14.8 A`.
pub(super) fn amps(i: Amps) -> String {
    format!("{}{GLUE}A", fixed(i.amps(), 1))
}

/// `98.1 %` from a fraction.
///
/// Rounded down, so that 100 % stands only where nothing is lost.
pub(super) fn share(fraction: f64) -> String {
    format!("{}{GLUE}%", fixed(tenths_of_percent(fraction), 1))
}

/// The same for a sentence: `100 %`.
pub(super) fn share_in_words(fraction: f64) -> String {
    format!("{}{GLUE}%", plain(tenths_of_percent(fraction), 1))
}

fn tenths_of_percent(fraction: f64) -> f64 {
    (fraction * 1000.0 + 1e-6).floor() / 10.0
}

/// How watts are shown in one answer: the same decimals throughout, so that columns line up and add up.
#[derive(Debug, Clone, Copy)]
pub(super) struct WattScale {
    decimals: usize,
}

impl WattScale {
    /// Tenths for an array below 300 W on the labels, whole watts above.
    pub(super) fn for_label(label: Watts) -> Self {
        let decimals = usize::from(label < Watts(300.0));
        Self { decimals }
    }

    /// `811`.
    pub(super) fn bare(self, watts: Watts) -> String {
        fixed(watts.watts(), self.decimals)
    }

    /// `811 W`.
    pub(super) fn watts(self, watts: Watts) -> String {
        format!("{}{GLUE}W", self.bare(watts))
    }

    /// The difference of two figures as they are shown, so that a reader who subtracts gets the same.
    pub(super) fn difference(self, now: Watts, then: Watts) -> Watts {
        let places = i32::try_from(self.decimals).expect("a handful of decimals");
        let shown = |w: Watts| rounded(w.watts(), places);
        Watts(rounded(shown(then) - shown(now), places))
    }

    /// `+171`, `-12`, `+0`.
    pub(super) fn signed(self, watts: Watts) -> String {
        let text = self.bare(watts);
        if text.starts_with('-') { text } else { format!("+{text}") }
    }
}

/// A check's value and limit in words: `75.1 V` and `at most 150 V`, `limit unknown` where it is.
///
/// Enough decimals that they differ where they differ.
pub(super) fn value_and_limit(check: &Check) -> (String, String) {
    let unit = check.unit;
    let usual = match unit {
        Unit::Volts | Unit::Amps | Unit::Percent => 1,
        Unit::Watts | Unit::Strings | Unit::Panels => 0,
    };
    let decimals = match (check.value, check.limit) {
        (Some(v), Some(l)) if v != l => {
            (usual..=3).find(|&d| fixed(v, d) != fixed(l, d)).unwrap_or(3)
        }
        _ => usual,
    };
    let value = check.value.map_or_else(
        // A rule that is kept without a figure, as a fuse where none is needed, knows all it must.
        || if check.outcome == Outcome::Unknown { "unknown" } else { "none" }.to_owned(),
        |x| format!("{}{GLUE}{}", plain(x, decimals), unit.symbol()),
    );
    let limit = check.limit.map_or_else(
        || "limit unknown".to_owned(),
        |x| {
            let number = plain(x, decimals.max(2));
            let side = words::side(check.rule);
            match unit {
                Unit::Strings | Unit::Panels => format!("{side}{GLUE}{number}"),
                _ => format!("{side}{GLUE}{number}{GLUE}{}", unit.symbol()),
            }
        },
    );
    (value, limit)
}

/// `cold voltage 161.2 V, at most 150 V (string 2)`.
pub(super) fn finding(names: Names<'_>, check: &Check) -> String {
    let (value, limit) = value_and_limit(check);
    // The battery is the whole site's.
    let place = match check.rule {
        CheckRule::BatteryCharge => String::new(),
        _ => names.in_place(check.at, check.string),
    };
    format!("{} {value}, {limit}{place}", words::rule(check.rule))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::InputRef;

    #[test]
    fn rounding_never_gives_a_negative_zero() {
        assert_eq!(fixed(-0.04, 1), "0.0");
        assert!(rounded(-0.004, 2).is_sign_positive());
    }

    #[test]
    fn shown_figures_add_up() {
        let scale = WattScale::for_label(Watts(640.0));
        let (now, then) = (Watts(640.4), Watts(810.8));
        assert_eq!(scale.bare(now), "640");
        assert_eq!(scale.bare(then), "811");
        assert_eq!(scale.signed(scale.difference(now, then)), "+171");
    }

    #[test]
    fn a_hundred_percent_stands_only_where_nothing_is_lost() {
        assert_eq!(share(0.999_9), "99.9\u{a0}%");
        assert_eq!(share(1.0), "100.0\u{a0}%");
        assert_eq!(share(1.0 - 1e-12), "100.0\u{a0}%");
    }

    fn cold_voltage(value: f64, limit: Option<f64>) -> Check {
        Check {
            rule: CheckRule::ColdVoc,
            at: InputRef { controller: 0, input: 1 },
            string: None,
            value: Some(value),
            limit,
            unit: Unit::Volts,
            outcome: Outcome::Breach,
            basis: "",
            note: String::new(),
        }
    }

    #[test]
    fn a_breach_by_a_hair_does_not_look_like_equality() {
        let (value, limit) = value_and_limit(&cold_voltage(150.02, Some(150.0)));
        assert_eq!(value, "150.02\u{a0}V");
        assert_eq!(limit, "at most\u{a0}150\u{a0}V");
    }

    #[test]
    fn a_missing_limit_is_unknown() {
        let (value, limit) = value_and_limit(&cold_voltage(5.94, None));
        assert_eq!((value.as_str(), limit.as_str()), ("5.9\u{a0}V", "limit unknown"));
    }
}
