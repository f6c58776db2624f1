//! Lessons: the sums, the words that say them, break-even charts, exercises and their key.

mod break_even;
mod exercises;
mod golden;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
mod said;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
mod sums;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use std::path::{Path, PathBuf};

use sungraft::model::Installation;
use sungraft::plan::{Advice, Lesson};
use sungraft::planner::{self, Options};

/// Every scenario, by name.
fn scenarios() -> Vec<String> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let files = std::fs::read_dir(dir).expect("is there").map(|e| e.expect("readable").path());
    let mut names: Vec<String> = files
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .map(|p| p.file_stem().expect("has a name").to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn scenario(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(format!("{name}.yaml"))
}

fn installation(name: &str) -> Installation {
    let bytes = std::fs::read(scenario(name)).expect("is there");
    sungraft::input::read_site(name, &bytes).expect("is sound").value
}

fn lesson_on(installation: &Installation) -> (Advice, Lesson) {
    let advice = planner::advise(installation, &Options::default()).expect("is answered");
    let lesson = planner::lesson(installation, &advice).expect("labels have curves");
    (advice, lesson)
}
