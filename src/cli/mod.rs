//! The command line: the only place that touches files, standard streams and the environment.
//!
//! A command reads, asks the library, prints the answer to standard output and talk to standard
//! error, and ends with an `Exit`.

mod about;
mod answers;
mod args;
#[cfg(test)]
mod broken_search;
mod exit;
mod files;
mod fleet;
mod label;
mod label_args;
mod lesson;
mod match_args;
mod measured;
mod numbers;
mod phases;
mod phases_args;
mod streams;
mod threshold;
mod verify;
mod watch;
mod written;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;

use self::args::{Cli, Command, SchemaOf};
use self::exit::Exit;
use self::streams::{say, show};
use crate::input;
use crate::report::schema;

/// Runs the program with these arguments, the first of which is its own name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let exit = match Cli::try_parse_from(args) {
        Ok(cli) => obey(&cli.command),
        Err(usage) => {
            // Help and version are answers, everything else is a mistake in the arguments; the
            // parser knows which stream is meant. A closed stream is no error.
            let _ = usage.print();
            if usage.use_stderr() { Exit::Unusable } else { Exit::Answered }
        }
    };
    exit.into()
}

fn obey(command: &Command) -> Exit {
    let done = match command {
        Command::Advise(args) => answers::advise(args),
        Command::Check(args) => answers::check(args),
        Command::Lesson(args) => lesson::lesson(args),
        Command::Label(args) => label::label(args),
        Command::Phases(args) => phases::phases(args),
        Command::Match(args) => fleet::match_stock(args),
        Command::Starter { readings: Some(site), .. } => verify::form(site),
        Command::Starter { prices: true, .. } => {
            show(input::prices_starter()).map(|()| Exit::Answered)
        }
        Command::Starter { .. } => show(input::starter()).map(|()| Exit::Answered),
        Command::Schema { of } => show(match of {
            SchemaOf::Advice => schema::ADVICE,
            SchemaOf::Check => schema::CHECK,
            SchemaOf::Label => schema::LABEL,
            SchemaOf::Phases => schema::PHASES,
            SchemaOf::Verify => schema::VERIFY,
            SchemaOf::Match => schema::MATCH,
        })
        .map(|()| Exit::Answered),
        Command::Completions { shell } => {
            show(&about::completions(*shell)).map(|()| Exit::Answered)
        }
        Command::Man { of } => {
            about::manual(of.as_deref()).and_then(|page| show(&page)).map(|()| Exit::Answered)
        }
    };
    done.unwrap_or_else(|refusal| {
        say(&refusal.text);
        refusal.exit
    })
}
