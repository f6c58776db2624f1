//! Planes that panels stand on, and where the sun stands when watts are compared.

use crate::units::Irradiance;

/// Index of a plane in [`SunData::planes`](super::SunData).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaneIdx(pub usize);

/// A roof face, a wall, a rack: panels on it stand alike under the sun.
///
/// Irradiances are worked out in `input`, for the sun of
/// [`SunData::design`](super::SunData::design).
#[derive(Debug, Clone, PartialEq)]
pub struct PanelPlane {
    /// The person's own name for it.
    pub id: String,
    /// From horizontal. \[°\]
    pub tilt_deg: f64,
    /// Where it faces: 0 north, 90 east, 180 south. \[°\]
    pub azimuth_deg: f64,
    /// Share of the light straight from the sun that shade takes.
    pub shade: f64,
    /// How many panels fit beside those that stand there; `None` if the file does not say.
    pub room: Option<usize>,
    /// On this plane at the design instant, its shade taken off.
    pub at_design: Irradiance,
    /// On this plane while the sun stands square on each plane in turn, in their order; on its own,
    /// full sun.
    pub at_square: Vec<Irradiance>,
}

/// The instant at which watts are compared on a site with several planes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DesignSun {
    /// The sun stands square on this plane.
    SquareOn(PlaneIdx),
    /// The sun stands there.
    At {
        /// Above the horizon. \[°\]
        elevation_deg: f64,
        /// Clockwise from north. \[°\]
        azimuth_deg: f64,
    },
}

/// A panel of some label on some plane: where the file has planes, such are kinds of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// The label's id in the file.
    pub label_id: String,
    /// On which plane.
    pub plane: PlaneIdx,
    /// Irradiance there at the design instant.
    pub sun: Irradiance,
}
