//! A site file to an [`Installation`], with every mistake collected.
//!
//! ```text
//! bytes → text (text.rs) → Document: a tree of located values (yaml.rs) → Installation (site_file.rs)
//! ```
//!
//! `keys.rs` is the table of all keys; `fields.rs` takes them out of a group; one file for each section
//! reads it and holds its figures against each other; `findings.rs` collects.
//! Architecture invariants: only `yaml.rs` names `serde_yaml`; nothing here does I/O; nothing here judges
//! whether a wiring is allowed (that is a limit's business), only whether it can be what was meant.

mod array_readings;
mod battery;
mod codes;
mod coefficient;
mod controllers;
mod customer;
mod document;
mod doubts;
mod fields;
mod findings;
mod ids;
mod installed;
mod keys;
mod kinds;
mod label;
mod lines;
mod losses;
mod meant;
mod mistyped;
mod number;
mod phases;
mod placed;
mod places;
mod planes;
mod prices;
mod readings;
mod runs;
mod sheet;
mod site;
mod site_file;
mod sites;
mod spare_controllers;
mod spares;
mod stock;
mod sun;
mod syntax;
mod text;
mod typed_units;
mod weather;
mod wiring;
mod yaml;

pub use self::array_readings::read_array_readings;
pub use self::readings::{
    Beside, read_readings, read_typed_label, read_typed_reading, readings_starter,
};
use crate::diagnostic::Diagnostics;
use crate::model::{CustomerTerms, Installation};
use findings::Findings;

pub use prices::{prices_starter, read_prices};
pub use sites::{SiteDocument, read_sites};
pub use stock::{BadRows, StockRead, read_stock};
pub use weather::{add_weather, read_weather};

/// What was read, and what a person should look at all the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Read<T> {
    /// What was read.
    pub value: T,
    /// Warnings, in file order; no errors.
    pub warnings: Diagnostics,
}

/// Reads a site file. `name` is the file's name as the user gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it; warnings stand behind them.
pub fn read_site(name: &str, bytes: &[u8]) -> Result<Read<Installation>, Diagnostics> {
    let Read { value: (installation, _), warnings } = read_customer(name, bytes)?;
    Ok(Read { value: installation, warnings })
}

/// Reads a site file, and what it says of its owner as a customer.
///
/// # Errors
/// As [`read_site`].
pub fn read_customer(
    name: &str,
    bytes: &[u8],
) -> Result<Read<(Installation, CustomerTerms)>, Diagnostics> {
    read_with(name, bytes, |_, _| {})
}

/// The same, its document being held against what is `asked` besides.
fn read_with(
    name: &str,
    bytes: &[u8],
    asked: impl Fn(&document::Document, &mut Findings),
) -> Result<Read<(Installation, CustomerTerms)>, Diagnostics> {
    let text = text::decode(name, bytes)?;
    let mut findings = Findings::new(name, text);
    let site = yaml::parse_document(text, &mut findings).and_then(|document| {
        let terms = customer::read_terms(&document, &mut findings);
        asked(&document, &mut findings);
        Some((site_file::build_installation(&document, &mut findings)?, terms))
    });
    if site.is_none() {
        debug_assert!(findings.n_errors() > 0, "what is not read is among the findings");
    }
    let findings = findings.finish();
    match site {
        Some(value) if !findings.has_errors() => Ok(Read { value, warnings: findings }),
        _ => Err(findings),
    }
}

/// A commented site file that reads without a finding, to begin from.
#[must_use]
pub fn starter() -> &'static str {
    include_str!("starter.yaml")
}
