//! The scenario's answer in every form, read in review, and against the schema.
//!
//! `SUNGRAFT_BLESS=1 cargo test --test phases` writes `tests/phases/golden/` anew.

use std::fs;
use std::path::Path;

use serde_json::Value;
use sungraft::input::read_site;
use sungraft::model::Installation;
use sungraft::plan::Phased;
use sungraft::planner::{PhaseOptions, phase_methods, plan_phases};
use sungraft::report::{self, Format, ReportForm, SiteFile, schema};

const SITE: &str = include_str!("../../scenarios/quarry-workshop.yaml");

fn answer() -> (Installation, Phased) {
    let read = read_site("quarry-workshop.yaml", SITE.as_bytes()).expect("a sound site file");
    assert!(read.warnings.0.is_empty(), "{}", read.warnings);
    let phased = plan_phases(&read.value, &PhaseOptions::default()).expect("passes the audit");
    (read.value, phased)
}

fn report_in(form: ReportForm) -> String {
    let (site, phased) = answer();
    let methods = phase_methods(&phased, None).expect("labels are legal");
    let file = SiteFile { name: "quarry-workshop.yaml", text: SITE };
    report::phases_report(&site, &phased, &methods, file, form)
}

fn compare(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/phases/golden").join(name);
    if std::env::var_os("SUNGRAFT_BLESS").is_some() {
        fs::create_dir_all(path.parent().expect("has a folder")).expect("writable");
        fs::write(&path, text).expect("writable");
    }
    let wanted = fs::read_to_string(&path).unwrap_or_default();
    assert!(wanted == text, "{name} differs:\n{text}");
}

#[test]
fn the_scenario_answers_in_every_form_as_was_read_in_review() {
    let (site, phased) = answer();
    for (format, name) in [
        (Format::Table, "quarry-workshop.txt"),
        (Format::Json, "quarry-workshop.json"),
        (Format::Csv, "quarry-workshop.csv"),
    ] {
        compare(name, &report::phases(&site, &phased, format));
    }
    compare("quarry-workshop.md", &report_in(ReportForm::Markdown));
}

#[test]
fn the_page_has_at_most_100_columns() {
    let (site, phased) = answer();
    for line in report::phases(&site, &phased, Format::Table).lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn the_json_keeps_its_schema() {
    let (site, phased) = answer();
    let schema: Value = serde_json::from_str(schema::PHASES).expect("is JSON");
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).expect("is a schema");
    let answer: Value =
        serde_json::from_str(&report::phases(&site, &phased, Format::Json)).expect("is JSON");
    let complaints: Vec<String> = validator.iter_errors(&answer).map(|e| e.to_string()).collect();
    assert!(complaints.is_empty(), "{complaints:#?}");
    // A key that nobody knows is a complaint, so that the schema says something.
    let mut odd = answer;
    odd["phases"][0]["colour"] = Value::from("green");
    assert!(!validator.is_valid(&odd));
}

#[test]
fn the_report_has_a_page_for_each_phase_with_a_drawing_of_its_own() {
    let html = report_in(ReportForm::Html);
    let (site, phased) = answer();
    for (t, step) in phased.steps.iter().enumerate() {
        assert!(html.contains(&format!("<section id=\"phase-{}\"", t + 1)), "{}", step.name);
        assert!(html.contains(&format!("phase-{}-wiring-", t + 1)), "{}", step.name);
    }
    let ids: Vec<&str> = html.split(" id=\"").skip(1).filter_map(|s| s.split('"').next()).collect();
    for (i, id) in ids.iter().enumerate() {
        assert!(!ids[..i].contains(id), "`{id}` stands twice");
    }
    assert!(html.contains(&site.site.name));
}
