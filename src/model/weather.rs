//! A year of weather at one place, hour by hour.

use crate::units::Celsius;

/// A common year of hours, from the first hour of January to the last of December.
///
/// Complete by construction in `input`: 8760 hours in order, without 29 February.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherYear {
    /// What the file calls the place.
    pub place: String,
    /// North positive. \[°\]
    pub latitude_deg: f64,
    /// East positive. \[°\]
    pub longitude_deg: f64,
    /// Local standard time less universal time. \[h\]
    pub utc_offset_h: f64,
    /// The hours.
    pub hours: Vec<WeatherHour>,
}

/// One hour of measured or modelled weather. A typical year takes its months from several years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherHour {
    /// Calendar year.
    pub year: i32,
    /// Month, from 1.
    pub month: u32,
    /// Day of the month, from 1.
    pub day: u32,
    /// Local standard time at which the hour ends, 1 to 24.
    pub end_hour: u32,
    /// Mean global irradiance on the horizontal. \[W/m²\]
    pub global: f64,
    /// Mean direct irradiance, facing the sun. \[W/m²\]
    pub direct: f64,
    /// Mean diffuse irradiance on the horizontal. \[W/m²\]
    pub diffuse: f64,
    /// Air temperature.
    pub air: Celsius,
}

/// Hours of a common year.
pub const HOURS_OF_YEAR: usize = 8760;

/// The months, from the first.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl WeatherYear {
    /// The middle of an hour in universal time, counted from midnight of its day. \[h\]
    #[must_use]
    pub fn middle_utc(&self, hour: &WeatherHour) -> f64 {
        f64::from(hour.end_hour) - 0.5 - self.utc_offset_h
    }
}
