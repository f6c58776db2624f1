//! The readings in `scenarios/readings/` are answered as their head says; their pages byte for byte.
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test verify answers
//! git diff tests/verify/answers
//! ```

use std::fs;
use std::path::{Path, PathBuf};

use sungraft::input::{read_array_readings, read_site};
use sungraft::model::Installation;
use sungraft::plan::Verified;
use sungraft::planner;
use sungraft::report::{self, Format, schema};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files() -> Vec<PathBuf> {
    let folder = root().join("scenarios/readings");
    let entries = fs::read_dir(folder).expect("is there").map(|e| e.expect("readable").path());
    let mut files: Vec<PathBuf> = entries.collect();
    files.sort();
    files
}

/// The site whose name stands at the head of a file of readings, and what is found.
fn answered(path: &Path) -> (Installation, Verified) {
    let text = fs::read_to_string(path).expect("readable");
    let (_, site) = text.split_once("# Readings on ").expect("its head names its site");
    let site = site.split_once(".yaml").expect("a file").0;
    let site = fs::read(root().join(format!("scenarios/{site}.yaml"))).expect("is there");
    let site = read_site("site.yaml", &site).expect("is sound").value;
    let readings = read_array_readings("readings.yaml", text.as_bytes(), &site);
    let readings = readings.unwrap_or_else(|f| panic!("{f}")).value;
    let found = planner::verify(&site, &readings).expect("labels have curves");
    (site, found)
}

#[test]
fn the_answers_stay_as_they_are_byte_for_byte() {
    let bless = std::env::var_os("SUNGRAFT_BLESS").is_some();
    let mut wrong = Vec::new();
    for path in files() {
        let (site, found) = answered(&path);
        let checked = planner::check(&site).expect("labels have curves");
        for (format, ending) in
            [(Format::Table, "txt"), (Format::Json, "json"), (Format::Csv, "csv")]
        {
            let shown = report::verified(&site, &checked, &found, format);
            let name = path.file_stem().expect("a file").to_string_lossy().into_owned();
            let golden = root().join(format!("tests/verify/answers/{name}.{ending}"));
            if bless {
                fs::create_dir_all(golden.parent().expect("has one")).expect("can be made");
                fs::write(&golden, &shown).expect("writable");
            } else if fs::read_to_string(&golden).unwrap_or_default() != shown {
                wrong.push(format!("{name}.{ending}:\n{shown}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn answers_keep_to_their_schema_and_a_key_it_does_not_know_is_a_complaint() {
    let schema: serde_json::Value = serde_json::from_str(schema::VERIFY).expect("is JSON");
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).expect("is a schema");
    for path in files() {
        let (site, found) = answered(&path);
        let checked = planner::check(&site).expect("labels have curves");
        let shown = report::verified(&site, &checked, &found, Format::Json);
        let mut answer: serde_json::Value = serde_json::from_str(&shown).expect("is JSON");
        let complaints: Vec<String> =
            validator.iter_errors(&answer).map(|e| format!("{}: {e}", e.instance_path)).collect();
        assert!(complaints.is_empty(), "{complaints:?}");
        for pointer in ["", "/sets/0", "/sets/0/readings/0", "/guesses/0"] {
            let object = answer.pointer_mut(pointer).expect("is there");
            object["surprise"] = serde_json::Value::from(1);
            assert!(!validator.is_valid(&answer), "{pointer}");
            answer = serde_json::from_str(&shown).expect("is JSON");
        }
    }
}

/// The page, with every run of spaces as one.
fn page(name: &str) -> String {
    let path = root().join(format!("scenarios/readings/{name}.yaml"));
    let (site, found) = answered(&path);
    let checked = planner::check(&site).expect("labels have curves");
    let page = report::verified(&site, &checked, &found, Format::Table);
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn half_a_panels_volts_gone_is_a_shorted_bypass_diode() {
    let page = page("seed-shed-half-a-panel");
    let wanted = "1 section of a shed-160 of string 2 gives no volts: a bypass diode is shorted";
    assert!(page.contains(&format!(": {wanted}. A damaged")), "{page}");
}

#[test]
fn a_string_on_the_wrong_input_is_found_by_both_inputs_together() {
    let page = page("mill-wrong-input");
    assert!(page.contains("string 1 of mill, input 2 is joined to mill, input 1."), "{page}");
}

#[test]
fn an_output_limit_that_holds_the_array_is_no_fault() {
    let page = page("hilltop-all-well");
    assert!(page.contains("All 5 readings lie inside their bands, and nothing points"), "{page}");
}

#[test]
fn one_voltage_alone_leaves_two_explanations_and_names_the_reading_that_tells() {
    let page = page("garden-turned");
    assert!(page.contains("cannot tell it from: a shade-85 of string 1 is wired the wrong way"));
    assert!(page.contains("To tell: the volts at work"), "{page}");
}

#[test]
fn no_line_of_a_page_is_longer_than_the_page() {
    for path in files() {
        let (site, found) = answered(&path);
        let checked = planner::check(&site).expect("labels have curves");
        let page = report::verified(&site, &checked, &found, Format::Table);
        let long: Vec<&str> = page.lines().filter(|l| l.chars().count() > 100).collect();
        assert!(long.is_empty(), "{long:?}");
    }
}
