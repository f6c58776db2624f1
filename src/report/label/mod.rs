//! A label from meter readings, as a page, as JSON, as a table for spreadsheets, and as a `kinds:` entry.

mod cautions;
mod entry;
mod fade;
mod json;
mod sheet;
mod table;
mod words;

use super::Format;
use crate::electrical::readings::{Bands, Fade, LabelEstimate};
use crate::model::{Kind, MeasuredPanel};
use crate::units::Amps;

/// Everything that an answer of `label` rests on.
#[derive(Debug, Clone, Copy)]
pub struct LabelAnswer<'a> {
    /// What was read.
    pub measured: &'a MeasuredPanel,
    /// What the readings say of the panel.
    pub estimate: &'a LabelEstimate,
    /// The kind whose label is known, and how far the panel has faded; `None` without a label.
    pub fade: Option<(&'a Kind, &'a Fade)>,
    /// Name of the `kinds:` entry.
    pub id: &'a str,
    /// The meter's largest current range. \[A\]
    pub meter_range: Amps,
}

impl LabelAnswer<'_> {
    fn bands(&self) -> &Bands {
        &self.estimate.bands
    }
}

/// The answer to `label` as text that ends with a line end.
#[must_use]
pub fn label(answer: &LabelAnswer<'_>, format: Format) -> String {
    match format {
        Format::Table => table::page(answer),
        Format::Json => json::text(answer),
        Format::Csv => sheet::text(answer),
    }
}

/// How to measure, what to be careful of, and a file of readings to begin from.
#[must_use]
pub fn how_to_measure(meter_range: Amps, starter: &str) -> String {
    table::how(meter_range, starter)
}
