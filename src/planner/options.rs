//! What a person may ask beyond the site file.

use crate::electrical::FitError;
use crate::model::InputRef;
use crate::plan::{AuditError, Rule, Touch};
use crate::solve::Effort;

/// What a person may ask beyond the site file.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Touch levels to plan, in order.
    pub touch: Vec<Touch>,
    /// By which arithmetic plans are chosen.
    pub rule: Rule,
    /// Least watts that a panel must bring to be worth its place. \[W\]
    pub threshold_watts: f64,
    /// The same as a share of its label; the larger of the two counts.
    pub threshold_share: f64,
    /// Least watts that a spare controller must bring to be used, beside what its panels must. \[W\]
    pub controller_watts: f64,
    /// Watts that each joint opened or made must bring; `None` or 0: joints settle near-ties
    /// alone. \[W\]
    pub joint_worth: Option<f64>,
    /// Also find the best watts for each number of joints.
    pub joint_curve: bool,
    /// Plan this input alone; `None` means all of them together.
    pub input: Option<InputRef>,
    /// How much work the search may do.
    pub effort: Effort,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            touch: Touch::ALL.to_vec(),
            rule: Rule::Curve,
            threshold_watts: 1.0,
            threshold_share: 0.02,
            controller_watts: 10.0,
            joint_worth: None,
            joint_curve: false,
            input: None,
            effort: Effort::default(),
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Failure {
    /// No curve passes through the label of this kind.
    Label {
        /// The kind's id.
        kind: String,
        /// What is wrong.
        error: FitError,
    },
    /// Every input is to be kept as it is.
    AllKept,
    /// A plan did not stand the audit: an error in this program, never shown as an answer.
    Audit(AuditError),
}
