//! Answers as text: a page to read, JSON for programs, CSV for spreadsheets.
//!
//! Every function takes the installation (for the names) and an answer, and returns the whole text.
//! `docs/answer.md` says what each part means; the JSON is a contract, see [`schema`].
//! Architecture invariant: nothing here reads files, writes to a terminal or asks the environment.

mod csv;
pub mod drawing;
mod figures;
mod fleet;
mod joints;
mod json;
mod label;
mod layout;
mod lesson;
mod money;
mod moves;
mod names;
mod numbers;
mod page;
mod parts;
mod phases;
mod planes;
pub mod schema;
mod steps;
mod table;
mod verify;
mod words;

pub use fleet::{
    Broken, FleetAsked, Mistake, ReportOf, Unread, allocation, index, substitutes, who_can_use,
};
pub use label::{LabelAnswer, how_to_measure, label};
pub use lesson::{Sheet, exercises, lesson};
pub use page::{ReportForm, SiteFile, report};
pub use phases::{phases, phases_report};
pub use verify::{readings_form, verified};

use crate::model::Installation;
use crate::plan::{Advice, Checked};

/// In which form an answer is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Format {
    /// A page to read, at most 100 columns wide.
    #[default]
    Table,
    /// One JSON object, versioned.
    Json,
    /// One table for spreadsheets.
    Csv,
}

/// The answer to `advise` as text that ends with a line end.
#[must_use]
pub fn advice(installation: &Installation, advice: &Advice, format: Format) -> String {
    let installation = &advice.installation_in_use(installation);
    match format {
        Format::Table => table::advice(installation, advice),
        Format::Json => json::advice(installation, advice),
        Format::Csv => csv::advice(installation, advice),
    }
}

/// The answer to `check` as text that ends with a line end.
#[must_use]
pub fn checked(installation: &Installation, checked: &Checked, format: Format) -> String {
    match format {
        Format::Table => table::checked(installation, checked),
        Format::Json => json::checked(installation, checked),
        Format::Csv => csv::checked(installation, checked),
    }
}
