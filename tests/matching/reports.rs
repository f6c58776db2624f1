//! The folder of reports: one for each site, and an index.

use std::collections::BTreeSet;
use std::fs;

use crate::{run_match, scene, scratch, text};

#[test]
fn every_site_that_gets_something_has_a_report_and_a_link() {
    let folder = scratch("reports");
    let (sites, reports) = (folder.join("sites"), folder.join("reports"));
    fs::create_dir(&sites).expect("can make a folder");
    let school = fs::read_to_string(scene("customers/willow-school.yaml")).expect("readable");
    fs::write(sites.join("a.yaml"), school.replace("Willow school", "<b>Willow</b> & \"Co\""))
        .expect("writable");
    fs::copy(scene("customers/fox-hollow.yaml"), sites.join("b.yaml")).expect("copies");
    let (code, answer, talk) = run_match(
        text(&sites),
        &scene("stock.csv"),
        &["--reports", text(&reports), "--format", "json"],
    );
    assert_eq!(code, 0, "{talk}");
    let answer: serde_json::Value = serde_json::from_str(&answer).expect("is JSON");
    let n_sites = answer["sites"].as_array().expect("a list").len();
    assert!(n_sites > 0);
    let index = fs::read_to_string(reports.join("index.html")).expect("is there");
    let parsed = roxmltree::Document::parse_with_options(
        &index,
        roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() },
    )
    .expect("is well-formed");
    let linked: BTreeSet<&str> = parsed.descendants().filter_map(|n| n.attribute("href")).collect();
    let written: BTreeSet<String> = fs::read_dir(&reports)
        .expect("is there")
        .map(|e| e.expect("readable").file_name().into_string().expect("plain"))
        .filter(|name| name != "index.html")
        .collect();
    assert_eq!(linked, written.iter().map(String::as_str).collect());
    assert_eq!(linked.len(), n_sites);
    assert!(!index.contains("<b>Willow") && !index.contains("<script"), "{index}");
    for name in &written {
        let report = fs::read_to_string(reports.join(name)).expect("readable");
        assert!(report.contains("Local code"), "{name}");
    }
}

#[test]
fn a_folder_with_files_in_it_is_left_alone() {
    let folder = scratch("reports-there");
    fs::write(folder.join("index.html"), "mine").expect("writable");
    let (code, answer, talk) = run_match(
        &scene("customers/willow-school.yaml"),
        &scene("stock.csv"),
        &["--reports", text(&folder)],
    );
    assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
    assert!(talk.contains("`--force`"), "{talk}");
    assert_eq!(fs::read_to_string(folder.join("index.html")).expect("readable"), "mine");
}
