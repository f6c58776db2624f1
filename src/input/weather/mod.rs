//! A weather file to a [`WeatherYear`]: EPW or TMY3, told apart by what stands in it.
//!
//! ```text
//! bytes → text → rows as typed (epw.rs, tmy3.rs) → a year without gaps (hours.rs) → closure.rs
//! ```
//!
//! Both formats are public: EPW in the documentation of a building simulation program of the US
//! Department of Energy, TMY3 in S. Wilcox and W. Marion, NREL/TP-581-43156, 2008.

mod cells;
mod closure;
mod epw;
mod hours;
mod tmy3;

#[cfg(test)]
mod tests;

use super::Read;
use super::codes::{EMPTY_FILE, OTHER_WEATHER_FILE, TOO_MUCH, WEATHER_FAR};
use super::findings::{Findings, rounded};
use crate::diagnostic::{Diagnostics, Place};
use crate::model::{Installation, WeatherYear};
use cells::Rows;
use std::sync::Arc;

/// Most bytes of a weather file: a year of hours has about two million.
const MAX_BYTES: usize = 16_000_000;
/// Farther than this from the site's own latitude the file is from another climate. \[°\] (ours)
const FAR: f64 = 2.0;

/// Reads a weather file. `name` is the file's name as the user gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it.
pub fn read_weather(name: &str, bytes: &[u8]) -> Result<Read<WeatherYear>, Diagnostics> {
    if bytes.len() > MAX_BYTES {
        let mut findings = Findings::new(name, "");
        let message =
            format!("the file is too large ({} bytes; at most {MAX_BYTES} are read)", bytes.len());
        findings.error_in_file(TOO_MUCH, message, "a year of hours has about 2,000,000 bytes");
        return Err(findings.finish());
    }
    // Place names come in older encodings; nothing else here is more than ASCII.
    let text = String::from_utf8_lossy(bytes);
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let mut findings = Findings::new(name, text);
    let year = read_rows(text, &mut findings).and_then(|rows| hours::year(rows, &mut findings));
    if let Some(year) = &year {
        closure::check(year, &mut findings);
    }
    let findings = findings.finish();
    match year {
        Some(value) if !findings.has_errors() => Ok(Read { value, warnings: findings }),
        _ => Err(findings),
    }
}

/// Reads a weather file into the site that names it; what a person should look at comes back.
///
/// # Errors
/// As [`read_weather`]; the installation then stays as it was.
pub fn add_weather(
    installation: &mut Installation,
    name: &str,
    bytes: &[u8],
) -> Result<Diagnostics, Diagnostics> {
    let Read { value: year, mut warnings } = read_weather(name, bytes)?;
    let own = installation.site.sun.latitude_deg;
    if let Some(own) = own.filter(|own| (own - year.latitude_deg).abs() > FAR) {
        let mut findings = Findings::new(name, "");
        let message = format!(
            "the weather is from latitude {}°, the site lies at {}°",
            rounded(year.latitude_deg, 2),
            rounded(own, 2)
        );
        let help = "is it the right file? the sun is reckoned for the place of the weather file";
        findings.warning(WEATHER_FAR, Place { line: 1, column: 1 }, message, help);
        warnings.0.extend(findings.finish().0);
    }
    installation.site.sun.year = Some(Arc::new(year));
    Ok(warnings)
}

fn read_rows(text: &str, findings: &mut Findings) -> Option<Rows> {
    if text.trim().is_empty() {
        let help = "name a weather file in the form EPW or TMY3 (CSV), or give the two lists";
        findings.error_in_file(EMPTY_FILE, "the file is empty", help);
        return None;
    }
    let line = |n| findings.lines.get(n).unwrap_or_default().to_owned();
    let (first, second) = (line(1), line(2));
    if first.trim_start().to_ascii_uppercase().starts_with("LOCATION,") {
        epw::rows(findings)
    } else if second.to_ascii_lowercase().contains("date (mm/dd/yyyy)") {
        tmy3::rows(findings)
    } else {
        let message = "this is neither an EPW nor a TMY3 weather file";
        let help = "an EPW file begins with `LOCATION,`; a TMY3 file has `Date (MM/DD/YYYY)` in its second line. Is it the right file, and not packed (zip)?";
        findings.error(OTHER_WEATHER_FILE, Place { line: 1, column: 1 }, message, help);
        None
    }
}
