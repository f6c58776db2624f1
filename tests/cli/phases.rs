//! `phases` as a person meets it.

use std::fs;

use crate::{run, run_with, sungraft};

const SITE: &str = "scenarios/quarry-workshop.yaml";

#[test]
fn an_upgrade_is_answered_in_every_form() {
    for (format, begins) in [
        ("table", "Quarry End workshop"),
        ("json", "{\n  \"format\": \"sungraft/phases@1\""),
        ("csv", "site,record"),
    ] {
        let (code, answer, talk) = run(&mut sungraft(&["phases", SITE, "--format", format]));
        assert_eq!((code, talk.as_str()), (0, ""));
        assert!(answer.starts_with(begins), "{answer}");
    }
}

#[test]
fn a_file_without_phases_is_told_what_to_do() {
    let (code, answer, talk) = run(&mut sungraft(&["phases", "scenarios/seed-shed.yaml"]));
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("has no `phases`") && talk.contains("sungraft advise"), "{talk}");
}

#[test]
fn a_report_is_written_and_never_over_another_file() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("upgrade.html");
    let name = path.to_str().expect("plain");
    let (code, _, talk) = run(&mut sungraft(&["phases", SITE, "--report", name]));
    assert_eq!(code, 0, "{talk}");
    let html = fs::read_to_string(&path).expect("written");
    assert!(html.contains("Phase 3: the year after"), "{talk}");
    let (code, answer, talk) = run(&mut sungraft(&["phases", SITE, "--report", name]));
    assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
}

#[test]
fn standard_input_is_read_and_mistakes_are_told() {
    let site = fs::read_to_string(SITE).expect("readable");
    let (code, answer, _) = run_with(&["phases", "-"], &site);
    assert_eq!(code, 0);
    assert!(answer.contains("Phase 1: this autumn"));
    let swapped = site.replace("date: 2028-06", "date: 2025-06");
    let (code, answer, talk) = run_with(&["phases", "-"], &swapped);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("error[E330]") && talk.contains("`next summer`"), "{talk}");
}

#[test]
fn worths_must_be_numbers_and_not_negative() {
    for args in [["--money-worth", "-1"], ["--joint-worth", "two"]] {
        let (code, _, talk) = run(&mut sungraft(&["phases", SITE, args[0], args[1]]));
        assert_eq!(code, 2, "{talk}");
    }
}

#[test]
fn a_search_that_is_ended_early_answers_with_what_it_has() {
    let (code, answer, talk) = run(&mut sungraft(&["phases", SITE, "--seconds", "0.001"]));
    assert_eq!((code, talk.as_str()), (0, ""));
    assert!(answer.contains("Stopped after 0.001 s"), "{answer}");
}

#[test]
fn what_is_planned_for_and_what_may_be_touched_can_be_said() {
    let (code, answer, _) = run(&mut sungraft(&["phases", SITE, "--for", "watts"]));
    assert_eq!(code, 0);
    assert!(answer.contains("most watts at full sun"), "{answer}");
    let (code, answer, _) = run(&mut sungraft(&["phases", SITE, "--touch", "none"]));
    assert_eq!(code, 0);
    assert!(answer.contains("strings that stand are not\n") || answer.contains("are not touched"));
    let work = answer.split_once("Take care").expect("cautions stand at the end").0;
    assert!(!work.contains("Take "), "nothing is taken out: {work}");
    let (code, _, talk) = run(&mut sungraft(&["phases", SITE, "--for", "worst-month"]));
    assert_eq!(code, 2, "{talk}");
}
