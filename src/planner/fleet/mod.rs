//! One stock for many sites.

mod options;

pub use options::{FleetFailure, FleetOptions, Progress, Silent};
