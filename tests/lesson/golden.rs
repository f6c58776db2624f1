//! Whole pages, byte for byte, against files read in review.
//!
//! `SUNGRAFT_BLESS=1 cargo test --test lesson` writes the files anew.

use std::fs;
use std::path::PathBuf;

use sungraft::plan::exercises;
use sungraft::report::{self, ReportForm, Sheet};

use crate::{installation, lesson_on};

fn compare(name: &str, found: &str) -> Result<(), String> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/lesson/golden").join(name);
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
fn lessons_are_what_was_read_in_review() {
    let mut differences = Vec::new();
    for name in ["seed-shed", "ferry-kiosk-paralleled"] {
        let site = installation(name);
        let (advice, lesson) = lesson_on(&site);
        for (form, ending) in [(ReportForm::Text, "txt"), (ReportForm::Markdown, "md")] {
            let page = report::lesson(&site, &advice, &lesson, form);
            differences.extend(compare(&format!("{name}.{ending}"), &page).err());
        }
    }
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}

#[test]
fn exercises_and_their_key_are_what_was_read_in_review() {
    let all = exercises(3, 1);
    let mut differences = Vec::new();
    for (sheet, name) in [(Sheet::Problems, "problems"), (Sheet::Key, "key")] {
        let page = report::exercises(&all, 1, sheet, ReportForm::Text);
        differences.extend(compare(&format!("{name}.txt"), &page).err());
    }
    assert!(differences.is_empty(), "{}", differences.join("\n"));
}
