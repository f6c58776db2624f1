//! One line of the table, and how it is written.

use ::csv::{Terminator, WriterBuilder};
use serde::Serialize;

use super::super::figures::Figure;

/// One line. The order of fields is the order of columns.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Row {
    pub(super) site: String,
    pub(super) record: &'static str,
    pub(super) wiring_of: &'static str,
    pub(super) name: String,
    pub(super) verdict: &'static str,
    pub(super) watts: Figure,
    pub(super) added_watts: Figure,
    pub(super) clipped_watts: Figure,
    pub(super) label_watts: Figure,
    pub(super) utilization: Figure,
    pub(super) nameplate_watts: Figure,
    pub(super) bound_watts: Figure,
    pub(super) gap_percent: Figure,
    pub(super) joints_opened: Option<usize>,
    pub(super) joints_made: Option<usize>,
    pub(super) offered: Option<usize>,
    pub(super) used: Option<usize>,
    pub(super) controller: String,
    pub(super) input: Option<usize>,
    pub(super) string: Option<usize>,
    pub(super) wiring: String,
    pub(super) volts: Figure,
    pub(super) amps: Figure,
    pub(super) cold_open_volts: Figure,
    pub(super) value: Figure,
    pub(super) limit: Figure,
    pub(super) unit: &'static str,
    pub(super) text: String,
    pub(super) would_help: String,
    pub(super) unlocks_watts: Figure,
    pub(super) idle_reverse_amps: Figure,
    pub(super) month: Option<usize>,
    pub(super) kwh: Figure,
    pub(super) added_kwh: Figure,
    pub(super) kwh_per_day: Figure,
    pub(super) clipped_kwh: Figure,
    pub(super) clipped_hours: Figure,
    pub(super) bound_kwh: Figure,
    pub(super) unlocks_kwh: Figure,
}

/// Lines with their header.
pub(in crate::report) fn written<R: Serialize>(rows: &[R]) -> String {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        writer.serialize(row).expect("a flat row serializes into memory");
    }
    let bytes = writer.into_inner().expect("memory takes every byte");
    String::from_utf8(bytes).expect("text made of text is text")
}

/// Text that no spreadsheet takes for a formula.
pub(in crate::report) fn cell(text: &str) -> String {
    let risky = |c: char| {
        matches!(c, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠')
    };
    if text.starts_with(risky) { format!("'{text}") } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_become_a_formula() {
        assert_eq!(cell("=1+1"), "'=1+1");
        assert_eq!(cell("@sum"), "'@sum");
        assert_eq!(cell("\t=1"), "'\t=1");
        assert_eq!(cell("shed-160"), "shed-160");
    }
}
