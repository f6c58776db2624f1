//! What may be asked of an allocation beyond customers and stock.

use crate::electrical::FitError;
use crate::plan::{AuditError, FleetAim, OfferRecord, Stage};

/// What may be asked of an allocation beyond customers and stock.
#[derive(Debug, Clone, PartialEq)]
pub struct FleetOptions {
    /// What is to be the most.
    pub aim: FleetAim,
    /// What a visit to a site costs, where anything changes there; counts for [`FleetAim::Margin`].
    pub visit_cost: f64,
    /// What each joint opened or made costs; counts for [`FleetAim::Margin`].
    pub joint_cost: f64,
    /// Least watts that a panel must bring to be worth its place. \[W\]
    pub threshold_watts: f64,
    /// The same as a share of its label; the larger of the two counts.
    pub threshold_share: f64,
    /// Gap at which the allocation counts as proven, as a fraction of its value.
    pub gap: f64,
}

impl Default for FleetOptions {
    fn default() -> Self {
        Self {
            aim: FleetAim::Watts,
            visit_cost: 0.0,
            joint_cost: 0.0,
            threshold_watts: 1.0,
            threshold_share: 0.02,
            gap: 0.01,
        }
    }
}

/// Told how far an allocation has come, and asked whether to go on. From several threads at once.
pub trait Progress: Sync {
    /// Something has been done.
    fn at(&self, _stage: Stage) {}
    /// Something was found about a site: what a journal keeps.
    fn met(&self, _offer: &OfferRecord) {}
    /// Is the best known answer wanted now?
    fn stop(&self) -> bool {
        false
    }
}

/// Says nothing, and never stops.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent;

impl Progress for Silent {}

/// Why there is no allocation.
#[derive(Debug, Clone, PartialEq)]
pub enum FleetFailure {
    /// No curve passes through a label of the stock.
    Stock {
        /// Index in the stock.
        stock: usize,
        /// What is wrong.
        error: FitError,
    },
    /// No curve passes through a label of a customer's.
    Label {
        /// Index of the customer.
        customer: usize,
        /// The kind's id.
        kind: String,
        /// What is wrong.
        error: FitError,
    },
    /// A wiring did not stand the audit: an error in this program, never shown as an answer.
    Audit {
        /// Index of the customer.
        customer: usize,
        /// What disagrees.
        error: AuditError,
    },
}
