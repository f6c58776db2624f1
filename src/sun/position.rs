//! Where the sun stands at an instant.

/// An instant in universal time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Calendar year.
    pub year: i32,
    /// Day of that year, from 1.
    pub day_of_year: u32,
    /// Hours since midnight, universal time; may run below 0 or past 24.
    pub hour_utc: f64,
}

/// Direction of the sun, without refraction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Above the horizon, negative at night. \[°\]
    pub elevation_deg: f64,
    /// Clockwise from north. \[°\]
    pub azimuth_deg: f64,
}

impl SunPosition {
    /// By hour angle: 0 at solar noon, positive after it. \[°\]
    #[must_use]
    pub fn at_hour_angle(latitude_deg: f64, declination_deg: f64, hour_angle_deg: f64) -> Self {
        let (phi, delta, omega) =
            (latitude_deg.to_radians(), declination_deg.to_radians(), hour_angle_deg.to_radians());
        let sine = phi.sin() * delta.sin() + phi.cos() * delta.cos() * omega.cos();
        // The same as with the tangent of the declination, but finite at the poles.
        let east = omega.sin() * delta.cos();
        let north = omega.cos() * delta.cos() * phi.sin() - delta.sin() * phi.cos();
        Self {
            elevation_deg: sine.clamp(-1.0, 1.0).asin().to_degrees(),
            azimuth_deg: (east.atan2(north).to_degrees() + 180.0).rem_euclid(360.0),
        }
    }

    /// Cosine of the angle from the zenith; negative below the horizon.
    #[must_use]
    pub fn cos_zenith(self) -> f64 {
        self.elevation_deg.to_radians().sin()
    }
}

/// Day of the year, from 1. The month counts from 1; a day beyond its month runs on.
#[must_use]
pub fn day_of_year(year: i32, month: u32, day: u32) -> u32 {
    let before: u32 = (1..month).map(|m| days_in_month(year, m)).sum();
    before + day
}

fn days_in_month(year: i32, month: u32) -> u32 {
    let leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Where the sun stands, to 0.01° between 1950 and 2050.
///
/// The almanac's low-precision formulae: J.J. Michalsky, Solar Energy 40(3), 1988,
/// doi:10.1016/0038-092X(88)90045-X.
#[must_use]
pub fn sun_position(at: Instant, latitude_deg: f64, longitude_deg: f64) -> SunPosition {
    let years = f64::from(at.year - 1949);
    let julian = 2_432_916.5
        + years * 365.0
        + (years / 4.0).floor()
        + f64::from(at.day_of_year)
        + at.hour_utc / 24.0;
    let n = julian - 2_451_545.0;
    let mean_longitude = 280.460 + 0.985_647_4 * n;
    let anomaly = (357.528 + 0.985_600_3 * n).to_radians();
    let ecliptic =
        (mean_longitude + 1.915 * anomaly.sin() + 0.020 * (2.0 * anomaly).sin()).to_radians();
    let obliquity = (23.439 - 0.000_000_4 * n).to_radians();
    let right_ascension = (obliquity.cos() * ecliptic.sin()).atan2(ecliptic.cos());
    let declination = (obliquity.sin() * ecliptic.sin()).asin();
    let sidereal = 6.697_375 + 0.065_709_824_2 * n + at.hour_utc;
    let hour_angle = sidereal * 15.0 + longitude_deg - right_ascension.to_degrees();
    SunPosition::at_hour_angle(latitude_deg, declination.to_degrees(), hour_angle)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The worked case of I. Reda and A. Andreas, NREL/TP-560-34302, 2008 (SPA), without refraction,
    /// as it stands in the tests of pvlib 0.16.1.
    #[test]
    fn the_sun_stands_where_the_reference_algorithm_puts_it() {
        let at = Instant {
            year: 2003,
            day_of_year: day_of_year(2003, 10, 17),
            hour_utc: 12.0 + 30.5 / 60.0 + 7.0,
        };
        let sun = sun_position(at, 39.742_476, -105.178_6);
        assert!((sun.elevation_deg - 39.872_046).abs() < 0.01, "{sun:?}");
        assert!((sun.azimuth_deg - 194.340_241).abs() < 0.01, "{sun:?}");
    }

    /// J.A. Duffie and W.A. Beckman, Solar Engineering of Thermal Processes, example 1.6.2: 43° N,
    /// zenith 66.5° and azimuth −40° at 9:30 on 13 February, 79.6° and 112.0° at 18:30 on 1 July
    /// (azimuth from south, west positive there).
    #[test]
    fn zenith_and_azimuth_are_those_of_the_textbook() {
        for (declination, hour_angle, zenith, azimuth) in
            [(-14.0, -37.5, 66.5, -40.0), (23.1, 97.5, 79.6, 112.0)]
        {
            let sun = SunPosition::at_hour_angle(43.0, declination, hour_angle);
            assert!((90.0 - sun.elevation_deg - zenith).abs() < 0.1, "{sun:?}");
            assert!((sun.azimuth_deg - 180.0 - azimuth).abs() < 0.1, "{sun:?}");
        }
    }

    #[test]
    fn days_are_counted_through_leap_years() {
        assert_eq!(day_of_year(2003, 10, 17), 290);
        assert_eq!(day_of_year(2004, 3, 1), 61);
        assert_eq!(day_of_year(1900, 3, 1), 60);
    }

    #[test]
    fn the_sun_stands_overhead_of_the_poles_as_well_as_elsewhere() {
        let pole = SunPosition::at_hour_angle(90.0, 20.0, 30.0);
        assert!((pole.elevation_deg - 20.0).abs() < 1e-9);
        let south = SunPosition::at_hour_angle(-35.0, -20.0, 0.0);
        assert!(south.azimuth_deg < 1e-9 || south.azimuth_deg > 360.0 - 1e-9, "{south:?}");
    }
}
