//! Readings of an array against what it should show, and what is likely wrong: as a page, as JSON, as a
//! table for spreadsheets; and a form to fill in.

mod act;
mod json;
mod names;
mod sheet;
mod starter;
mod table;
mod words;

use super::Format;
use crate::model::Installation;
use crate::plan::{Checked, Verified};

pub use starter::readings_form;

/// The answer to `check --readings` as text that ends with a line end.
#[must_use]
pub fn verified(
    installation: &Installation,
    checked: &Checked,
    verified: &Verified,
    format: Format,
) -> String {
    match format {
        Format::Table => table::page(installation, checked, verified),
        Format::Json => json::text(installation, checked, verified),
        Format::Csv => sheet::text(installation, checked, verified),
    }
}
