//! A seller's stock.

use super::Kind;

/// Panels of one kind that a seller holds. Of one kind there is at most one entry.
#[derive(Debug, Clone, PartialEq)]
pub struct StockItem {
    /// Their label.
    pub kind: Kind,
    /// How many.
    pub count: usize,
    /// What one is offered for, in any currency; `None` where it is not said.
    pub price: Option<f64>,
}
