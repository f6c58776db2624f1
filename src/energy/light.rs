//! The year's light on the panels of a site.

use crate::model::{SunData, WeatherHour, WeatherYear};
use crate::sun::{
    Instant, MonthlyMeans, Plane, PlaneHour, day_of_year, hours_from_means, plane_hour,
};

/// Where the year's light comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LightSource<'a> {
    /// Twelve monthly means of sun and air.
    Months(MonthlyMeans),
    /// A year of hours.
    Weather(&'a WeatherYear),
}

impl<'a> LightSource<'a> {
    /// What the site gives; `None` if it gives neither a read weather file nor all of latitude, sun
    /// and air.
    fn of(sun: &'a SunData) -> Option<Self> {
        if let Some(year) = &sun.year {
            return Some(Self::Weather(year));
        }
        Some(Self::Months(MonthlyMeans {
            latitude_deg: sun.latitude_deg?,
            sun_kwh_m2_day: sun.sun_kwh_m2_day?,
            air_c: sun.air_c?,
        }))
    }

    /// The light on a plane, in the order of the year; dark hours are left out.
    #[must_use]
    pub fn on(&self, plane: Plane) -> Vec<PlaneHour> {
        let mut hours = match self {
            Self::Months(means) => hours_from_means(means, plane),
            Self::Weather(year) => year.hours.iter().map(|h| hour_on(year, h, plane)).collect(),
        };
        hours.retain(|hour| hour.irradiance.watts_per_m2() > 0.0);
        hours
    }
}

fn hour_on(year: &WeatherYear, hour: &WeatherHour, plane: Plane) -> PlaneHour {
    let middle = Instant {
        year: hour.year,
        day_of_year: day_of_year(hour.year, hour.month, hour.day),
        hour_utc: year.middle_utc(hour),
    };
    PlaneHour {
        month: hour.month as usize - 1,
        hours: 1.0,
        irradiance: plane_hour(
            middle,
            (year.latitude_deg, year.longitude_deg),
            (hour.global, hour.direct, hour.diffuse),
            plane,
        ),
        air: hour.air,
    }
}

/// Where a site's light comes from and how its panels stand; `None` if the file does not say it all.
#[must_use]
pub fn light_of(sun: &SunData) -> Option<(LightSource<'_>, Plane)> {
    let tilt_deg = sun.tilt_deg?;
    // A flat panel faces nowhere.
    let azimuth_deg =
        if tilt_deg == 0.0 { sun.azimuth_deg.unwrap_or(180.0) } else { sun.azimuth_deg? };
    Some((LightSource::of(sun)?, Plane { tilt_deg, azimuth_deg }))
}
