//! Place and climate.

use std::sync::Arc;

use super::{DesignSun, MoneyData, PanelPlane, WeatherYear};
use crate::units::{Amps, Celsius};

/// Place and climate of a site, and what the planner may do there.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// The person's own name for it.
    pub name: String,
    /// Design low of the air: decides whether the array can destroy the controller.
    pub coldest: Celsius,
    /// Design high of the air.
    pub hottest: Celsius,
    /// Most panels in one block; 1 means no blocks.
    pub block_max: usize,
    /// Factor on short-circuit current for the input current rule.
    pub isc_factor: f64,
    /// Most current that the battery may be charged with, by all controllers together; `None` if the
    /// file does not say. \[A\]
    pub battery_charge: Option<Amps>,
    /// What turns on yearly energy; kept as given.
    pub sun: SunData,
    /// What is said about money.
    pub money: MoneyData,
}

/// Optional data on position and sun, kept as given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SunData {
    /// Latitude, north positive. \[°\]
    pub latitude_deg: Option<f64>,
    /// Tilt of the array from horizontal. \[°\]
    pub tilt_deg: Option<f64>,
    /// Azimuth of the array: 0 north, 90 east, 180 south. \[°\]
    pub azimuth_deg: Option<f64>,
    /// Mean daily sun on the horizontal, January to December. \[kWh/m²/day\]
    pub sun_kwh_m2_day: Option<[f64; 12]>,
    /// Mean air temperature, January to December. \[°C\]
    pub air_c: Option<[f64; 12]>,
    /// Name of a weather file, relative to the site file.
    pub weather: Option<String>,
    /// What stands in it, once it is read.
    pub year: Option<Arc<WeatherYear>>,
    /// What is lost before the controller; `None` means the usual.
    pub losses: Option<Vec<Loss>>,
    /// Planes that panels stand on; empty where all stand alike.
    pub planes: Vec<PanelPlane>,
    /// Where the sun stands when watts are compared; `None` without planes: full sun on all panels.
    pub design: Option<DesignSun>,
}

/// A share of power that is lost, and to what.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// To what, in a word.
    pub id: String,
    /// How much, as a fraction.
    pub share: f64,
}
