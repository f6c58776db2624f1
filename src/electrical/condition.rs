//! The conditions at which an array is looked at.

use super::DEFAULT_NOCT;
use crate::model::{Kind, PlaneIdx, Site};
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

/// A panel while watts are compared: standard test conditions, or, where the file has planes, what its
/// plane has of the sun at the design instant on cells at 25 °C.
#[must_use]
pub fn compared(kind: &Kind) -> Condition {
    Condition { irradiance: kind.design_irradiance(), ..stc() }
}

/// A sky under which an idle array floats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IdleSky {
    /// Are the cells at 25 °C, or as cold as the coldest morning?
    pub cells: IdleCells,
    /// The plane that the sun stands square on; `None`: every plane has full sun.
    pub square_on: Option<PlaneIdx>,
}

/// How warm the cells of an idle array are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IdleCells {
    /// 25 °C.
    Warm,
    /// The design low of the air.
    Cold,
}

impl IdleSky {
    /// A panel's condition under it.
    #[must_use]
    pub fn condition(self, site: &Site, kind: &Kind) -> Condition {
        let full = match self.cells {
            IdleCells::Warm => stc(),
            IdleCells::Cold => cold_morning(site),
        };
        let on_its_plane = self.square_on.zip(kind.placed.as_ref());
        let light = |(lit, own): (PlaneIdx, &crate::model::Placed)| {
            site.sun.planes[own.plane.0].at_square[lit.0]
        };
        Condition { irradiance: on_its_plane.map_or(full.irradiance, light), ..full }
    }
}

/// Every sky under which an idle array is looked at: full sun on all panels, and where planes stand
/// unlike, full sun on each of them alone while the others have what the same sun gives them: a string
/// in weak light takes more from one in full sun than it would in full sun itself.
#[must_use]
pub fn idle_skies(site: &Site) -> Vec<IdleSky> {
    let planes = &site.sun.planes;
    let unlike = |lit: &usize| {
        let full = stc().irradiance.watts_per_m2();
        planes.iter().any(|p| (p.at_square[*lit].watts_per_m2() - full).abs() > 1e-6)
    };
    let lit = (0..planes.len()).filter(unlike).map(|p| Some(PlaneIdx(p)));
    std::iter::once(None)
        .chain(lit)
        .flat_map(|square_on| {
            [IdleCells::Warm, IdleCells::Cold].map(|cells| IdleSky { cells, square_on })
        })
        .collect()
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
