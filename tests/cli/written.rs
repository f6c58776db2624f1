//! What is written: whole, under its own name, and never over what a person has.

use std::fs;
use std::path::{Path, PathBuf};

use crate::site::sound;
use crate::{run, run_with, sungraft};

/// An empty folder of this name.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("can make a folder");
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().expect("is UTF-8")
}

fn names_in(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("is there");
    let mut names: Vec<String> =
        entries.map(|e| e.expect("readable").file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn a_file_that_is_there_stays_unless_force_is_said() {
    let folder = folder("stays");
    for (option, name) in [("--report", "goat.html"), ("--drawing", "goat.svg")] {
        let path = folder.join(name);
        fs::write(&path, "mine").expect("can write");
        let args = ["advise", "-", option, text(&path)];
        let (code, answer, talk) = run_with(&args, &sound());
        // It is said before the work begins, not after it.
        assert_eq!((code, answer.as_str()), (2, ""), "{talk}");
        assert!(talk.contains("is there already") && talk.contains("`--force`"), "{talk}");
        assert_eq!(fs::read_to_string(&path).expect("is there"), "mine");
        let (code, _, talk) = run_with(&[&args[..], &["--force"]].concat(), &sound());
        assert_eq!(code, 0, "{talk}");
        assert!(fs::read_to_string(&path).expect("is there").len() > 1000);
    }
    assert_eq!(names_in(&folder), ["goat.html", "goat.svg"]);
}

#[test]
fn the_file_that_was_read_is_never_written_over() {
    let folder = folder("read");
    let path = folder.join("goat.md");
    fs::write(&path, sound()).expect("can write");
    for command in ["advise", "lesson"] {
        let args = [command, text(&path), "--report", text(&path), "--force"];
        let (code, answer, talk) = run(&mut sungraft(&args));
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains("it would be lost"), "{talk}");
        assert_eq!(fs::read_to_string(&path).expect("is there"), sound());
    }
}

#[test]
fn one_name_for_two_files_is_refused() {
    let path = folder("twice").join("goat.html");
    let args = ["advise", "-", "--report", text(&path), "--report", text(&path)];
    let (code, answer, talk) = run_with(&args, &sound());
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("to be written twice") && !path.exists(), "{talk}");
}

#[test]
#[cfg(unix)]
fn a_file_written_over_keeps_its_permissions_and_a_link_its_target() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = folder("links");
    let (file, link) = (folder.join("goat.html"), folder.join("latest.html"));
    fs::write(&file, "old").expect("can write");
    fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).expect("is mine");
    symlink("goat.html", &link).expect("can link");
    let args = ["advise", "-", "--report", text(&link), "--force"];
    let (code, _, talk) = run_with(&args, &sound());
    assert_eq!(code, 0, "{talk}");
    assert!(fs::symlink_metadata(&link).expect("is there").is_symlink());
    let about = fs::metadata(&file).expect("is there");
    assert_eq!(about.permissions().mode() & 0o777, 0o640);
    assert!(about.len() > 1000);
    assert_eq!(names_in(&folder), ["goat.html", "latest.html"]);
}

/// A limit on the size of files stands in for a full disk: both fail in the middle of the text.
#[test]
#[cfg(target_os = "linux")]
fn a_disk_that_fills_up_leaves_the_old_file_whole() {
    let folder = folder("full");
    let (site, page) = (folder.join("goat.yaml"), folder.join("goat.html"));
    fs::write(&site, sound()).expect("can write");
    fs::write(&page, "old").expect("can write");
    // Blocks of 512 bytes: less than a report. The signal is ignored, so that the error is seen.
    let line = "trap '' XFSZ; ulimit -f 4; exec \"$@\"";
    let program = env!("CARGO_BIN_EXE_sungraft");
    let output = std::process::Command::new("sh")
        .args([
            "-c",
            line,
            "sh",
            program,
            "advise",
            text(&site),
            "--report",
            text(&page),
            "--force",
        ])
        .output()
        .expect("a shell starts");
    let talk = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{talk}");
    assert!(talk.contains("cannot write") && talk.contains("make room"), "{talk}");
    assert_eq!(fs::read_to_string(&page).expect("is there"), "old");
    assert_eq!(names_in(&folder), ["goat.html", "goat.yaml"]);
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_device_is_an_error_with_its_name() {
    let link = folder("device").join("full.html");
    std::os::unix::fs::symlink("/dev/full", &link).expect("can link");
    let (code, answer, talk) = run_with(&["advise", "-", "--report", text(&link)], &sound());
    assert_eq!(code, 2);
    assert!(answer.contains("Limits"), "{answer}");
    assert!(talk.contains("cannot write") && talk.contains("make room"), "{talk}");
}
