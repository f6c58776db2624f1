//! An upgrade in steps: the answer to `phases` in every form.
//!
//! What is said stands in `words` and `doubts`, so that the page for the terminal and the report agree.

mod doubts;
mod page;
mod table;
mod words;

pub use page::phases_report;

use super::{Format, csv, json};
use crate::model::Installation;
use crate::plan::Phased;

/// The answer to `phases` as text that ends with a line end.
#[must_use]
pub fn phases(installation: &Installation, phased: &Phased, format: Format) -> String {
    match format {
        Format::Table => table::written(installation, phased),
        Format::Json => json::phases(installation, phased),
        Format::Csv => csv::phases(installation, phased),
    }
}
