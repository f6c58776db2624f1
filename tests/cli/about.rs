//! What the program says of itself.

use crate::{run, sungraft};

const COMMANDS: [&str; 9] =
    ["advise", "check", "lesson", "phases", "label", "starter", "schema", "completions", "man"];

#[test]
fn every_shell_completes_every_command() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let (code, script, talk) = run(&mut sungraft(&["completions", shell]));
        assert_eq!((code, talk.as_str()), (0, ""));
        for command in COMMANDS {
            assert!(script.contains(command), "{shell}: {command}");
        }
        assert!(script.contains("threshold-watts"), "{shell}");
    }
}

#[test]
fn bash_takes_its_script() {
    let (_, script, _) = run(&mut sungraft(&["completions", "bash"]));
    let Ok(output) = std::process::Command::new("bash").args(["-n", "-c", &script]).output() else {
        return;
    };
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn there_is_a_manual_page_of_the_program_and_of_each_command() {
    let (code, page, talk) = run(&mut sungraft(&["man"]));
    assert_eq!((code, talk.as_str()), (0, ""));
    assert!(page.contains(".SH NAME") && page.contains("exit codes") | page.contains("Exit codes"));
    for command in COMMANDS {
        assert!(page.contains(&format!("sungraft\\-{command}")), "{command}: {page}");
        let (code, page, talk) = run(&mut sungraft(&["man", command]));
        assert_eq!((code, talk.as_str()), (0, ""));
        assert!(page.contains(".SH SYNOPSIS"), "{page}");
    }
    let (code, page, talk) = run(&mut sungraft(&["man", "plan"]));
    assert_eq!((code, page.as_str()), (2, ""));
    assert!(talk.contains("the commands are `advise`"), "{talk}");
}

#[test]
fn the_version_says_what_it_was_built_with() {
    let (code, short, _) = run(&mut sungraft(&["-V"]));
    assert_eq!((code, short.trim_end()), (0, concat!("sungraft ", env!("CARGO_PKG_VERSION"))));
    let (code, long, _) = run(&mut sungraft(&["--version"]));
    assert_eq!(code, 0);
    assert!(long.starts_with(short.trim_end()), "{long}");
    assert!(long.contains("built by Rust 1.") && long.contains(std::env::consts::ARCH), "{long}");
}
