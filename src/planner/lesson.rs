//! What a lesson works out: today's wiring, the obvious ways, the best plan.

use super::{Failure, fit};
use crate::model::Installation;
use crate::plan::{Advice, Lesson};

/// The array as it stands, each obvious way to add a spare, and the best plan, worked step by step.
///
/// # Errors
/// [`Failure::Label`] if no curve passes through a label.
pub fn lesson(installation: &Installation, advice: &Advice) -> Result<Lesson, Failure> {
    let catalog = fit(installation)?;
    let best = advice.best.map(|b| &advice.plans[b]).filter(|plan| plan.changes_wiring());
    let planned = best.map(|plan| plan.state.wiring());
    Ok(Lesson::new(installation, &catalog, advice.planned, planned.as_deref()))
}
