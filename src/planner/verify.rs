//! Today's wiring against what a meter showed on it.

use super::{Failure, fit};
use crate::model::{ArrayReadings, Installation};
use crate::plan::{Evaluator, Verified};

/// Holds readings against the wiring as it stands in the site file: each against its band, and what is
/// likely wrong.
///
/// # Errors
/// [`Failure::SeveralSuns`] if panels stand on several planes; [`Failure::Label`] if no curve passes
/// through a label.
pub fn verify(installation: &Installation, readings: &ArrayReadings) -> Result<Verified, Failure> {
    if installation.site.sun.planes.len() > 1 {
        return Err(Failure::SeveralSuns);
    }
    let catalog = fit(installation)?;
    let evaluator = Evaluator::new(installation, &catalog);
    Ok(crate::plan::verify(&evaluator, installation, &catalog, readings))
}
