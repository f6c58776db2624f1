//! Readings against their bands: a table of its own, since each line is a reading and not a plan.

use serde::Serialize;

use super::row::{cell, written};
use crate::report::figures::Figure;

/// One line. The order of fields is the order of columns.
#[derive(Debug, Clone, Default, Serialize)]
pub(in crate::report) struct VerifyRow {
    pub(in crate::report) site: String,
    pub(in crate::report) record: &'static str,
    pub(in crate::report) set: Option<usize>,
    pub(in crate::report) sun_w_m2: Figure,
    pub(in crate::report) cells_c: Figure,
    pub(in crate::report) controller: String,
    pub(in crate::report) input: Option<usize>,
    pub(in crate::report) string: Option<usize>,
    pub(in crate::report) reading: &'static str,
    pub(in crate::report) unit: &'static str,
    pub(in crate::report) value: Figure,
    pub(in crate::report) expected: Figure,
    pub(in crate::report) low: Figure,
    pub(in crate::report) high: Figure,
    pub(in crate::report) verdict: &'static str,
    pub(in crate::report) likeliest: Figure,
    pub(in crate::report) likely_percent: Figure,
    pub(in crate::report) text: String,
    pub(in crate::report) cannot_tell_from: String,
}

/// The lines with their header.
pub(in crate::report) fn verified(site: &str, rows: Vec<VerifyRow>) -> String {
    let safe = |row: VerifyRow| VerifyRow {
        site: cell(site),
        controller: cell(&row.controller),
        text: cell(&row.text),
        cannot_tell_from: cell(&row.cannot_tell_from),
        ..row
    };
    written(&rows.into_iter().map(safe).collect::<Vec<_>>())
}
