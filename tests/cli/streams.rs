//! Standard output is the answer, and a reader may leave early.

use std::io::pipe;
use std::process::{Command, Stdio};

use crate::{run, sungraft};

#[test]
fn a_closed_pipe_is_no_error() {
    for args in [&["schema", "advice"][..], &["starter"], &["--help"]] {
        let (reader, writer) = pipe().expect("can make a pipe");
        drop(reader);
        let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
            .args(args)
            .stdout(writer)
            .stderr(Stdio::piped())
            .output()
            .expect("the program starts");
        assert_eq!(output.status.code(), Some(0), "{args:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{args:?}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn an_answer_that_cannot_be_written_is_an_error() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("is there");
    let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
        .arg("starter")
        .stdout(full)
        .stderr(Stdio::piped())
        .output()
        .expect("the program starts");
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("cannot write the answer"));
}

#[test]
fn answers_go_to_standard_output_alone() {
    let (code, answer, talk) = run(&mut sungraft(&["starter"]));
    assert_eq!((code, talk.as_str()), (0, ""));
    assert!(answer.contains("coldest_c"));
}
