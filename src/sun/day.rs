//! The course of one day in solar time.

use super::{SunPosition, extraterrestrial};

/// The day of the year that stands for each month.
///
/// S.A. Klein, Solar Energy 19(4), 1977, doi:10.1016/0038-092X(77)90001-9.
pub const MEAN_DAYS: [f64; 12] =
    [17.0, 47.0, 75.0, 105.0, 135.0, 162.0, 198.0, 228.0, 258.0, 288.0, 318.0, 344.0];

/// Days of each month in a common year.
pub const CALENDAR_DAYS: [f64; 12] =
    [31.0, 28.0, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0];

/// Declination of the sun on a day of the year. \[°\]
///
/// J.W. Spencer, Search 2(5), 1971, as reprinted in Duffie and Beckman, eq. 1.6.1b.
pub(super) fn declination(day_of_year: f64) -> f64 {
    let b = std::f64::consts::TAU * (day_of_year - 1.0) / 365.0;
    (0.006_918 - 0.399_912 * b.cos() + 0.070_257 * b.sin() - 0.006_758 * (2.0 * b).cos()
        + 0.000_907 * (2.0 * b).sin()
        - 0.002_697 * (3.0 * b).cos()
        + 0.001_48 * (3.0 * b).sin())
    .to_degrees()
}

/// One day at one latitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    latitude_deg: f64,
    declination_deg: f64,
    /// Hour angle at sunset, radians: 0 in polar night, π in polar day.
    sunset: f64,
    /// Facing the sun outside the air. \[W/m²\]
    outside: f64,
}

impl Day {
    /// A day of the year at a latitude.
    #[must_use]
    pub fn new(day_of_year: f64, latitude_deg: f64) -> Self {
        let declination_deg = declination(day_of_year);
        let (phi, delta) = (latitude_deg.to_radians(), declination_deg.to_radians());
        // The tangent at a pole is huge but finite, so that the clamp says day or night.
        let cosine = (-phi.tan() * delta.tan()).clamp(-1.0, 1.0);
        Self {
            latitude_deg,
            declination_deg,
            sunset: cosine.acos(),
            outside: extraterrestrial(day_of_year),
        }
    }

    /// From sunrise to sunset. \[h\]
    #[must_use]
    pub fn daylight_hours(&self) -> f64 {
        24.0 * self.sunset / std::f64::consts::PI
    }

    /// Facing the sun outside the air. \[W/m²\]
    #[must_use]
    pub fn outside(&self) -> f64 {
        self.outside
    }

    /// Sun on the horizontal without the air, the whole day. \[kWh/m²\]
    ///
    /// J.A. Duffie and W.A. Beckman, Solar Engineering of Thermal Processes, eq. 1.10.3.
    #[must_use]
    pub fn outside_kwh(&self) -> f64 {
        let (phi, delta) = (self.latitude_deg.to_radians(), self.declination_deg.to_radians());
        let sum =
            phi.cos() * delta.cos() * self.sunset.sin() + self.sunset * phi.sin() * delta.sin();
        24.0 / std::f64::consts::PI * self.outside / 1000.0 * sum.max(0.0)
    }

    /// Where the sun stands so many hours after solar noon.
    #[must_use]
    pub fn sun_at(&self, hours_after_noon: f64) -> SunPosition {
        SunPosition::at_hour_angle(self.latitude_deg, self.declination_deg, 15.0 * hours_after_noon)
    }

    /// The middles of equal parts of the daylight \[h after solar noon\], each with the share of the
    /// day's global sun that falls in it. None in polar night.
    ///
    /// M. Collares-Pereira and A. Rabl, Solar Energy 22(2), 1979, doi:10.1016/0038-092X(79)90100-2;
    /// scaled so that the shares sum to one.
    #[must_use]
    pub fn course(&self, n_parts: usize) -> Vec<(f64, f64)> {
        if self.sunset <= 0.0 {
            return Vec::new();
        }
        let (a, b) = {
            let turned = self.sunset - std::f64::consts::FRAC_PI_3;
            (0.409 + 0.5016 * turned.sin(), 0.6609 - 0.4767 * turned.sin())
        };
        let raw: Vec<(f64, f64)> = (0..n_parts)
            .map(|part| {
                let omega = self.sunset * (2.0 * (part as f64 + 0.5) / n_parts as f64 - 1.0);
                let hours = omega * 12.0 / std::f64::consts::PI;
                let up = self.sun_at(hours).cos_zenith().max(0.0);
                (hours, (a + b * omega.cos()).max(0.0) * up)
            })
            .collect();
        let total: f64 = raw.iter().map(|(_, share)| share).sum();
        if total <= 0.0 {
            return Vec::new();
        }
        raw.into_iter().map(|(hours, share)| (hours, share / total)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// J.A. Duffie and W.A. Beckman, example 1.10.1: 43° N, 15 April: 33.8 MJ/m² with 1367 W/m²
    /// (from memory, check your edition).
    #[test]
    fn a_day_outside_the_air_is_the_textbooks() {
        let megajoules = Day::new(105.0, 43.0).outside_kwh() * 3.6;
        assert!((megajoules - 33.8).abs() < 0.15, "{megajoules}");
    }

    /// Example 1.10.2 of the same: 3.79 MJ/m² from 10 to 11 h (from memory, check your edition).
    #[test]
    fn an_hour_outside_the_air_is_the_textbooks() {
        let day = Day::new(105.0, 43.0);
        let mean: f64 = (0..100)
            .map(|k| day.sun_at(-2.0 + (f64::from(k) + 0.5) / 100.0).cos_zenith() / 100.0)
            .sum();
        let megajoules = day.outside() * mean * 3600.0 / 1e6;
        assert!((megajoules - 3.79).abs() < 0.02, "{megajoules}");
    }

    #[test]
    fn the_hours_of_a_day_sum_to_the_day() {
        for latitude in [-65.0, -20.0, 0.0, 35.0, 60.0] {
            for day in MEAN_DAYS {
                let course = Day::new(day, latitude).course(14);
                let total: f64 = course.iter().map(|(_, share)| share).sum();
                assert!((total - 1.0).abs() < 1e-12, "{latitude} {day}");
            }
        }
    }

    #[test]
    fn polar_night_has_no_hours_and_polar_day_all_of_them() {
        assert!(Day::new(355.0, 75.0).course(14).is_empty());
        assert_eq!(Day::new(355.0, 75.0).outside_kwh(), 0.0);
        assert!((Day::new(172.0, 75.0).daylight_hours() - 24.0).abs() < 1e-12);
        assert_eq!(Day::new(172.0, 75.0).course(14).len(), 14);
    }

    #[test]
    fn mean_days_lie_in_their_months() {
        let mut first = 1.0;
        for (mean, days) in MEAN_DAYS.iter().zip(CALENDAR_DAYS) {
            assert!((first..first + days).contains(mean));
            first += days;
        }
        assert_eq!(first, 366.0);
    }
}
