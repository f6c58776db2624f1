//! Air temperature through a mean day.

use std::f64::consts::TAU;

/// Air temperature at an hour of a mean day, from the month's mean temperature and clearness. \[°C\]
///
/// Panels work by day, when the air is warmer than its mean: the clearer the month, the more.
/// D.G. Erbs, S.A. Klein, W.A. Beckman, ASHRAE Journal, June 1983 (coefficients from memory, check
/// your copy). `solar_hour` counts from midnight, solar time. \[h\]
#[must_use]
pub fn air_at(mean_c: f64, clearness: f64, solar_hour: f64) -> f64 {
    let swing = (25.8 * clearness - 5.21).max(0.0);
    let t = TAU * (solar_hour - 1.0) / 24.0;
    mean_c
        + swing
            * (0.4632 * (t - 3.805).cos()
                + 0.0984 * (2.0 * t - 0.360).cos()
                + 0.0168 * (3.0 * t - 0.822).cos()
                + 0.0138 * (4.0 * t - 3.513).cos())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_keeps_its_mean_and_is_warmest_in_the_afternoon() {
        let day: Vec<f64> = (0..24).map(|h| air_at(10.0, 0.5, f64::from(h))).collect();
        assert!((day.iter().sum::<f64>() / 24.0 - 10.0).abs() < 1e-9);
        let warmest = (0..24).max_by(|a, b| day[*a].total_cmp(&day[*b])).expect("24 hours");
        assert!((14..=17).contains(&warmest), "{warmest}");
        let swing = day[warmest] - day.iter().copied().fold(f64::INFINITY, f64::min);
        // The correlation's own A, the difference between the day's extremes.
        assert!((swing - (25.8 * 0.5 - 5.21)).abs() < 0.3, "{swing}");
    }

    #[test]
    fn an_overcast_month_has_no_swing() {
        assert_eq!(air_at(3.0, 0.1, 15.0), 3.0);
    }
}
