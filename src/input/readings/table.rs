//! A file of readings: one header, one reading a line, as spreadsheets write it.
//!
//! RFC 4180 with `,`, `;` or a tab between fields.

use super::codes::{COLUMN, NO_READINGS, RAGGED, TOO_MANY};
use super::columns::Column;
use super::raw::{Origin, Raw};
use crate::diagnostic::Place;
use crate::input::findings::{Findings, quoted};
use crate::input::meant::nearest;
use crate::input::sheet::{Cell, Comments, Record, SEPARATORS, cut_sheet};

/// Most readings that are combined: a person takes a handful.
const MAX_READINGS: usize = 100;

/// The readings of a file as typed; what is wrong with its shape is reported.
pub(super) fn read_table(text: &str, findings: &mut Findings) -> Vec<Raw> {
    let separator = separator_of(text);
    let sheet = cut_sheet(text, separator, Comments::Hash);
    if let Some(at) = sheet.open_quote {
        findings.error(RAGGED, at, "a quote is opened and never closed", "close it, or delete it");
        return Vec::new();
    }
    let mut records = sheet.records.into_iter();
    let Some(header) = records.next() else {
        findings.error_in_file(NO_READINGS, "there is no reading in the file", SHOWN);
        return Vec::new();
    };
    let before = findings.n_errors();
    let columns = read_header(&header, findings);
    if findings.n_errors() > before {
        return Vec::new();
    }
    let mut raws = Vec::new();
    for record in records {
        if record.cells.len() != columns.len() {
            report_ragged(&record, columns.len(), separator, findings);
            continue;
        }
        let at = Place { line: record.line, column: 1 };
        let cells = columns.iter().copied().zip(record.cells).collect();
        raws.push(Raw { origin: Origin::File, at, cells });
    }
    if raws.len() > MAX_READINGS {
        let message = format!("{} readings (at most {MAX_READINGS} are combined)", raws.len());
        let help = "one panel needs a handful; is this a logger's file?";
        findings.error_in_file(TOO_MANY, message, help);
        return Vec::new();
    }
    if raws.is_empty() && findings.n_errors() == before {
        findings.error_in_file(NO_READINGS, "there is no reading below the header", SHOWN);
    }
    raws
}

const SHOWN: &str = "`sungraft label --how` shows a file of readings to begin from";

/// What parts the fields: `;` or a tab if the header has one, else a comma.
fn separator_of(text: &str) -> char {
    let header = text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or("");
    SEPARATORS.into_iter().find(|s| header.contains(*s)).unwrap_or(',')
}

fn read_header(header: &Record, findings: &mut Findings) -> Vec<Column> {
    let mut columns = Vec::new();
    for Cell { text: typed, at } in &header.cells {
        let name = typed.to_lowercase();
        match Column::ALL.into_iter().find(|c| c.name() == name) {
            Some(column) if columns.contains(&column) => {
                let message = format!("column {} stands twice", quoted(typed));
                findings.error(COLUMN, *at, message, "keep one of them");
            }
            Some(column) => columns.push(column),
            None => report_unknown(typed, *at, findings),
        }
    }
    columns
}

fn report_unknown(typed: &str, at: Place, findings: &mut Findings) {
    let names = Column::ALL.map(Column::name);
    let start = |name: &&&str| typed.len() >= 3 && name.starts_with(&typed.to_lowercase());
    let meant = names.iter().find(start).copied().or_else(|| nearest(typed, names.into_iter()));
    let help = match meant {
        Some(name) => format!("did you mean `{name}`?"),
        None => {
            let all = names.map(|n| format!("`{n}`")).join(", ");
            format!("the first line names the columns, out of {all}")
        }
    };
    findings.error(COLUMN, at, format!("unknown column {}", quoted(typed)), help);
}

fn report_ragged(record: &Record, n_columns: usize, separator: char, findings: &mut Findings) {
    let n_cells = record.cells.len();
    let fields = if n_cells == 1 { "1 field".to_owned() } else { format!("{n_cells} fields") };
    let message = format!("{fields} under {n_columns} columns");
    let help = if separator == ',' && n_cells > n_columns {
        "a decimal comma parts one number in two here: use points, or `;` between the fields"
    } else {
        "leave a field empty where nothing was read, but keep its separator"
    };
    findings.error(RAGGED, Place { line: record.line, column: 1 }, message, help);
}
