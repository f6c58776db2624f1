//! The stock file.

use std::path::Path;

use crate::cli::exit::{Exit, Refusal};
use crate::cli::files;
use crate::cli::streams::say;
use crate::diagnostic::{Diagnostics, Severity};
use crate::input::{self, BadRows};
use crate::model::StockItem;

/// A stock as it is asked about.
pub(super) struct Stock {
    pub(super) items: Vec<StockItem>,
    /// Lines of rows that were left out.
    pub(super) skipped: Vec<usize>,
}

/// Reads the stock; says what is to be said about it.
pub(super) fn read(path: &Path, skip_bad: bool) -> Result<Stock, Refusal> {
    if path.is_dir() || (path.as_os_str() != "-" && !path.exists()) {
        let what = if path.is_dir() { "is a folder" } else { "is not there" };
        return Err(Refusal::unusable(
            &format!("the stock `{}` {what}", path.display()),
            "name a table saved as CSV, with one row for each kind of panel: `id`, `pmax_w`, `vmp_v`, \
             `imp_a`, `voc_v`, `isc_a`, `count` and, if you like, `price`",
        ));
    }
    let source = files::read(path)?;
    let bad_rows = if skip_bad { BadRows::Skip } else { BadRows::Refuse };
    match input::read_stock(&source.name, &source.bytes, bad_rows) {
        Ok(read) => {
            say(&read.findings.to_string());
            if !read.skipped.is_empty() {
                let rows = if read.skipped.len() == 1 { "row was" } else { "rows were" };
                say(&format!("\n{} {rows} left out of the stock", read.skipped.len()));
            }
            Ok(Stock { items: read.items, skipped: read.skipped })
        }
        Err(findings) => {
            let mut text = findings.to_string();
            if !skip_bad && only_rows(&source.name, &source.bytes) {
                text += &format!(
                    "\n\n{}: nothing was done; `--skip-bad` leaves such rows out",
                    findings.tally()
                );
            }
            Err(Refusal { text, exit: Exit::Unusable })
        }
    }
}

/// Is it single rows alone that cannot be used?
fn only_rows(name: &str, bytes: &[u8]) -> bool {
    let sound = |found: &Diagnostics| found.0.iter().all(|d| d.severity != Severity::Error);
    match input::read_stock(name, bytes, BadRows::Skip) {
        Ok(read) => !read.skipped.is_empty() || sound(&read.findings),
        Err(_) => false,
    }
}
