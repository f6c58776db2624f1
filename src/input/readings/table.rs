//! A file of readings: one header, one reading a line, as spreadsheets write it.
//!
//! RFC 4180 with `,`, `;` or a tab between fields. Architecture invariant: the only place that reads CSV.

use csv::{ReaderBuilder, StringRecord};

use super::codes::{COLUMN, NO_READINGS, RAGGED, TOO_MANY};
use super::columns::Column;
use super::raw::{Cell, Origin, Raw};
use crate::diagnostic::Place;
use crate::input::findings::{Findings, quoted};
use crate::input::meant::nearest;

/// Most readings that are combined: a person takes a handful.
const MAX_READINGS: usize = 100;

/// The readings of a file as typed; what is wrong with its shape is reported.
pub(super) fn read_table(text: &str, findings: &mut Findings) -> Vec<Raw> {
    let separator = separator_of(text);
    let mut reader = ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .has_headers(false)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut records = reader.records().filter_map(|record| {
        let record = record.ok()?;
        let line = record.position().map_or(1, |p| p.line() as usize);
        Some((line, record))
    });
    let Some((line, header)) = records.next() else {
        findings.error_in_file(NO_READINGS, "there is no reading in the file", SHOWN);
        return Vec::new();
    };
    let before = findings.n_errors();
    let columns = read_header(line, &header, separator, findings);
    if findings.n_errors() > before {
        return Vec::new();
    }
    let mut raws = Vec::new();
    for (line, record) in records {
        if record.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        if record.len() != columns.len() {
            report_ragged(line, &record, columns.len(), separator, findings);
            continue;
        }
        let cells = columns.iter().zip(record.iter()).enumerate().map(|(k, (column, field))| {
            (
                *column,
                Cell { text: field.trim().to_owned(), at: place(line, k, separator, findings) },
            )
        });
        let cells = cells.collect();
        raws.push(Raw { origin: Origin::File, at: Place { line, column: 1 }, cells });
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
fn separator_of(text: &str) -> u8 {
    let header = text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or("");
    [b';', b'\t'].into_iter().find(|s| header.as_bytes().contains(s)).unwrap_or(b',')
}

fn read_header(
    line: usize,
    header: &StringRecord,
    separator: u8,
    findings: &mut Findings,
) -> Vec<Column> {
    let mut columns = Vec::new();
    for (k, typed) in header.iter().enumerate() {
        let at = place(line, k, separator, findings);
        let name = typed.trim().to_lowercase();
        match Column::ALL.into_iter().find(|c| c.name() == name) {
            Some(column) if columns.contains(&column) => {
                let message = format!("column {} stands twice", quoted(typed.trim()));
                findings.error(COLUMN, at, message, "keep one of them");
            }
            Some(column) => columns.push(column),
            None => report_unknown(typed.trim(), at, findings),
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

fn report_ragged(
    line: usize,
    record: &StringRecord,
    n_columns: usize,
    separator: u8,
    findings: &mut Findings,
) {
    let fields = |n: usize| if n == 1 { "1 field".to_owned() } else { format!("{n} fields") };
    let message = format!("{} under {} columns", fields(record.len()), n_columns);
    let help = if separator == b',' && record.len() > n_columns {
        "a decimal comma parts one number in two here: use points, or `;` between the fields"
    } else {
        "leave a field empty where nothing was read, but keep its separator"
    };
    findings.error(RAGGED, Place { line, column: 1 }, message, help);
}

/// Where a field begins, counted in its line as typed.
fn place(line: usize, field_idx: usize, separator: u8, findings: &Findings) -> Place {
    let text = findings.lines.get(line).unwrap_or("");
    let (mut passed, mut in_quotes, mut column) = (0, false, 1);
    for c in text.chars() {
        if passed == field_idx {
            break;
        }
        in_quotes ^= c == '"';
        passed += usize::from(c == char::from(separator) && !in_quotes);
        column += 1;
    }
    Place { line, column }
}
