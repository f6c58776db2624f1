//! What must hold of any bytes at all: read or refused, with a place and a word, and never a panic.

use sungraft::diagnostic::{Diagnostics, Severity};
use sungraft::input::{self, BadRows, Beside};
use sungraft::model::Installation;
use sungraft::planner::{self, Failure, Options, PhaseOptions};
use sungraft::report::{self, Format, ReportForm, SiteFile};

/// The site that damaged meter readings are said to come from.
const READ_AT: &str = include_str!("../../scenarios/seed-shed.yaml");

const FORMATS: [Format; 3] = [Format::Table, Format::Json, Format::Csv];

/// Most panels of a site that is planned here: more are no more hostile, only slower.
const MOST_PLANNED: usize = 14;

/// Of bytes taken for a site file: what is read can be looked at and shown in every form.
pub(crate) fn site_file(bytes: &[u8]) -> Option<Installation> {
    let read = match input::read_site("hostile.yaml", bytes) {
        Ok(read) => read,
        Err(findings) => {
            refused(&findings, bytes);
            return None;
        }
    };
    sound_findings(&read.warnings, bytes);
    let checked = planner::check(&read.value).expect("what was read has curves");
    for format in FORMATS {
        shown(&report::checked(&read.value, &checked, format), format);
    }
    Some(read.value)
}

/// Of bytes taken for a site file: what is read can be planned, and every plan stands its audit.
pub(crate) fn planned(bytes: &[u8]) {
    let Some(installation) = site_file(bytes) else { return };
    if !is_small(&installation) {
        return;
    }
    let advice = match planner::advise(&installation, &Options::default()) {
        Ok(advice) => advice,
        Err(Failure::AllKept) => return,
        Err(failure) => panic!("{failure:?}"),
    };
    for format in FORMATS {
        shown(&report::advice(&installation, &advice, format), format);
    }
    let method = planner::method(&installation, &advice, None).expect("planned, so it has curves");
    let text = String::from_utf8_lossy(bytes);
    let file = SiteFile { name: "hostile.yaml", text: &text };
    let page = report::report(&installation, &advice, method.as_ref(), file, ReportForm::Html);
    assert!(!page.contains("<script>alert"), "what a file holds is text, not markup");
}

/// Of bytes taken for a site file with an upgrade in steps: what is read can be planned and shown.
pub(crate) fn phased(bytes: &[u8]) {
    let Some(installation) = site_file(bytes) else { return };
    if !is_small(&installation) || installation.phases.is_empty() {
        return;
    }
    let phased = match planner::plan_phases(&installation, &PhaseOptions::default()) {
        Ok(phased) => phased,
        Err(Failure::AllKept) => return,
        Err(failure) => panic!("{failure:?}"),
    };
    for format in FORMATS {
        shown(&report::phases(&installation, &phased, format), format);
    }
}

/// Few enough panels, those of every step among them.
fn is_small(installation: &Installation) -> bool {
    let installed = installation.installed.iter().map(|w| w.array.panels().count()).sum::<usize>();
    let spare: usize = installation.spares.iter().map(|s| s.count).sum();
    let later = installation.phases.iter().flat_map(|phase| &phase.spares);
    let later: usize = later.map(|s| s.count).sum();
    installed + spare + later <= MOST_PLANNED && installation.installed.len() <= 3
}

/// Of bytes taken for a weather file.
pub(crate) fn weather_file(bytes: &[u8]) {
    match input::read_weather("hostile.epw", bytes) {
        Ok(read) => sound_findings(&read.warnings, bytes),
        Err(findings) => refused(&findings, bytes),
    }
}

/// Of bytes taken for readings of a panel without a label.
pub(crate) fn readings_file(bytes: &[u8]) {
    for cells in [None, Some(36)] {
        let beside = Beside { cells, twin_label_i_sc: None };
        match input::read_readings("hostile.csv", bytes, &beside) {
            Ok(read) => sound_findings(&read.warnings, bytes),
            Err(findings) => refused(&findings, bytes),
        }
    }
}

/// Of bytes taken for meter readings of an array: what is read can be held against it and shown.
pub(crate) fn array_readings(bytes: &[u8]) {
    let site = input::read_site("site.yaml", READ_AT.as_bytes()).expect("is sound").value;
    match input::read_array_readings("hostile.yaml", bytes, &site) {
        Ok(read) => {
            sound_findings(&read.warnings, bytes);
            let checked = planner::check(&site).expect("has curves");
            let verified = planner::verify(&site, &read.value).expect("has curves");
            for format in FORMATS {
                shown(&report::verified(&site, &checked, &verified, format), format);
            }
        }
        Err(findings) => refused(&findings, bytes),
    }
}

/// Of bytes taken for a list of what parts cost.
pub(crate) fn price_file(bytes: &[u8]) {
    match input::read_prices("hostile.yaml", bytes) {
        Ok(read) => sound_findings(&read.warnings, bytes),
        Err(findings) => refused(&findings, bytes),
    }
}

/// Of bytes taken for a seller's stock.
pub(crate) fn stock_file(bytes: &[u8]) {
    for bad_rows in [BadRows::Refuse, BadRows::Skip] {
        match input::read_stock("hostile.csv", bytes, bad_rows) {
            Ok(read) => {
                assert!(!read.items.is_empty());
                sound_findings(&read.findings, bytes);
            }
            Err(findings) => refused(&findings, bytes),
        }
    }
}

/// Of bytes taken for a file of many sites.
pub(crate) fn many_sites(bytes: &[u8]) {
    for site in input::read_sites("hostile.yaml", bytes) {
        match site.read {
            Ok(read) => sound_findings(&read.warnings, bytes),
            Err(findings) => refused(&findings, bytes),
        }
    }
}

fn refused(findings: &Diagnostics, bytes: &[u8]) {
    assert!(findings.has_errors(), "refused without an error: {findings}");
    sound_findings(findings, bytes);
}

/// Every finding says something, at a place that is in the file.
fn sound_findings(findings: &Diagnostics, bytes: &[u8]) {
    // Line ends of every sort, so as not to count them as the reader does.
    let most = 2
        + bytes.iter().filter(|b| matches!(b, b'\n' | b'\r')).count()
        + String::from_utf8_lossy(bytes).matches(['\u{85}', '\u{2028}', '\u{2029}']).count();
    for finding in &findings.0 {
        assert!(!finding.message.trim().is_empty(), "{finding:?}");
        if let Some(place) = finding.place {
            assert!(place.line >= 1 && place.column >= 1 && place.line <= most, "{finding:?}");
        }
        if finding.severity == Severity::Error {
            assert!(finding.help.is_some() || finding.message.len() > 10, "{finding:?}");
        }
    }
    assert!(findings.0.is_empty() || !findings.to_string().is_empty());
}

fn shown(text: &str, format: Format) {
    assert!(!text.is_empty());
    if format == Format::Json {
        serde_json::from_str::<serde_json::Value>(text).expect("an answer is JSON");
    }
}
