//! What a seller knows of a customer beyond the array that stands.

/// How much of the wiring a customer lets a seller disturb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leave {
    /// New strings beside what is wired.
    None,
    /// Strings may get longer.
    Extend,
    /// Anything.
    Free,
}

/// What a site file says of its owner as somebody's customer; `None` where it says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CustomerTerms {
    /// How much of the wiring may be disturbed.
    pub leave: Option<Leave>,
    /// What one more watt at full sun is worth, in the currency of the stock's prices.
    pub worth_per_watt: Option<f64>,
    /// What one more kWh a year is worth, once.
    pub worth_per_kwh: Option<f64>,
}
