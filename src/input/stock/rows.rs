//! The rows below the headings: each a group of keys that is read as a kind is, with a count and a price.

use std::collections::HashMap;

use super::codes::{FORMULA, RAGGED, ROW_TWICE, THOUSANDS};
use super::keys::STOCK;
use super::layout::Layout;
use crate::diagnostic::Place;
use crate::input::codes::NO_VALUE;
use crate::input::document::{Entry, Node, Value};
use crate::input::fields::Fields;
use crate::input::findings::{Findings, quoted};
use crate::input::keys::Holds;
use crate::input::kinds::read_kind;
use crate::input::sheet::{Cell, Record, number_in_cell};
use crate::model::StockItem;

/// What was made of the rows.
#[derive(Default)]
pub(super) struct Rows {
    pub(super) items: Vec<StockItem>,
    /// Lines of the rows with a mistake.
    pub(super) skipped: Vec<usize>,
}

/// What people write where a label does not say a figure.
const BLANKS: [&str; 6] = ["-", "–", "—", "n/a", "na", "?"];

/// Reads every row; what is wrong with one is reported, and it is left out.
pub(super) fn read_rows(layout: &Layout, findings: &mut Findings) -> Rows {
    let reader = Reader { layout, decimals: Decimals::of(layout) };
    let mut rows = Rows::default();
    let mut first: HashMap<String, (usize, StockItem)> = HashMap::new();
    for record in &layout.records {
        // Printed lists repeat their headings on each page.
        if record.cells.iter().map(|c| &c.text).eq(layout.headings.iter().map(|c| &c.text)) {
            continue;
        }
        let before = findings.n_errors();
        let item = reader.read_row(record, findings);
        let item = item.filter(|_| findings.n_errors() == before).filter(|item| {
            let twice = first.get(&item.kind.id);
            if let Some((line, other)) = twice {
                report_twice(record, layout, item, other, *line, findings);
            }
            twice.is_none()
        });
        match item {
            Some(item) => {
                first.insert(item.kind.id.clone(), (record.line, item.clone()));
                rows.items.push(item);
            }
            None => rows.skipped.push(record.line),
        }
    }
    rows
}

fn report_twice(
    record: &Record,
    layout: &Layout,
    item: &StockItem,
    other: &StockItem,
    line: usize,
    findings: &mut Findings,
) {
    let at = column_of(layout, "id").and_then(|k| record.cells.get(k)).map(|cell| cell.at);
    let message =
        format!("two rows have the id {} (the first in line {line})", quoted(&item.kind.id));
    let help = if item.kind.label == other.kind.label {
        format!("they are alike: add them up in one row with count {}", item.count + other.count)
    } else {
        "their labels differ: give each an id of its own".to_owned()
    };
    findings.error(ROW_TWICE, at.unwrap_or(start_of(record)), message, help);
}

fn column_of(layout: &Layout, key: &str) -> Option<usize> {
    layout.columns.iter().position(|c| *c == Some(key))
}

fn start_of(record: &Record) -> Place {
    Place { line: record.line, column: 1 }
}

/// How the file writes its decimals, told by the figures that can be read in one way only.
#[derive(Debug, Clone, Copy, Default)]
struct Decimals {
    commas: bool,
    points: bool,
}

impl Decimals {
    fn of(layout: &Layout) -> Self {
        let mut found = Self::default();
        for record in &layout.records {
            for (cell, column) in record.cells.iter().zip(&layout.columns) {
                let number = column.is_some_and(is_number) && number_in_cell(&cell.text).is_some();
                if number && !may_part_thousands(&cell.text) {
                    found.commas |= cell.text.contains(',');
                    found.points |= cell.text.contains('.');
                }
            }
        }
        found
    }

    /// Could the point or comma of this figure part thousands?
    fn leave_open(self, text: &str) -> bool {
        let usual = if text.contains(',') {
            self.commas && !self.points
        } else {
            // A point is the usual sign unless the file shows the other.
            self.points || !self.commas
        };
        may_part_thousands(text) && !usual
    }
}

/// One point or comma with one to three digits before it, no leading zero, and three behind it.
fn may_part_thousands(text: &str) -> bool {
    let bare = text.trim_start_matches(['+', '-']);
    let Some((before, behind)) = bare.split_once(['.', ',']) else { return false };
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    let leads = (1..=3).contains(&before.len()) && !before.starts_with('0');
    leads && behind.len() == 3 && digits(before) && digits(behind)
}

/// Text without the apostrophe that keeps a spreadsheet from taking it for a formula, as our own CSV
/// answers have it.
fn without_mark(text: &str) -> &str {
    let risky = ['=', '+', '-', '@'];
    text.strip_prefix('\'').filter(|rest| rest.starts_with(risky)).unwrap_or(text)
}

fn is_number(key: &str) -> bool {
    matches!(STOCK.key(key).holds, Holds::Number(..) | Holds::Count(..))
}

