//! Every file in `tests/verify/bad/` gives the whole text beside it, word for word.
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test verify bad
//! git diff tests/verify/bad
//! ```

use std::fs;
use std::path::{Path, PathBuf};

use sungraft::input::{read_array_readings, read_site};

fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/verify/bad");
    let entries = fs::read_dir(folder).expect("is there").map(|e| e.expect("readable").path());
    let mut files: Vec<PathBuf> =
        entries.filter(|p| p.extension().is_some_and(|e| e == "yaml")).collect();
    files.sort();
    files
}

#[test]
fn every_bad_file_is_answered_word_for_word() {
    let site = include_bytes!("../../scenarios/seed-shed.yaml");
    let site = read_site("seed-shed.yaml", site).expect("is sound").value;
    let bless = std::env::var_os("SUNGRAFT_BLESS").is_some();
    let mut wrong = Vec::new();
    for path in files() {
        let name = path.file_name().expect("a file").to_string_lossy().into_owned();
        let bytes = fs::read(&path).expect("readable");
        let findings = read_array_readings(&name, &bytes, &site)
            .map(|read| read.value)
            .expect_err("every one is bad");
        let shown = format!("{findings}\n\n{}\n", findings.tally());
        let expected = path.with_extension("expected");
        if bless {
            fs::write(&expected, &shown).expect("writable");
        } else if fs::read_to_string(&expected).unwrap_or_default() != shown {
            wrong.push(format!("{name}:\n{shown}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
