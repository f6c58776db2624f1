//! Today's wiring against what a meter showed on it.

use super::{Failure, fit};
use crate::model::{ArrayReadings, Installation};
use crate::plan::{Evaluator, Verified};

/// Holds readings against the wiring as it stands in the site file: each against its band, and what is
/// likely wrong.
///
/// # Errors
/// [`Failure::Label`] if no curve passes through a label.
pub fn verify(installation: &Installation, readings: &ArrayReadings) -> Result<Verified, Failure> {
    let catalog = fit(installation)?;
    let evaluator = Evaluator::new(installation, &catalog);
    Ok(crate::plan::verify(&evaluator, installation, &catalog, readings))
}
