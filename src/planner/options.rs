//! What a person may ask beyond the site file.

use crate::electrical::FitError;
use crate::energy::EnergyModel;
use crate::model::InputRef;
use crate::plan::{Aim, AuditError, AuditTerms, Rule, Touch};
use crate::solve::Effort;
use crate::units::Watts;

/// What a person may ask beyond the site file.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Touch levels to plan, in order.
    pub touch: Vec<Touch>,
    /// What plans are chosen for; `None`: energy in a year, where the file says enough about the sun
    /// and plans are not chosen by the rule of thumb, else watts.
    pub aim: Option<Aim>,
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
            aim: None,
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

impl Options {
    /// By what a plan is audited that was chosen by these options. `planned` as in [`AuditTerms`].
    pub(super) fn audit_terms(&self, planned: Option<InputRef>) -> AuditTerms {
        AuditTerms {
            rule: self.rule,
            charge_watts: Watts(self.threshold_watts),
            charge_share: self.threshold_share,
            charge_controller: Watts(self.controller_watts),
            proof: self.effort.proof,
            planned,
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
    /// Energy was asked for, and the file does not say enough about the sun.
    NoSun,
    /// Readings were given under one sun, and panels stand on several planes.
    SeveralSuns,
    /// Every input is to be kept as it is.
    AllKept,
    /// A plan did not stand the audit: an error in this program, never shown as an answer.
    Audit(AuditError),
}

impl Options {
    /// What plans are chosen for at a site with or without a year of sun.
    pub(super) fn aim_with(&self, model: Option<&EnergyModel>) -> Result<Aim, Failure> {
        match (self.aim, model) {
            (Some(Aim::Watts), _) | (None, None) => Ok(Aim::Watts),
            (None, Some(_)) if self.rule == Rule::Nameplate => Ok(Aim::Watts),
            (None, Some(_)) => Ok(Aim::Year),
            (Some(aim), Some(_)) => Ok(aim),
            (Some(_), None) => Err(Failure::NoSun),
        }
    }
}
