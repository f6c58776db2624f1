//! The conditions at which an array is looked at.

use super::DEFAULT_NOCT;
use crate::model::{Kind, Site};
use crate::units::{Celsius, Irradiance};

/// Irradiance in the plane of the panel, and cell temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Irradiance. \[W/m²\]
    pub irradiance: Irradiance,
    /// Cell temperature. \[°C\]
    pub temp_cell: Celsius,
}

/// Standard test conditions: 1000 W/m², cells at 25 °C (IEC 60904-3).
#[must_use]
pub fn stc() -> Condition {
    Condition { irradiance: Irradiance(1000.0), temp_cell: Celsius(25.0) }
}

/// The coldest morning: full sun on cells that are still at the design low of the air.
#[must_use]
pub fn cold_morning(site: &Site) -> Condition {
    Condition { irradiance: Irradiance(1000.0), temp_cell: site.coldest }
}

/// Cells in the sun, in a light wind: the panel's own rise above the air.
///
/// Ross: `T_cell = T_air + (NOCT − 20)/800 · E`, with NOCT defined at 800 W/m² and 20 °C (IEC 61215).
#[must_use]
pub fn cell_temperature(kind: &Kind, air: Celsius, irradiance: Irradiance) -> Celsius {
    let noct = kind.noct.unwrap_or(DEFAULT_NOCT);
    air + Celsius((noct.celsius() - 20.0) / 800.0 * irradiance.watts_per_m2())
}

/// The hottest noon: full sun, air at the design high, the panel's own rise above it.
#[must_use]
pub fn hot_noon(site: &Site, kind: &Kind) -> Condition {
    let irradiance = Irradiance(1000.0);
    Condition { irradiance, temp_cell: cell_temperature(kind, site.hottest, irradiance) }
}
