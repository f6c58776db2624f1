//! Where the sun stands and what falls on a tilted plane, hour by hour or from twelve monthly means.
//!
//! ```text
//! weather file:  hours  → sun_position → Sky → on_plane
//! monthly means: months → clearness_classes → the course of a day → direct and diffuse → on_plane
//! ```
//!
//! Angles are in degrees at every boundary: latitude north positive, azimuth clockwise from north,
//! tilt from horizontal. Irradiance is in W/m².
//! Architecture invariant: pure functions of numbers; nothing here knows a panel, a file or a site.

mod air;
mod classes;
mod day;
mod full;
mod plane;
mod position;
mod sky;
mod year;

pub use air::air_at;
pub use classes::clearness_classes;
pub use day::{CALENDAR_DAYS, Day, MEAN_DAYS};
pub use full::under_full_sun;
pub use plane::Plane;
pub use position::{Instant, SunPosition, day_of_year, sun_position};
pub use sky::{Sky, direct_share, extraterrestrial};
pub use year::{MonthlyMeans, PlaneHour, hours_from_means, plane_hour};
