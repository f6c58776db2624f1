//! Where the headings of a stock file stand, what parts its fields, and which column holds what.

use super::SHOWN;
use super::codes::{
    COLUMN_MISSING, COLUMN_TWICE, COLUMN_UNUSED, HEADING, NO_STOCK, ROWS_ABOVE, TOO_MANY,
};
use super::headings::{Heading, read_heading};
use super::keys::STOCK;
use crate::diagnostic::Place;
use crate::input::findings::{Findings, quoted};
use crate::input::sheet::{Cell, Comments, Record, SEPARATORS, Sheet, cut_sheet};

/// Most rows of stock.
const MAX_ROWS: usize = 2_000;
/// Headings stand in one of the first records; above them titles and dates.
const LAST_HEADING_ROW: usize = 30;
/// A record with so many columns that are understood is one of headings.
const ENOUGH: usize = 3;

/// The records below the headings, and what each column holds.
pub(super) struct Layout {
    /// The headings as typed.
    pub(super) headings: Vec<Cell>,
    /// Key of each column; `None` where it is not used.
    pub(super) columns: Vec<Option<&'static str>>,
    /// Keys that must be there and are not.
    pub(super) missing: Vec<&'static str>,
    pub(super) records: Vec<Record>,
    pub(super) separator: char,
    pub(super) open_quote: Option<Place>,
}

impl Layout {
    /// Finds the headings and reports what is wrong with them; `None` if there are none.
    pub(super) fn find(text: &str, findings: &mut Findings) -> Option<Self> {
        let told = separator_told(text);
        let candidates: &[char] = told.as_ref().map_or(&SEPARATORS, std::slice::from_ref);
        let cut = |separator: &char| {
            let sheet = cut_sheet(text, *separator, Comments::None);
            let (row, understood) = heading_row(&sheet);
            (*separator, sheet, row, understood)
        };
        // The first of the best, since a comma may be part of a number.
        let best = candidates
            .iter()
            .map(cut)
            .reduce(|best, next| if next.3 > best.3 { next } else { best });
        let (separator, sheet, row, understood) = best.expect("there is a separator to try");
        if understood == 0 {
            let at = sheet.records.first().map_or(Place { line: 1, column: 1 }, |r| r.cells[0].at);
            findings.error(NO_STOCK, at, "no row of headings is found", SHOWN);
            return None;
        }
        let Sheet { mut records, open_quote } = sheet;
        let below = records.split_off(row + 1);
        let headings = records.pop().expect("the row of headings").cells;
        warn_rows_above(&records, headings[0].at.line, findings);
        let mut layout = Self {
            columns: Vec::new(),
            missing: Vec::new(),
            headings,
            records: below,
            separator,
            open_quote,
        };
        layout.read_headings(findings);
        layout.warn_unused(findings);
        layout.limit_rows(findings);
        Some(layout)
    }

    /// The key of each column, and reports headings that cannot be used.
    fn read_headings(&mut self, findings: &mut Findings) {
        let mut meant = Vec::new();
        for Cell { text, at } in &self.headings {
            let heading = if text.is_empty() { Heading::Unused } else { read_heading(text) };
            self.columns.push(match heading {
                Heading::Of(key) => {
                    let first = self.columns.iter().position(|c| *c == Some(key));
                    if let Some(first) = first {
                        let other = quoted(&self.headings[first].text);
                        let message = format!("two columns are `{key}`: {other} and {}", quoted(text));
                        let help = "take one of them out, or head it so that it is no figure of the label, as in `note`";
                        findings.error(COLUMN_TWICE, *at, message, help);
                    }
                    first.is_none().then_some(key)
                }
                Heading::Unused => None,
                Heading::Wrong(wrong) => {
                    findings.error(HEADING, *at, wrong.message, wrong.help);
                    meant.extend(wrong.meant);
                    None
                }
            });
        }
        self.report_missing(&meant, findings);
    }

