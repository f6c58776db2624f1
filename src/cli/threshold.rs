//! What a panel must bring to be worth its place.

use clap::Args;

use super::numbers::{percent, watts};

/// What a panel must bring to be worth its place.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct Threshold {
    /// Watts a panel must bring to be worth its place
    #[arg(long, value_name = "W", default_value = "1", value_parser = watts)]
    pub(super) threshold_watts: f64,
    /// The same in percent of the panel's label watts; the larger of the two counts
    #[arg(long, value_name = "P", default_value = "2", value_parser = percent)]
    threshold_percent: f64,
}

impl Threshold {
    /// The threshold in percent as a share of the panel's label.
    pub(super) fn share(self) -> f64 {
        self.threshold_percent / 100.0
    }
}
