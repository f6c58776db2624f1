//! The import table of the house: who may name whom.
//!
//! `use crate::…` and inline `crate::…` paths in `src/` are held against the table below, and each
//! foreign dependency against the one place that may name it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Module, and the modules it may import. `solve` imports nothing of ours.
const MAY_IMPORT: [(&str, &[&str]); 14] = [
    ("units", &[]),
    ("diagnostic", &[]),
    ("model", &["units"]),
    ("input", &["model", "diagnostic", "sun", "units"]),
    ("electrical", &["model", "units"]),
    ("energy", &["electrical", "model", "sun", "units"]),
    ("patterns", &["electrical", "model", "units"]),
    ("solve", &[]),
    ("sun", &["units"]),
    ("plan", &["electrical", "energy", "model", "units"]),
    (
        "planner",
        &["patterns", "solve", "plan", "electrical", "energy", "model", "diagnostic", "units"],
    ),
    ("report", &["plan", "electrical", "energy", "model", "sun", "units"]),
    (
        "cli",
        &[
            "units",
            "diagnostic",
            "model",
            "input",
            "electrical",
            "energy",
            "patterns",
            "solve",
            "sun",
            "plan",
            "planner",
            "report",
        ],
    ),
    ("lib", &[]),
];

/// A foreign name, and the only files (by prefix below `src/`) that may use it.
const ONLY_IN: [(&str, &[&str]); 10] = [
    ("serde_yaml", &["input/"]),
    ("csv::Reader", &["input/"]),
    ("good_lp", &["solve/"]),
    ("rayon", &["planner/"]),
    ("tabled", &["report/"]),
    ("clap", &["cli/", "main.rs"]),
    ("rustc_version_runtime", &["cli/"]),
    ("tempfile", &["cli/"]),
    ("std::fs", &["cli/"]),
    ("std::env", &["cli/", "main.rs"]),
];

fn sources(dir: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(dir).expect("src is there") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

fn all_sources() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    sources(&root, &mut paths);
    paths.sort();
    paths
        .into_iter()
        .map(|p| {
            let name = p.strip_prefix(&root).expect("below src").display().to_string();
            (name, fs::read_to_string(&p).expect("readable"))
        })
        .collect()
}

fn module_of(file: &str) -> String {
    file.split('/').next().expect("a name").trim_end_matches(".rs").to_owned()
}

/// Code without comments, so that words about other modules are free.
fn code_lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|l| !l.trim_start().starts_with("//"))
}

fn imported(text: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for line in code_lines(text) {
        for part in line.split("crate::").skip(1) {
            let name: String =
                part.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            found.insert(name);
        }
    }
    found.remove("");
    found
}

#[test]
fn every_module_imports_only_what_the_table_allows() {
    let mut wrong = Vec::new();
    for (file, text) in all_sources() {
        let module = module_of(&file);
        if module == "main" {
            continue;
        }
        let (_, allowed) = MAY_IMPORT
            .iter()
            .find(|(name, _)| *name == module)
            .unwrap_or_else(|| panic!("{file}: module {module} is not in the table"));
        for import in imported(&text) {
            if import != module && !allowed.contains(&import.as_str()) {
                wrong.push(format!("{file} imports {import}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn each_foreign_dependency_is_named_in_one_place_only() {
    let mut wrong = Vec::new();
    for (file, text) in all_sources() {
        for (name, places) in ONLY_IN {
            let named = code_lines(&text).any(|l| {
                l.match_indices(name).any(|(at, _)| {
                    let before = l[..at].chars().next_back();
                    let after = l[at + name.len()..].chars().next();
                    !before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '"')
                        && after == Some(':')
                })
            });
            if named && !places.iter().any(|p| file.starts_with(p)) {
                wrong.push(format!("{file} names {name}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn no_source_file_holds_more_than_400_lines() {
    let long: Vec<String> = all_sources()
        .into_iter()
        .filter(|(_, text)| text.lines().count() > 400)
        .map(|(file, text)| format!("{file}: {}", text.lines().count()))
        .collect();
    assert!(long.is_empty(), "{long:#?}");
}

#[test]
fn the_table_names_every_module_that_exists() {
    let modules: BTreeSet<String> = all_sources().iter().map(|(f, _)| module_of(f)).collect();
    let table: BTreeSet<String> = MAY_IMPORT.iter().map(|(m, _)| (*m).to_owned()).collect();
    let missing: Vec<_> = modules.iter().filter(|m| *m != "main" && !table.contains(*m)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}
