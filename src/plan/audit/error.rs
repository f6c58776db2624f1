//! What the audit found wrong.

use std::fmt;

/// A plan that does not stand: an error in this program, never an answer.
#[derive(Debug, Clone, PartialEq)]
pub enum AuditError {
    /// A figure of the plan is not what comes out when it is derived again.
    Figure {
        /// Which figure, and where.
        what: String,
        /// What the plan says.
        claimed: f64,
        /// What the audit finds.
        derived: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// Something in the plan is not allowed.
    Broken(String),
}

impl fmt::Display for AuditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Figure { what, claimed, derived, unit } => write!(
                f,
                "{what}: the plan says {claimed:.4} {unit}, derived again it is {derived:.4} {unit}"
            ),
            Self::Broken(what) => f.write_str(what),
        }
    }
}

impl std::error::Error for AuditError {}

/// Result of one step of the audit.
pub(super) type Audited = Result<(), AuditError>;

/// Holds a figure against the one derived again.
pub(super) fn agree(
    what: impl FnOnce() -> String,
    (claimed, derived): (f64, f64),
    tolerance: f64,
    unit: &'static str,
) -> Audited {
    // Written so that NaN disagrees.
    if (claimed - derived).abs() <= tolerance {
        return Ok(());
    }
    Err(AuditError::Figure { what: what(), claimed, derived, unit })
}

/// Fails with a sentence unless something holds.
pub(super) fn ensure(holds: bool, what: impl FnOnce() -> String) -> Audited {
    if holds { Ok(()) } else { Err(AuditError::Broken(what())) }
}
