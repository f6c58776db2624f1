//! What a person says about money, in any one currency.

use super::KindIdx;

/// Worth of energy, prices and what panels would sell for, kept as given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MoneyData {
    /// What a kilowatt-hour is worth.
    pub worth_per_kwh: Option<f64>,
    /// Years within which panels are to earn what they cost; `None` means the usual.
    pub worth_years: Option<f64>,
    /// What one panel of a kind would sell for.
    pub resale: Vec<(KindIdx, f64)>,
    /// What parts cost, where a price file was read.
    pub prices: Option<Vec<PartPrice>>,
}

/// What parts of one sort cost.
#[derive(Debug, Clone, PartialEq)]
pub struct PartPrice {
    /// Name of the sort, as the shopping list has it.
    pub part: String,
    /// For one; for cable, for a metre of its run, both conductors.
    pub price: f64,
}

impl MoneyData {
    /// What one panel of a kind would sell for.
    #[must_use]
    pub fn resale_of(&self, kind: KindIdx) -> Option<f64> {
        self.resale.iter().find(|(k, _)| *k == kind).map(|(_, price)| *price)
    }
}
