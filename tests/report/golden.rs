//! Whole answers, byte for byte, against files read in review.
//!
//! `SUNGRAFT_BLESS=1 cargo test --test report` writes the files anew.

use std::fs;
use std::path::PathBuf;

use sungraft::report::{self, Format};

use crate::fixtures::{cases, checked};

const FORMATS: [(Format, &str); 3] =
    [(Format::Table, "txt"), (Format::Json, "json"), (Format::Csv, "csv")];

pub(crate) fn compare(name: &str, found: &str) -> Result<(), String> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/report/golden").join(name);
    if std::env::var_os("SUNGRAFT_BLESS").is_some() {
        fs::create_dir_all(path.parent().expect("has a parent")).expect("can make the folder");
        fs::write(&path, found).expect("can write the golden file");
    }
    let wanted = fs::read_to_string(&path).map_err(|e| format!("{name}: {e}"))?;
    if wanted == found {
        Ok(())
    } else {
        Err(format!("{name} differs; wanted:\n{wanted}\nfound:\n{found}"))
    }
}

#[test]
fn answers_are_what_was_read_in_review() {
    let mut differences = Vec::new();
    for case in cases() {
        for (format, ending) in FORMATS {
            let advice = report::advice(&case.installation, &case.advice, format);
            let check = report::checked(&case.installation, &checked(&case), format);
            differences.extend(compare(&format!("advise_{}.{ending}", case.name), &advice).err());
            differences.extend(compare(&format!("check_{}.{ending}", case.name), &check).err());
        }
    }
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

#[test]
fn the_same_answer_gives_the_same_bytes() {
    for case in cases() {
        for (format, _) in FORMATS {
            let once = report::advice(&case.installation, &case.advice, format);
            let again = report::advice(&case.installation.clone(), &case.advice.clone(), format);
            assert_eq!(once, again);
        }
    }
}
