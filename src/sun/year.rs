//! A year on a plane, from monthly means or hour by hour.

use super::{
    CALENDAR_DAYS, Day, Instant, MEAN_DAYS, Plane, Sky, air_at, clearness_classes,
    extraterrestrial, sun_position,
};
use crate::units::{Celsius, Irradiance};

/// Parts of a day's light. Energy moves by less than 0.1 % with twice as many.
const PARTS: usize = 14;

/// Light on a plane and the air around it, for so many hours of the year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneHour {
    /// Month, 0 for January.
    pub month: usize,
    /// How long it lasts in the year. \[h\]
    pub hours: f64,
    /// On the plane.
    pub irradiance: Irradiance,
    /// Air temperature.
    pub air: Celsius,
}

/// Twelve monthly means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthlyMeans {
    /// North positive. \[°\]
    pub latitude_deg: f64,
    /// Sun on the horizontal. \[kWh/m²/day\]
    pub sun_kwh_m2_day: [f64; 12],
    /// Air temperature. \[°C\]
    pub air_c: [f64; 12],
}

/// The light of a common year from monthly means: for each month five days from overcast to clear,
/// each in equal parts of its daylight.
#[must_use]
pub fn hours_from_means(means: &MonthlyMeans, plane: Plane) -> Vec<PlaneHour> {
    let mut hours = Vec::with_capacity(12 * 5 * PARTS);
    for month in 0..12 {
        let day = Day::new(MEAN_DAYS[month], means.latitude_deg);
        let outside_kwh = day.outside_kwh();
        if outside_kwh <= 0.0 {
            continue;
        }
        let mean = means.sun_kwh_m2_day[month] / outside_kwh;
        let classes = clearness_classes(mean);
        let length = day.daylight_hours() / PARTS as f64;
        for (after_noon, share) in day.course(PARTS) {
            let sun = day.sun_at(after_noon);
            for clearness in classes {
                let global = clearness * outside_kwh * 1000.0 * share / length;
                let sky = Sky::from_global(global, day.outside(), sun.cos_zenith());
                hours.push(PlaneHour {
                    month,
                    hours: length * CALENDAR_DAYS[month] / 5.0,
                    irradiance: Irradiance(plane.irradiance(sky, sun)),
                    air: Celsius(air_at(means.air_c[month], mean, after_noon + 12.0)),
                });
            }
        }
    }
    hours
}

/// The light of one hour of a weather file: measured sun, at the hour's middle.
///
/// Irradiances are the hour's means, global, direct (facing the sun) and diffuse. \[W/m²\]
#[must_use]
pub fn plane_hour(
    middle: Instant,
    (latitude_deg, longitude_deg): (f64, f64),
    (global, direct, diffuse): (f64, f64, f64),
    plane: Plane,
) -> Irradiance {
    let sun = sun_position(middle, latitude_deg, longitude_deg);
    let outside = extraterrestrial(f64::from(middle.day_of_year));
    Irradiance(plane.irradiance(Sky { global, direct, diffuse, outside }, sun))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn means() -> MonthlyMeans {
        MonthlyMeans {
            latitude_deg: 44.6,
            sun_kwh_m2_day: [1.9, 2.8, 3.9, 4.8, 5.6, 6.2, 6.3, 5.5, 4.5, 3.1, 2.0, 1.6],
            air_c: [-7.0, -5.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 16.0, 9.0, 2.0, -4.0],
        }
    }

    #[test]
    fn a_flat_plane_gets_back_the_monthly_means() {
        let flat = Plane { tilt_deg: 0.0, azimuth_deg: 180.0, shade: 0.0 };
        let means = means();
        let mut kwh = [0.0; 12];
        for hour in hours_from_means(&means, flat) {
            kwh[hour.month] += hour.hours * hour.irradiance.watts_per_m2() / 1000.0;
        }
        for month in 0..12 {
            let expected = means.sun_kwh_m2_day[month] * CALENDAR_DAYS[month];
            assert!((kwh[month] - expected).abs() < 1e-9 * expected, "month {month}");
        }
    }

    #[test]
    fn the_year_below_the_equator_is_the_year_above_half_a_year_later() {
        let turn = |x: [f64; 12]| std::array::from_fn(|m| x[(m + 6) % 12]);
        let north = means();
        let south = MonthlyMeans {
            latitude_deg: -north.latitude_deg,
            sun_kwh_m2_day: turn(north.sun_kwh_m2_day),
            air_c: turn(north.air_c),
        };
        let kwh = |means: &MonthlyMeans, azimuth_deg| -> f64 {
            hours_from_means(means, Plane { tilt_deg: 40.0, azimuth_deg, shade: 0.0 })
                .iter()
                .map(|h| h.hours * h.irradiance.watts_per_m2() / 1000.0)
                .sum()
        };
        let (north, south) = (kwh(&north, 180.0), kwh(&south, 0.0));
        // Not equal: the sun is nearer in January, so that the same sun on the ground is a clearer
        // summer in the north.
        assert!((north / south - 1.0).abs() < 0.04, "{north} {south}");
    }

    #[test]
    fn polar_night_is_dark_and_harms_nothing() {
        let polar = MonthlyMeans { latitude_deg: 78.0, ..means() };
        let plane = Plane { tilt_deg: 60.0, azimuth_deg: 180.0, shade: 0.0 };
        let hours = hours_from_means(&polar, plane);
        assert!(hours.iter().all(|h| h.month != 11 && h.irradiance.watts_per_m2().is_finite()));
    }
}
