//! A journal keeps what was found, whatever happens to it.

use std::fs;

use crate::{run_match, run_scene, scene, scratch, text};

/// The answer as JSON, and what is said beside it.
fn answer(more: &[&str]) -> (String, String) {
    let (code, answer, talk) = run_scene(&[&["--format", "json"], more].concat());
    assert_eq!(code, 0, "{talk}");
    (answer, talk)
}

/// Holds two answers against each other without showing pages of both.
fn same(a: &str, b: &str, when: &str) {
    let differs = a.lines().zip(b.lines()).find(|(x, y)| x != y);
    assert!(differs.is_none() && a.len() == b.len(), "{when}: {differs:?}");
}

#[test]
fn a_run_that_goes_on_from_any_place_gives_the_same_bytes() {
    let folder = scratch("journal");
    let whole = folder.join("whole");
    let (plain, _) = answer(&[]);
    same(&answer(&["--journal", text(&whole)]).0, &plain, "with a journal");
    let bytes = fs::read(&whole).expect("readable");
    let n_lines = bytes.iter().filter(|b| **b == b'\n').count();
    assert!(n_lines > 7, "{n_lines} lines");
    // From nothing, from a torn first line, from a torn line in the middle, from the whole.
    for cut in [0, 10, bytes.len() / 2, bytes.len() - 1, bytes.len()] {
        let torn = folder.join(format!("torn-{cut}"));
        fs::write(&torn, &bytes[..cut]).expect("writable");
        let resume = ["--resume", text(&torn)];
        if cut == 10 {
            // Not even its first line is whole: it might be any file, and stays as it is.
            let (code, _, talk) = run_scene(&resume);
            assert_eq!(code, 2, "{talk}");
            assert!(talk.contains("is no journal of `match`"), "{talk}");
            assert_eq!(fs::read(&torn).expect("readable").len(), cut);
            continue;
        }
        same(&answer(&resume).0, &plain, &format!("cut at {cut}"));
        // Afterwards it is whole, with every line once.
        let text = fs::read_to_string(&torn).expect("is text");
        let mut lines: Vec<&str> = text.lines().collect();
        assert!(text.ends_with('\n') && lines.iter().all(|l| l.ends_with('}')), "cut at {cut}");
        lines.sort_unstable();
        let n = lines.len();
        lines.dedup();
        assert_eq!(lines.len(), n, "cut at {cut}: a line stands twice");
    }
}

#[test]
fn a_line_that_cannot_be_read_is_told_and_found_again() {
    let folder = scratch("nonsense");
    let journal = folder.join("journal");
    let (plain, _) = answer(&["--journal", text(&journal)]);
    let kept = fs::read_to_string(&journal).expect("is text");
    let (head, rest) = kept.split_once('\n').expect("a first line");
    fs::write(&journal, format!("{head}\n{{\"site\":\n{rest}")).expect("writable");
    let (again, talk) = answer(&["--resume", text(&journal)]);
    same(&again, &plain, "with a line of nonsense");
    assert!(talk.contains("1 line of") && talk.contains("cannot be read"), "{talk}");
}

#[test]
fn a_site_that_was_changed_is_asked_again() {
    let folder = scratch("changed");
    let (sites, journal) = (folder.join("sites"), folder.join("journal"));
    fs::create_dir(&sites).expect("can make a folder");
    for name in ["fox-hollow.yaml", "willow-school.yaml"] {
        fs::copy(scene(&format!("customers/{name}")), sites.join(name)).expect("copies");
    }
    let (_, _, _) = run_match(text(&sites), &scene("stock.csv"), &["--journal", text(&journal)]);
    let changed = fs::read_to_string(sites.join("fox-hollow.yaml")).expect("readable");
    fs::write(sites.join("fox-hollow.yaml"), changed.replace("charge_a: 30", "charge_a: 20"))
        .expect("writable");
    let plain = run_match(text(&sites), &scene("stock.csv"), &[]).1;
    let (_, answer, talk) =
        run_match(text(&sites), &scene("stock.csv"), &["--resume", text(&journal)]);
    same(&answer, &plain, "with a changed site");
    assert!(talk.contains("knows of 1 of 2 sites"), "{talk}");
}

#[test]
fn a_journal_that_is_there_is_not_begun_anew() {
    let folder = scratch("there");
    let journal = folder.join("journal");
    fs::write(&journal, "mine").expect("writable");
    let (code, _, talk) = run_scene(&["--journal", text(&journal)]);
    assert_eq!(code, 2);
    assert!(talk.contains("is there already"), "{talk}");
    assert_eq!(fs::read_to_string(&journal).expect("readable"), "mine");
}

#[test]
fn a_run_that_is_stopped_says_so_and_keeps_every_limit() {
    let (code, answer, talk) = run_scene(&["--seconds", "0.001"]);
    assert!(matches!(code, 0 | 3), "{code} {talk}");
    assert!(answer.contains("Stopped before the end") || answer.contains("None of"), "{answer}");
}
