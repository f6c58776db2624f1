//! Meter readings of a panel, from a file or from the command line, and a label typed as options.
//!
//! ```text
//! CSV (table.rs) or options (here) → readings as typed (raw.rs) → readings that can be (check.rs)
//! ```

mod check;
mod codes;
mod columns;
mod raw;
mod table;

use self::columns::Column;
use self::raw::{Origin, Raw};
use super::document::{Entry, Node, Value};
use super::fields::Fields;
use super::findings::Findings;
use super::keys::KIND;
use super::label::read_label;
use super::sheet::Cell;
use super::{Read, text};
use crate::diagnostic::{Diagnostics, Place};
use crate::model::{Label, PanelReading};
use crate::units::Amps;

/// What messages call the command line where they name a file.
const COMMAND_LINE: &str = "the command line";

/// What is known beside the readings themselves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Beside {
    /// Cells in series, if they were counted.
    pub cells: Option<usize>,
    /// Short-circuit current on the label of a twin. \[A\]
    pub twin_label_i_sc: Option<Amps>,
}

/// Reads a file of readings (CSV). `name` is the file's name as the user gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it.
pub fn read_readings(
    name: &str,
    bytes: &[u8],
    beside: &Beside,
) -> Result<Read<Vec<PanelReading>>, Diagnostics> {
    let about = "a file of readings is plain text; `sungraft label --how` shows one to begin from";
    let text = text::decode_other(name, bytes, about)?;
    let mut findings = Findings::new(name, text);
    let raws = table::read_table(text, &mut findings);
    finish(&raws, beside, findings)
}

/// One reading from options such as `("--voc", "21.3")`.
///
/// # Errors
/// Every mistake at once, as for a file.
pub fn read_typed_reading(
    options: &[(&str, &str)],
    beside: &Beside,
) -> Result<Read<Vec<PanelReading>>, Diagnostics> {
    let lines = lines_of(options);
    let findings = Findings::new(COMMAND_LINE, &lines);
    let cells = options.iter().enumerate().filter_map(|(k, (option, value))| {
        let column = Column::ALL.into_iter().find(|c| c.option() == *option)?;
        let at = Place { line: k + 1, column: option.chars().count() + 2 };
        Some((column, Cell { text: value.trim().to_owned(), at }))
    });
    let at = Place { line: 1, column: 1 };
    let raw = Raw { origin: Origin::CommandLine, at, cells: cells.collect() };
    finish(&[raw], beside, findings)
}

/// A label from options such as `("--label-voc", "22.4")`; each stands for the key of a site file
/// with that name.
///
/// # Errors
/// What is missing, mistyped or cannot stand on one label.
pub fn read_typed_label(options: &[(&str, &str)]) -> Result<Read<Label>, Diagnostics> {
    let lines = lines_of(options);
    let mut findings = Findings::new(COMMAND_LINE, &lines);
    let entries = options.iter().enumerate().filter_map(|(k, (option, value))| {
        let figure = option.strip_prefix("--label-")?;
        let key = KIND.keys.iter().map(|key| key.name).find(|name| {
            name.split_once('_').is_some_and(|(head, unit)| head == figure && unit.len() == 1)
        })?;
        let at = Place { line: k + 1, column: option.chars().count() + 2 };
        let typed = value.trim().to_owned();
        let value = match typed.parse::<f64>() {
            Ok(value) if value.is_finite() => Value::Number { value, typed },
            _ => Value::Text(typed),
        };
        let key_place = Place { line: k + 1, column: 1 };
        Some(Entry { key: key.to_owned(), key_place, node: Node { place: at, value } })
    });
    let node = Node { place: Place { line: 1, column: 1 }, value: Value::Map(entries.collect()) };
    let label = Fields::open(&node, &KIND, &mut findings)
        .and_then(|fields| read_label(&fields, &mut findings).complete());
    let findings = findings.finish();
    match label {
        Some(value) if !findings.has_errors() => Ok(Read { value, warnings: findings }),
        _ => Err(findings),
    }
}

/// A file of readings to begin from.
#[must_use]
pub fn readings_starter() -> &'static str {
    include_str!("starter.csv")
}

fn lines_of(options: &[(&str, &str)]) -> String {
    options.iter().map(|(option, value)| format!("{option} {value}\n")).collect()
}

fn finish(
    raws: &[Raw],
    beside: &Beside,
    mut findings: Findings<'_>,
) -> Result<Read<Vec<PanelReading>>, Diagnostics> {
    let readings: Vec<PanelReading> =
        raws.iter().filter_map(|raw| check::check_reading(raw, beside, &mut findings)).collect();
    if let Some(label) = beside.twin_label_i_sc
        && findings.n_errors() == 0
        && readings.iter().all(|r| r.twin_i_sc.is_none())
    {
        let message = format!("a twin's label is given ({} A), but no reading of it", label.amps());
        let help = "measure the twin's short-circuit current at the same time: `--twin-isc`, or the column `twin_isc_a`";
        findings.error_in_file(codes::TWIN, message, help);
    }
    let findings = findings.finish();
    if findings.has_errors() || readings.is_empty() {
        return Err(findings);
    }
    Ok(Read { value: readings, warnings: findings })
}
