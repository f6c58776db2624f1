//! What the program is made of: whose code, under which licences, and what it must not do.
//!
//! Asks `cargo metadata` about the locked packages, without the network. Known weaknesses of packages
//! (RustSec's list) are not looked up: the list comes over the network, which a test must not need.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// Licences (SPDX identifiers) that ask for no more than that their text is kept.
const FREE: [&str; 8] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSL-1.0",
    "Unicode-3.0",
    "Unlicense",
];

/// Packages that are there in two versions, since others ask for both. A new one is to be thought about.
const TWICE: [&str; 4] = ["getrandom", "itertools", "r-efi", "syn"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

fn metadata() -> Value {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--offline", "--format-version", "1"])
        .current_dir(root())
        .output()
        .expect("cargo starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("is JSON")
}

fn packages(metadata: &Value) -> &Vec<Value> {
    metadata["packages"].as_array().expect("a list of packages")
}

fn text<'v>(package: &'v Value, key: &str) -> &'v str {
    package[key].as_str().unwrap_or_default()
}

/// May the code be used under an SPDX expression? `/` is an old way to write `OR`.
fn is_free(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ");
    // Every side of each `AND`, and one of each `OR`; brackets stand only around an `OR` here.
    plain.split(" AND ").all(|side| {
        side.trim_matches(['(', ')']).split(" OR ").any(|licence| FREE.contains(&licence.trim()))
    })
}

#[test]
fn an_expression_is_free_if_one_choice_of_each_part_is() {
    assert!(is_free("MIT OR Apache-2.0") && is_free("Unlicense/MIT"));
    assert!(is_free("(MIT OR Apache-2.0) AND Unicode-3.0"));
    assert!(is_free("MIT OR GPL-3.0-only"));
    assert!(!is_free("GPL-3.0-only") && !is_free("MIT AND GPL-3.0-only") && !is_free(""));
}

#[test]
fn every_package_is_under_a_licence_that_asks_for_nothing() {
    let metadata = metadata();
    let bad: Vec<String> = packages(&metadata)
        .iter()
        .filter(|p| !is_free(text(p, "license")))
        .map(|p| format!("{} {}: {:?}", text(p, "name"), text(p, "version"), text(p, "license")))
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn every_package_but_ours_comes_from_the_registry() {
    let metadata = metadata();
    for package in packages(&metadata) {
        let (name, source) = (text(package, "name"), package["source"].as_str());
        match source {
            None => assert_eq!(name, "sungraft"),
            Some(source) => assert!(source.starts_with("registry+"), "{name}: {source}"),
        }
    }
}

#[test]
fn no_package_is_there_twice_but_those_that_are_known() {
    let metadata = metadata();
    let mut versions: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for package in packages(&metadata) {
        versions.entry(text(package, "name")).or_default().insert(text(package, "version"));
    }
    let twice: Vec<&str> =
        versions.iter().filter(|(_, v)| v.len() > 1).map(|(name, _)| *name).collect();
    assert_eq!(twice, TWICE);
}

#[test]
fn nothing_of_ours_runs_at_build_time() {
    let metadata = metadata();
    let ours = packages(&metadata).iter().find(|p| p["source"].is_null()).expect("ours");
    let targets = ours["targets"].as_array().expect("a list of targets");
    let kinds: BTreeSet<&str> = targets
        .iter()
        .flat_map(|t| t["kind"].as_array())
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    assert!(kinds.contains("bin") && !kinds.contains("custom-build"), "{kinds:?}");
    assert!(!kinds.contains("proc-macro"), "{kinds:?}");
}

#[test]
fn the_oldest_rust_that_is_promised_suits_every_package() {
    let number =
        |text: &str| -> Vec<u32> { text.split('.').filter_map(|n| n.parse().ok()).collect() };
    let metadata = metadata();
    let ours = packages(&metadata).iter().find(|p| p["source"].is_null()).expect("ours");
    let promised = number(text(ours, "rust_version"));
    assert!(promised.len() >= 2);
    for package in packages(&metadata) {
        let asked = number(text(package, "rust_version"));
        assert!(
            asked.iter().take(2).le(promised.iter().take(2)),
            "{} asks for Rust {asked:?}",
            text(package, "name")
        );
    }
}

/// Ours only: packages for tests may do what they like.
#[test]
fn the_program_has_no_unsafe_code_and_speaks_to_no_network() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).expect("readable");
    assert!(manifest.contains("unsafe_code = \"forbid\""));
    let mut folders = vec![root().join("src")];
    let mut n_files = 0;
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("is there") {
            let path = entry.expect("readable").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                n_files += 1;
                let code = fs::read_to_string(&path).expect("readable");
                for word in
                    ["std::net", "TcpStream", "UdpSocket", "ToSocketAddrs", "std::process::Command"]
                {
                    assert!(!code.contains(word), "{} names {word}", path.display());
                }
            }
        }
    }
    assert!(n_files > 100, "{n_files}");
}
