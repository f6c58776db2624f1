//! Meter readings of an array, held against the site file that they belong to.
//!
//! ```text
//! bytes → text → Document → sets of readings (sets.rs) → figures that can be (check.rs) → ArrayReadings
//! ```

mod check;
mod codes;
mod sets;

use self::codes::{NOTHING_READ, OTHER_FILE};
use super::codes::{EMPTY_FILE, WRONG_SORT};
use super::document::{Document, Value};
use super::fields::Fields;
use super::findings::Findings;
use super::ids::Ids;
use super::keys::{METERS, READINGS_FILE};
use super::places::Places;
use super::{Read, text, yaml};
use crate::diagnostic::Diagnostics;
use crate::model::{Accuracy, ArrayReadings, Installation};

const BEGIN: &str = "`sungraft starter --readings SITE.yaml` prints a form for your site";

/// Reads a file of readings that were taken on an installation. `name` is the file's name as the user
/// gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it.
pub fn read_array_readings(
    name: &str,
    bytes: &[u8],
    installation: &Installation,
) -> Result<Read<ArrayReadings>, Diagnostics> {
    let text = text::decode(name, bytes).map_err(about_readings)?;
    let mut findings = Findings::new(name, text);
    let readings = yaml::parse_document(text, &mut findings)
        .and_then(|document| build(&document, installation, &mut findings));
    let findings = findings.finish();
    match readings {
        Some(value) if !findings.has_errors() => Ok(Read { value, warnings: findings }),
        _ => Err(about_readings(findings)),
    }
}

fn build(
    document: &Document,
    installation: &Installation,
    findings: &mut Findings,
) -> Option<ArrayReadings> {
    let root = &document.root;
    match &root.value {
        Value::Nothing => {
            let message = "the file has nothing in it but comments";
            findings.error_in_file(EMPTY_FILE, message, BEGIN);
            return None;
        }
        Value::Map(entries) if entries.iter().any(|e| e.key == "kinds" || e.key == "site") => {
            let message = "this is a site file, where a file of readings belongs";
            findings.error(OTHER_FILE, root.place, message, BEGIN);
            return None;
        }
        Value::Map(_) => {}
        other => {
            let message =
                format!("a file of readings is a group of keys (this is {})", other.sort());
            findings.error(WRONG_SORT, root.place, message, BEGIN);
            return None;
        }
    }
    let file = Fields::open(root, &READINGS_FILE, findings)?;
    let accuracy = file
        .has("meters")
        .then(|| file.group("meters", findings))
        .flatten()
        .and_then(|node| Fields::open(node, &METERS, findings))
        .map_or_else(Accuracy::default, |fields| read_meters(&fields, findings));
    let ids = Ids::known("controller", installation.controllers.iter().map(|c| c.id.as_str()));
    let controllers: Vec<_> = installation.controllers.iter().cloned().map(Some).collect();
    let none = Ids::known("controller", std::iter::empty());
    let places = Places { ids: &ids, controllers: &controllers, spare: &none };
    let nodes = file.list("readings", findings)?;
    let sets = sets::read_sets(nodes, installation, places, findings);
    if findings.n_errors() > 0 {
        return None;
    }
    let sets: Vec<_> = sets.into_iter().filter(|s| !s.readings.is_empty()).collect();
    if sets.is_empty() {
        let at = file.key_place("readings").unwrap_or(file.at);
        let help =
            "fill in what the meter showed; any figure may stay blank, but one must be there";
        findings.error(NOTHING_READ, at, "there is not one reading in the file", help);
        return None;
    }
    Some(ArrayReadings { sets, accuracy })
}

fn read_meters(fields: &Fields, findings: &mut Findings) -> Accuracy {
    let usual = Accuracy::default();
    let mut or = |key, usual| fields.number(key, findings).map_or(usual, |x| x.value);
    Accuracy {
        volts_percent: or("volts_percent", usual.volts_percent),
        amps_percent: or("amps_percent", usual.amps_percent),
        irradiance_percent: or("sun_percent", usual.irradiance_percent),
        temp_k: or("cells_off_c", usual.temp_k),
        twin_percent: usual.twin_percent,
    }
}

/// The findings about text as such, in words that fit a file of readings.
fn about_readings(mut findings: Diagnostics) -> Diagnostics {
    for finding in &mut findings.0 {
        let help = finding.help.as_deref().unwrap_or_default();
        // Those of this file name its own form, and may name the site file beside it.
        if help.contains("sungraft starter`") || help.starts_with("a site file") {
            finding.help = Some(format!("a file of readings is plain text; {BEGIN}"));
        }
    }
    findings
}
