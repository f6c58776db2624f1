//! What watts, panels, visits and joints count for at one site.

/// What watts, panels, visits and joints count for at one site, in the unit of the aim.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SiteTerms {
    /// Of one more watt. Above zero.
    pub watt: f64,
    /// Asking price of one panel of each kind of the stock; empty where that is no matter.
    pub asking: Vec<f64>,
    /// Of a visit, where anything changes; nothing where several inputs bear it together.
    pub visit: f64,
    /// Of a joint opened or made.
    pub joint: f64,
    /// Least watts that a panel must bring. \[W\]
    pub threshold_watts: f64,
    /// The same as a share of its label.
    pub threshold_share: f64,
}

impl SiteTerms {
    /// Asking price of one panel, as far as it counts.
    pub(super) fn asking(&self, stock: usize) -> f64 {
        self.asking.get(stock).copied().unwrap_or(0.0)
    }
}
