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
        let mut hours = self.every_hour(plane);
        hours.retain(|hour| hour.irradiance.watts_per_m2() > 0.0);
        hours
    }

    /// The same for several planes at once; hours that are dark on all of them are left out.
    #[must_use]
    pub fn on_each(&self, planes: &[Plane]) -> Vec<SunHour> {
        let mut hours: Vec<SunHour> = Vec::new();
        for plane in planes {
            let every = self.every_hour(*plane);
            if hours.is_empty() {
                hours.extend(every.iter().map(SunHour::dark));
            }
            for (hour, lit) in hours.iter_mut().zip(every) {
                hour.sun.push(lit.irradiance.watts_per_m2());
            }
        }
        hours.retain(|hour| hour.sun.iter().any(|sun| *sun > 0.0));
        hours
    }

    fn every_hour(&self, plane: Plane) -> Vec<PlaneHour> {
        match self {
            Self::Months(means) => hours_from_means(means, plane),
            Self::Weather(year) => year.hours.iter().map(|h| hour_on(year, h, plane)).collect(),
        }
    }
}

/// Light on every plane of a site and the air around, for so many hours of the year.
#[derive(Debug, Clone, PartialEq)]
pub struct SunHour {
    /// Month, 0 for January.
    pub month: usize,
    /// How long it lasts in the year. \[h\]
    pub hours: f64,
    /// Air temperature. \[°C\]
    pub air: f64,
    /// Irradiance on each plane. \[W/m²\]
    pub sun: Vec<f64>,
}

impl SunHour {
    fn dark(like: &PlaneHour) -> Self {
        let air = like.air.celsius();
        Self { month: like.month, hours: like.hours, air, sun: Vec::new() }
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

/// Where a site's light comes from and how its panels stand, plane by plane; `None` if the file does
/// not say it all.
#[must_use]
pub fn light_of(sun: &SunData) -> Option<(LightSource<'_>, Vec<Plane>)> {
    let planes = sun.planes.iter().map(|p| Plane {
        tilt_deg: p.tilt_deg,
        azimuth_deg: p.azimuth_deg,
        shade: p.shade,
    });
    let planes: Vec<Plane> = planes.collect();
    let planes = if planes.is_empty() { vec![only_plane(sun)?] } else { planes };
    Some((LightSource::of(sun)?, planes))
}

/// How panels stand where all stand alike.
fn only_plane(sun: &SunData) -> Option<Plane> {
    let tilt_deg = sun.tilt_deg?;
    // A flat panel faces nowhere.
    let azimuth_deg =
        if tilt_deg == 0.0 { sun.azimuth_deg.unwrap_or(180.0) } else { sun.azimuth_deg? };
    Some(Plane { tilt_deg, azimuth_deg, shade: 0.0 })
}