    /// Columns that have something in them, which nobody reads.
    fn warn_unused(&self, findings: &mut Findings) {
        let filled = |k: usize| {
            self.records.iter().any(|r| r.cells.get(k).is_some_and(|c| !c.text.is_empty()))
        };
        let unused: Vec<(usize, &Cell)> = (self.headings.iter().enumerate())
            .filter(|(_, cell)| cell.text.is_empty() || read_heading(&cell.text) == Heading::Unused)
            .filter(|(k, _)| filled(*k))
            .collect();
        let Some((_, first)) = unused.first() else { return };
        let names: Vec<String> = unused
            .iter()
            .map(|(k, cell)| match cell.text.as_str() {
                "" => format!("the {}th, which has no heading", k + 1),
                text => quoted(text),
            })
            .collect();
        let message = format!("columns that are not read: {}", names.join(", "));
        let help = "if one is a figure of the label, head it with the key's name, such as `voc_percent_per_c` or `max_fuse_a`";
        findings.warning(COLUMN_UNUSED, first.at, message, help);
    }

    fn report_missing(&mut self, meant: &[&'static str], findings: &mut Findings) {
        let needed = STOCK.keys.iter().filter(|k| k.if_missing.is_some()).map(|k| k.name);
        self.missing = needed.filter(|key| !self.columns.contains(&Some(key))).collect();
        // What a heading that is told already stands for is not missed as well.
        let names: Vec<String> = self
            .missing
            .iter()
            .filter(|key| !meant.contains(key))
            .map(|k| format!("`{k}`"))
            .collect();
        if names.is_empty() {
            return;
        }
        let are = if names.len() == 1 { "is no column" } else { "are no columns" };
        let message = format!("there {are} {}", names.join(", "));
        let help = "the five figures of the label, an id and a count must be there; head each column with the key's name, or in the trade's words such as `Voc (V)`";
        findings.error(COLUMN_MISSING, self.headings[0].at, message, help);
    }

    fn limit_rows(&mut self, findings: &mut Findings) {
        let n = self.records.len();
        if n > MAX_ROWS {
            let at = self.records[MAX_ROWS].cells[0].at;
            let message = format!("there are too many rows ({n}; at most {MAX_ROWS} are read)");
            let help = "one row is one kind with its count: add panels of one label together, or split the file";
            findings.error(TOO_MANY, at, message, help);
            self.records.truncate(MAX_ROWS);
        }
    }
}

/// The row that is most probably the one of headings, and how many of its columns are understood.
fn heading_row(sheet: &Sheet) -> (usize, usize) {
    let understood = |record: &Record| {
        let ours =
            |cell: &&Cell| !cell.text.is_empty() && read_heading(&cell.text) != Heading::Unused;
        record.cells.iter().filter(ours).count()
    };
    let counts: Vec<usize> = sheet.records.iter().take(LAST_HEADING_ROW).map(understood).collect();
    let most = counts.iter().copied().max().unwrap_or(0);
    let row = counts.iter().position(|n| *n >= ENOUGH.min(most)).unwrap_or(0);
    (row, counts.get(row).copied().unwrap_or(0))
}

/// What a first line `sep=;` says, by which spreadsheets tell each other what parts the fields
/// (common practice, no source).
fn separator_told(text: &str) -> Option<char> {
    text.lines().next()?.trim_end().strip_prefix("sep=")?.chars().next()
}

fn warn_rows_above(above: &[Record], heading_line: usize, findings: &mut Findings) {
    let filled = |r: &&Record| r.cells.iter().filter(|c| !c.text.is_empty()).count() > 2;
    if let Some(first) = above.iter().find(filled) {
        let message = format!("rows above the headings in line {heading_line} are not read");
        let help = "if they are stock, move the headings above them";
        findings.warning(ROWS_ABOVE, first.cells[0].at, message, help);
    }
}
