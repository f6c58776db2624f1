//! Every bad input in `tests/bad-inputs/` gives the whole text beside it, word for word.
//!
//! `NN-name.yaml` (or `.bin` where it is not text) is read as a site file, `.csv` and `.epw` as a weather
//! file; `NN-name.expected` holds the findings as they are
//! shown to a person, then their tally. After a change of words, write them anew and read the difference:
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test bad_inputs
//! git diff tests/bad-inputs
//! ```

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use sungraft::diagnostic::Diagnostics;
use sungraft::input::{read_site, read_weather};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad-inputs")
}

fn bad_inputs() -> Vec<PathBuf> {
    let entries = fs::read_dir(folder()).expect("the folder is there");
    let mut paths: Vec<PathBuf> = entries.map(|e| e.expect("readable").path()).collect();
    paths.retain(|p| {
        p.extension().is_some_and(|e| ["yaml", "bin", "csv", "epw"].iter().any(|known| e == *known))
    });
    paths.sort();
    paths
}

fn findings(path: &Path) -> Diagnostics {
    let name = path.file_name().expect("a file").to_string_lossy();
    let bytes = fs::read(path).expect("readable");
    if path.extension().is_some_and(|e| e == "csv" || e == "epw") {
        return read_weather(&name, &bytes).map_or_else(|found| found, |read| read.warnings);
    }
    read_site(&name, &bytes).map_or_else(|found| found, |read| read.warnings)
}

/// What a person is shown: every finding, then how many there are.
fn shown(path: &Path) -> String {
    let findings = findings(path);
    format!("{findings}\n\n{}\n", findings.tally())
}

#[test]
fn every_bad_input_is_answered_word_for_word() {
    let bless = std::env::var_os("SUNGRAFT_BLESS").is_some();
    let mut wrong = Vec::new();
    for path in bad_inputs() {
        let (actual, golden) = (shown(&path), path.with_extension("expected"));
        if bless {
            fs::write(&golden, &actual).expect("writable");
        } else if fs::read_to_string(&golden).unwrap_or_default() != actual {
            wrong.push(format!("{}:\n{actual}", golden.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Codes in a text: `E101`, `W402`.
fn codes_in(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| !c.is_ascii_alphanumeric());
    let is_code = |w: &&str| {
        w.len() == 4 && w.starts_with(['E', 'W']) && w[1..].bytes().all(|b| b.is_ascii_digit())
    };
    words.filter(is_code).map(str::to_owned).collect()
}

#[test]
fn every_code_has_a_bad_input_and_a_row_in_the_reference_page() {
    let declared = codes_in(include_str!("../src/input/codes.rs"));
    let mut shown = BTreeSet::new();
    for path in bad_inputs() {
        let golden = fs::read_to_string(path.with_extension("expected")).expect("readable");
        shown.extend(golden.lines().filter(|l| l.contains("]: ")).flat_map(codes_in));
    }
    // A hundred findings fill no file here, nor does a year of hours, and a seller's sites are read
    // otherwise; unit tests show these.
    let elsewhere = ["E234", "E299", "W499", "E506", "W422", "W423", "W424"];
    shown.extend(elsewhere.map(str::to_owned));
    assert_eq!(declared, shown);

    let page = include_str!("../docs/input.md");
    let rows = page.lines().filter_map(|l| l.strip_prefix("| ")).filter_map(|l| l.get(..4));
    assert_eq!(declared, rows.flat_map(codes_in).collect());
}

#[test]
fn every_finding_has_help_and_errors_have_a_place() {
    let mut n_findings = 0;
    for path in bad_inputs() {
        for finding in findings(&path).0 {
            n_findings += 1;
            assert!(finding.help.is_some_and(|h| !h.is_empty()), "{}", path.display());
            let whole_file = matches!(finding.code, "E101" | "E102" | "E103");
            assert!(finding.place.is_some() || whole_file, "{}", path.display());
        }
    }
    assert!(n_findings > 150, "{n_findings} findings in all");
}
