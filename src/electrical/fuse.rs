//! Standard fuse sizes.

use crate::units::Amps;

/// Standard photovoltaic fuse sizes, gPV 10 × 38. \[A\] (from memory, check your maker's list)
const STANDARD: [f64; 13] = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0];

/// The smallest standard fuse between what the conductor needs and what the label allows.
#[must_use]
pub fn standard_fuse(at_least: Amps, at_most: Amps) -> Option<Amps> {
    STANDARD.into_iter().map(Amps).find(|size| *size >= at_least && *size <= at_most)
}
