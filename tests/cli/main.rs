//! The program as a person meets it: arguments, streams, exit codes, files.

mod about;
mod answers;
mod arguments;
mod controllers;
mod files;
mod label;
mod lesson;
mod phases;
mod seconds;
mod site;
mod streams;
mod verify;
mod weather;
mod worth;
mod written;

use assert_cmd::Command;

/// The program.
fn sungraft(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sungraft"));
    command.args(args).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    command
}

/// Exit code, standard output, standard error.
fn run(command: &mut Command) -> (i32, String, String) {
    let output = command.output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("is UTF-8");
    let code = output.status.code().expect("ends by itself");
    (code, text(output.stdout), text(output.stderr))
}

/// The same with a text on standard input.
fn run_with(args: &[&str], stdin: &str) -> (i32, String, String) {
    run(sungraft(args).write_stdin(stdin))
}
