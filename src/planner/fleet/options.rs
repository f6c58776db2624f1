//! What may be asked of an allocation beyond customers and stock.

use crate::electrical::FitError;
use crate::model::Kind;
use crate::plan::{AuditError, FleetAim, OfferRecord, Stage};
use crate::solve::Watch;

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
    /// Where the search is told to end with what it has.
    pub watch: Watch,
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
            watch: Watch::default(),
        }
    }
}

impl FleetOptions {
    /// What a panel must bring to be worth its place. \[W\]
    pub(super) fn charge(&self, kind: &Kind) -> f64 {
        self.threshold_watts.max(self.threshold_share * kind.label.p_mp.watts())
    }
}

/// Told how far an allocation has come. From several threads at once.
pub trait Progress: Sync {
    /// Something has been done.
    fn at(&self, _stage: Stage) {}
    /// Something was found about a site: what a journal keeps.
    fn met(&self, _offer: &OfferRecord) {}
}

/// Says nothing.
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
