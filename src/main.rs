//! `sungraft`: see `sungraft help`, or `lib.rs` for how it works.

use std::process::ExitCode;

fn main() -> ExitCode {
    sungraft::cli::run(std::env::args_os())
}
