//! Files that are not what they should be.

use std::fs::{self, File};
use std::path::PathBuf;

use crate::site::sound;
use crate::{run, run_with, sungraft};

/// A path in cargo's folder for tests' files.
fn scratch(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name)
}

fn refused(path: &str) -> String {
    let mut said = String::new();
    for command in ["advise", "check"] {
        let (code, answer, talk) = run(&mut sungraft(&[command, path]));
        assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
        assert!(talk.starts_with("error: "), "{talk}");
        said = talk;
    }
    said
}

#[test]
fn a_missing_file_is_named_with_a_way_to_begin() {
    let talk = refused("no/such/shed.yaml");
    assert!(talk.contains("there is no file `no/such/shed.yaml`"), "{talk}");
    assert!(talk.contains("sungraft starter > shed.yaml"), "{talk}");
}

#[test]
fn a_folder_is_no_site_file() {
    let path = scratch("a-folder");
    fs::create_dir_all(&path).expect("can make a folder");
    let talk = refused(path.to_str().expect("is UTF-8"));
    assert!(talk.contains("is a folder"), "{talk}");
}

#[test]
fn a_huge_file_is_refused_by_its_size() {
    let path = scratch("huge.yaml");
    let file = File::create(&path).expect("can make a file");
    file.set_len(17 * 1024 * 1024 * 1024).expect("a hole takes no room");
    let talk = refused(path.to_str().expect("is UTF-8"));
    fs::remove_file(&path).expect("is there");
    assert!(talk.contains("17408 MB large") && talk.contains("at most 16 MB"), "{talk}");
}

#[test]
#[cfg(target_os = "linux")]
fn an_endless_file_is_refused_too() {
    let talk = refused("/dev/zero");
    assert!(talk.contains("`/dev/zero` is too large"), "{talk}");
}

#[test]
fn a_file_and_standard_input_give_the_same_answer() {
    let path = scratch("goat-barn.yaml");
    fs::write(&path, sound()).expect("can write a file");
    let from_file = run(&mut sungraft(&["advise", path.to_str().expect("is UTF-8")]));
    assert_eq!(from_file, run_with(&["advise", "-"], &sound()));
}

#[test]
fn an_empty_and_a_binary_file_are_errors_of_the_input() {
    for bytes in [&b""[..], b"\x7fELF\x00\x01\xff\xfe"] {
        let mut command = sungraft(&["check", "-"]);
        let (code, answer, talk) = run(command.write_stdin(bytes));
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains("error"), "{talk}");
    }
}

#[test]
fn a_drawing_is_written_beside_the_answer_and_its_name_ends_in_svg() {
    let path = scratch("goat-barn.svg");
    let name = path.to_str().expect("is UTF-8");
    let args = ["advise", "-", "--drawing", name, "--force"];
    let (code, answer, talk) = run_with(&args, &sound());
    assert_eq!(code, 0, "{talk}");
    assert_eq!((code, answer, talk), run_with(&["advise", "-"], &sound()));
    let drawn = fs::read_to_string(&path).expect("was written");
    assert!(drawn.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""), "{drawn}");
    let (code, answer, talk) = run_with(&["advise", "-", "--drawing", "barn.png"], &sound());
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("its name must end in `.svg`"), "{talk}");
}

#[test]
fn reports_are_written_beside_the_answer_and_named() {
    let (page, text) = (scratch("goat.html"), scratch("goat.md"));
    for path in [&page, &text] {
        let _ = fs::remove_file(path);
    }
    let [page, text] = [&page, &text].map(|p| p.to_str().expect("is UTF-8"));
    let args = ["advise", "-", "--report", page, "--report", text];
    let (code, answer, talk) = run_with(&args, &sound());
    assert_eq!(code, 0, "{talk}");
    assert_eq!(answer, run_with(&["advise", "-"], &sound()).1);
    assert_eq!(talk.matches("report: `").count(), 2, "{talk}");
    let html = fs::read_to_string(page).expect("was written");
    assert!(html.starts_with("<!DOCTYPE html>") && html.contains("Read from standard input"));
    assert!(fs::read_to_string(text).expect("was written").starts_with("# goat barn\n"));
}

#[test]
fn a_report_needs_a_name_that_tells_its_form() {
    for name in ["-", "goat.pdf", "goat"] {
        let (code, answer, talk) = run_with(&["advise", "-", "--report", name], &sound());
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains("must end in `.html` or `.md`"), "{talk}");
    }
}

#[test]
fn a_report_that_cannot_be_written_does_not_take_the_answer_with_it() {
    let folder = std::env::temp_dir().join("sungraft-no-such-folder").join("goat.html");
    let name = folder.to_str().expect("the name is text");
    let (code, answer, talk) = run_with(&["advise", "-", "--report", name], &sound());
    assert_eq!(code, 2);
    assert!(answer.contains("Limits"), "{answer}");
    assert!(talk.contains("cannot write") && talk.contains("make its folder first"), "{talk}");
}
