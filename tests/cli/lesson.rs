//! `lesson`: a site worked by hand, exercises and their key, files to print.

use std::fs;
use std::path::PathBuf;

use crate::site::{sound, too_cold};
use crate::{run, run_with, sungraft};

/// A path in cargo's folder for tests' files.
fn scratch(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name)
}

#[test]
fn a_site_is_worked_step_by_step() {
    let (code, answer, talk) = run_with(&["lesson", "-"], &sound());
    assert_eq!((code, talk.as_str()), (0, ""), "{answer}");
    // Two panels of 18.4 V and 8.7 A in series: 36.8 V × 8.7 A = 320.16 W.
    for part in ["36.8 V × 8.7 A = 320.16 W by the rule of thumb", "goat-160", "Take care"] {
        assert!(answer.contains(part), "{part}: {answer}");
    }
    assert!(answer.lines().all(|l| l.chars().count() <= 100), "{answer}");
}

#[test]
fn an_array_that_breaches_a_limit_is_a_lesson_too() {
    let (code, answer, _) = run_with(&["lesson", "-"], &too_cold());
    assert_eq!(code, 0, "{answer}");
    assert!(answer.contains("BREACHED"), "{answer}");
}

#[test]
fn exercises_and_their_key_are_printed_and_written() {
    let sheet = |args: &[&str]| {
        let mut all = vec!["lesson", "--exercise", "3", "--seed", "9"];
        all.extend(args);
        let (code, answer, _) = run(&mut sungraft(&all));
        assert_eq!(code, 0, "{answer}");
        answer
    };
    let (problems, key) = (sheet(&[]), sheet(&["--key"]));
    assert_eq!(problems.matches("A. Work out this wiring").count(), 3);
    assert_eq!(key.matches("B. The best wiring").count(), 3);
    assert_eq!(problems, sheet(&[]), "the same seed gives the same bytes");
    let (html, md) = (scratch("exercises.html"), scratch("exercises.md"));
    let paths = [&html, &md].map(|p| p.to_str().expect("is UTF-8").to_owned());
    sheet(&["--report", &paths[0], "--report", &paths[1], "--force"]);
    let html = fs::read_to_string(html).expect("was written");
    assert!(html.contains("id=\"problem-3\"") && html.contains("<svg"), "{html}");
    let md = fs::read_to_string(md).expect("was written");
    assert!(md.starts_with("# Exercises in wiring solar panels"), "{md}");
}

#[test]
fn the_site_file_is_never_written_over() {
    let site = scratch("lesson-site.md");
    fs::write(&site, sound()).expect("can write");
    let path = site.to_str().expect("is UTF-8");
    let (code, answer, talk) = run(&mut sungraft(&["lesson", path, "--report", path]));
    assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
    assert_eq!(fs::read_to_string(&site).expect("is there"), sound());
}
