//! What joints buy: the best watts for each number of them.

use super::{Joints, Plan};
use crate::units::Watts;

/// The best plans by joints opened and made: none has both fewer joints and as many charged watts as
/// another.
///
/// Plans that the search does not tell apart (charged watts within 0.1 %) stand here once, by the
/// one with fewest joints.
#[derive(Debug, Clone, PartialEq)]
pub struct JointCurve {
    /// From fewest joints to most; the first is today's wiring unless that breaches a limit.
    pub points: Vec<JointPoint>,
    /// Place of the best plan of the answer in `points`; `None` where another plan has as many
    /// charged watts for fewer joints, and the answer's plan was preferred for its fewer panels.
    pub chosen: Option<usize>,
    /// Is it ruled out that there are plans with fewer joints than the first point?
    pub complete: bool,
}

/// One plan of the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPoint {
    /// The plan, audited. Its bound holds for all plans that take fewer joints than the next point.
    pub plan: Plan,
    /// Worths of a joint for which this is the best plan; `None` where there is none, since the
    /// points beside it make up for it.
    pub worths: Option<WorthRange>,
}

/// Watts that a joint must bring, from and up to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorthRange {
    /// Above this worth. \[W\]
    pub from: Watts,
    /// Up to this one; `None` without end. \[W\]
    pub to: Option<Watts>,
}

impl JointPoint {
    /// Joints opened and made.
    #[must_use]
    pub fn joints(&self) -> Joints {
        self.plan.joints
    }
}
