//! Files that cannot be used, among others that can.

use std::fs;
use std::path::{Path, PathBuf};

use sungraft::report::schema;

use crate::{hold, run_match, run_scene, scene, scratch, text};

/// A folder with two sound sites of the scene and one that is broken.
fn among(name: &str) -> PathBuf {
    let folder = scratch(name);
    for sound in ["willow-school.yaml", "fox-hollow.yaml"] {
        fs::copy(scene(&format!("customers/{sound}")), folder.join(sound)).expect("copies");
    }
    fs::copy(broken(), folder.join("beekeepers-hall.yaml")).expect("copies");
    folder
}

fn broken() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/matching/broken/beekeepers-hall.yaml")
}

#[test]
fn a_broken_site_stops_nothing_and_the_exit_code_says_so() {
    let folder = among("broken-among");
    for (form, ending) in [("table", "txt"), ("json", "json"), ("csv", "csv")] {
        let (code, answer, talk) =
            run_match(text(&folder), &scene("stock.csv"), &["--format", form]);
        assert_eq!(code, 4, "{talk}");
        hold(&format!("broken.{ending}"), &answer);
        assert!(talk.contains("error[E307]") && talk.contains("beekeepers-hall.yaml:9:12"));
        assert!(talk.trim_end().ends_with("1 site is not in the answer"), "{talk}");
    }
    let validator =
        jsonschema::draft202012::new(&serde_json::from_str(schema::MATCH).expect("is JSON"));
    let (_, answer, _) = run_match(text(&folder), &scene("stock.csv"), &["--format", "json"]);
    let answer = serde_json::from_str(&answer).expect("is JSON");
    assert!(validator.expect("is a schema").is_valid(&answer));
}

#[test]
fn without_one_sound_site_nothing_is_answered() {
    let folder = scratch("all-broken");
    fs::copy(broken(), folder.join("a.yaml")).expect("copies");
    let (code, answer, talk) = run_match(text(&folder), &scene("stock.csv"), &[]);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("error[E307]"), "{talk}");
}

#[test]
fn a_folder_without_site_files_is_refused() {
    let folder = scratch("no-sites");
    fs::write(folder.join("notes.txt"), "nothing").expect("writable");
    let (code, _, talk) = run_match(text(&folder), &scene("stock.csv"), &[]);
    assert_eq!(code, 2);
    assert!(talk.contains("there is no site file in"), "{talk}");
}

#[test]
fn a_bad_row_stops_all_unless_it_is_to_be_left_out() {
    let folder = scratch("bad-row");
    let stock = folder.join("stock.csv");
    let sound = fs::read_to_string(scene("stock.csv")).expect("readable");
    fs::write(&stock, sound.replace("mast-30;30;17,6", "mast-30;30;27,6")).expect("writable");
    let site = scene("customers/willow-school.yaml");
    let (code, answer, talk) = run_match(&site, text(&stock), &["--panel", "creek-90"]);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("error[E307]") && talk.contains("stock.csv:6:12"), "{talk}");
    assert!(talk.contains("`--skip-bad` leaves such rows out"), "{talk}");
    let (code, answer, talk) =
        run_match(&site, text(&stock), &["--panel", "creek-90", "--skip-bad"]);
    assert_eq!(code, 0, "{talk}");
    assert!(answer.contains("1 row of the stock, in line 6"), "{answer}");
    assert!(talk.contains("error[E307]") && talk.contains("1 row was left out"), "{talk}");
}

#[test]
fn many_sites_in_one_file_are_asked_like_many_files() {
    let folder = scratch("one-file");
    let file = folder.join("sites.yaml");
    let sound = |n: &str| PathBuf::from(scene(&format!("customers/{n}.yaml")));
    let parts = [sound("willow-school"), broken(), sound("fox-hollow")]
        .map(|path| fs::read_to_string(path).expect("readable"));
    fs::write(&file, parts.join("---\n")).expect("writable");
    let (code, answer, talk) =
        run_match(text(&file), &scene("stock.csv"), &["--panel", "creek-90", "--format", "json"]);
    assert_eq!(code, 4, "{talk}");
    assert!(answer.contains("sites.yaml#1") && answer.contains("sites.yaml#3"), "{answer}");
    // The line as it stands in the file of all three.
    let line = 1 + parts[0].lines().count() + 9;
    assert!(talk.contains(&format!("sites.yaml:{line}:12")), "{talk}");
}

#[test]
fn words_that_name_nothing_are_met_with_the_nearest() {
    let refused = |more: &[&str], help: &str| {
        let (code, answer, talk) = run_scene(more);
        assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
        assert!(talk.contains(help), "{talk}");
    };
    refused(&["--panel", "creek-9"], "did you mean `creek-90`?");
    refused(&["--panel", "creek"], "did you mean `creek-90`?");
    refused(&["--replace", "heron", "2", "3"], "did you mean `heron-mill.yaml`?");
    refused(&["--panel", "zeppelin"], "a file of one row");
    refused(&["--replace", "heron-mil", "1", "1"], "did you mean");
    refused(&["--replace", "Heron mill", "7", "1"], "numbered from 1 to 2");
    refused(&["--replace", "Heron mill", "1", "4"], "numbered from 1 to 3");
    refused(&["--replace", "Heron mill", "1", "2b"], "write the number alone");
    refused(&["--replace", "lantern-bakery", "1", "1"], "`A1` is string 1");
    refused(&["--replace", "lantern-bakery", "C1", "1"], "the site has 2");
}

#[test]
fn what_is_not_there_is_told_in_the_words_of_what_it_should_be() {
    let (code, answer, talk) = run_match(&scene("customers"), "nowhere.csv", &[]);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("the stock `nowhere.csv` is not there"), "{talk}");
    assert!(talk.contains("CSV") && !talk.contains("starter"), "{talk}");
    let (code, _, talk) = run_match(&scene("customers"), &scene("customers"), &[]);
    assert!(code == 2 && talk.contains("is a folder"), "{talk}");
    let (code, _, talk) = run_match("nowhere", &scene("stock.csv"), &[]);
    assert!(code == 2 && talk.contains("folder of the customers' site files"), "{talk}");
}

#[test]
fn what_is_left_aside_is_told_with_the_files_that_say_it() {
    let folder = scratch("aside");
    let site = |name: &str| {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
        fs::read_to_string(root.join(name)).expect("readable")
    };
    fs::write(folder.join("plain.yaml"), site("seed-shed.yaml")).expect("writable");
    fs::write(folder.join("steps.yaml"), site("quarry-workshop.yaml")).expect("writable");
    let (code, answer, talk) = run_match(text(&folder), &scene("stock.csv"), &["--format", "csv"]);
    assert!(matches!(code, 0 | 1), "{code} {talk}");
    let note = answer.lines().find(|l| l.contains("`sungraft phases` plans those"));
    let note = note.unwrap_or_else(|| panic!("{answer}{talk}"));
    assert!(note.contains("`steps.yaml`") && !note.contains("`plain.yaml`"), "{note}");
}