struct Reader<'l> {
    layout: &'l Layout,
    decimals: Decimals,
}

impl Reader<'_> {
    /// The item of a row; `None` if a finding says why not.
    fn read_row(&self, record: &Record, findings: &mut Findings) -> Option<StockItem> {
        if self.is_ragged(record, findings) || self.is_without_figures(record, findings) {
            return None;
        }
        let columns = self.layout.columns.iter().enumerate();
        let mut faulty = Vec::new();
        let entries = columns.filter_map(|(k, column)| {
            let (key, cell) = ((*column)?, record.cells.get(k)?);
            let value = self.value(key, cell, findings).unwrap_or_else(|| {
                faulty.push(key);
                Value::Nothing
            });
            let node = Node { place: cell.at, value };
            Some(Entry { key: key.to_owned(), key_place: cell.at, node })
        });
        let entries: Vec<Entry> = entries.collect();
        let node = Node { place: start_of(record), value: Value::Map(entries) };
        let mut fields = Fields::open(&node, &STOCK, findings)?;
        fields.excuse(&self.layout.missing);
        fields.excuse(&faulty);
        let kind = read_kind(&fields, findings);
        let count = fields.count("count", findings);
        let price = fields.number("price", findings);
        Some(StockItem { kind: kind?, count: count?.value, price: price.map(|p| p.value) })
    }

    /// What a cell holds; `None` if it is reported.
    fn value(&self, key: &str, cell: &Cell, findings: &mut Findings) -> Option<Value> {
        let text = &cell.text;
        let lower = text.to_lowercase();
        if text.is_empty() || (key != "id" && BLANKS.contains(&lower.as_str())) {
            return Some(Value::Nothing);
        }
        if text.starts_with('#') && text.ends_with(['!', '?', 'A']) && text.len() > 3 {
            let message = format!("a formula failed here: {}", quoted(text));
            let help = "mend it in the spreadsheet and save the file again";
            findings.error(FORMULA, cell.at, message, help);
            return None;
        }
        match STOCK.key(key).holds {
            Holds::Switch => Some(match lower.as_str() {
                "true" | "yes" | "y" | "x" | "1" => Value::Switch(true),
                "false" | "no" | "n" | "0" => Value::Switch(false),
                _ => Value::Text(text.clone()),
            }),
            _ if is_number(key) => self.number(key, cell, findings),
            _ => Some(Value::Text(without_mark(text).to_owned())),
        }
    }

    fn number(&self, key: &str, cell: &Cell, findings: &mut Findings) -> Option<Value> {
        let text = &cell.text;
        let Some(value) = number_in_cell(text) else { return Some(Value::Text(text.clone())) };
        if !self.decimals.leave_open(text) {
            return Some(Value::Number { value, typed: text.clone() });
        }
        let whole: String = text.chars().filter(|c| !matches!(c, '.' | ',')).collect();
        let sign = if text.contains(',') { "comma" } else { "point" };
        let message =
            format!("`{key}`: the {sign} in {} may part thousands or decimals", quoted(text));
        let help = match STOCK.key(key).holds {
            Holds::Count(..) => format!("write `{whole}`"),
            _ => format!("write `{whole}`, or `{text}0` if they are decimals"),
        };
        findings.error(THOUSANDS, cell.at, message, help);
        None
    }

    /// Are there more fields than columns? That is reported, and nothing else: what stands where is lost.
    fn is_ragged(&self, record: &Record, findings: &mut Findings) -> bool {
        let n_columns = self.layout.columns.len();
        let Some(extra) = record.cells.iter().skip(n_columns).find(|c| !c.text.is_empty()) else {
            return false;
        };
        let message = format!("{} fields under {n_columns} columns", record.cells.len());
        let help = if self.layout.separator == ',' {
            "a decimal comma parts one number in two here: use points, or save with `;` between the fields"
        } else {
            "take the surplus field out, or head its column"
        };
        findings.error(RAGGED, extra.at, message, help);
        true
    }

    /// Is it a sum or a title? That is reported once, not figure by figure.
    fn is_without_figures(&self, record: &Record, findings: &mut Findings) -> bool {
        let figures = (self.layout.columns.iter().zip(&record.cells)).filter(|(column, _)| {
            column.is_some_and(|key| !matches!(key, "id" | "count" | "price"))
        });
        let (mut n, mut all_blank) = (0, true);
        for (_, cell) in figures {
            n += 1;
            all_blank &= cell.text.is_empty();
        }
        let without = all_blank && (n > 0 || self.layout.missing.is_empty());
        if without {
            let named = record.cells.iter().find(|c| !c.text.is_empty());
            let named = named
                .map_or(String::new(), |cell| format!(" ({} stands in it)", quoted(&cell.text)));
            let message = format!("the row has no figure of a label{named}");
            let help =
                "fill in the figures of the label, or delete the row if it is a sum or a title";
            findings.error(NO_VALUE, start_of(record), message, help);
        }
        without
    }
}
