//! A reseller's stock, as spreadsheets write it.
//!
//! ```text
//! text → records (sheet.rs) → headings (headings.rs, layout.rs) → rows as groups of keys (rows.rs) → items
//! ```
//!
//! A row becomes what a kind in a site file is, and the kinds' own reader judges it: whatever cannot be
//! on a label there cannot be here.

mod codes;
mod headings;
mod keys;
mod layout;
mod rows;

use self::codes::{NO_STOCK, OPEN_QUOTE};
use self::layout::Layout;
use self::rows::read_rows;
use super::findings::Findings;
use super::text;
use crate::diagnostic::Diagnostics;
use crate::model::StockItem;

/// What is done about rows that cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BadRows {
    /// Nothing is read unless every row is sound.
    #[default]
    Refuse,
    /// They are left out, and what was wrong with them is told.
    Skip,
}

/// A stock file as read.
#[derive(Debug, Clone, PartialEq)]
pub struct StockRead {
    /// The items, in file order.
    pub items: Vec<StockItem>,
    /// Warnings, and what was wrong with the rows that were left out.
    pub findings: Diagnostics,
    /// The lines of the rows that were left out.
    pub skipped: Vec<usize>,
}

const SHOWN: &str = "the first row names the columns: `id,pmax_w,vmp_v,imp_a,voc_v,isc_a,count,price`, and each row below is one kind of panel";

/// Reads a stock file (CSV). `name` is the file's name as the user gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it. With [`BadRows::Skip`]
/// only what concerns the whole file, or that no row is left.
pub fn read_stock(name: &str, bytes: &[u8], bad_rows: BadRows) -> Result<StockRead, Diagnostics> {
    let about = "a stock file is text with one row for each kind of panel, as a spreadsheet saves it as CSV in UTF-8";
    let text = text::decode_other(name, bytes, about)?;
    let mut findings = Findings::new(name, text);
    let Some(layout) = Layout::find(text, &mut findings) else { return Err(findings.finish()) };
    if let Some(at) = layout.open_quote {
        let help =
            "a quote at the start of a field opens it up to the next quote: close it, or delete it";
        findings.error(OPEN_QUOTE, at, "a quote is opened here and never closed", help);
        return Err(findings.finish());
    }
    let unusable = findings.n_errors() > 0;
    let rows = read_rows(&layout, &mut findings);
    if rows.items.is_empty() && rows.skipped.is_empty() && !unusable {
        findings.error_in_file(NO_STOCK, "there is no row of stock below the headings", SHOWN);
    }
    let some_left = !unusable && !rows.items.is_empty();
    let findings = findings.finish();
    if some_left && (rows.skipped.is_empty() || bad_rows == BadRows::Skip) {
        return Ok(StockRead { items: rows.items, findings, skipped: rows.skipped });
    }
    Err(findings)
}
