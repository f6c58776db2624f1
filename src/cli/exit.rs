//! How a command ends.

use std::process::ExitCode;

/// What the exit code says. The numbers are a contract with scripts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Exit {
    /// The question is answered, also if the answer is to leave the array as it is.
    Answered = 0,
    /// The answer is no: a limit is breached, or no wiring keeps every limit.
    No = 1,
    /// Arguments, input or a file cannot be used.
    Unusable = 2,
    /// The search came to its limit before any plan.
    LimitReached = 3,
    /// Some of the files could not be used; the answer is about the others.
    AnsweredInPart = 4,
    /// An error in this program (the number is `EX_SOFTWARE` of BSD's `sysexits`).
    Internal = 70,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// Why a command ends without an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refusal {
    /// For standard error.
    pub(super) text: String,
    /// How the program ends.
    pub(super) exit: Exit,
}

impl Refusal {
    /// Arguments, input or a file cannot be used: what is wrong, and how to mend it.
    pub(super) fn unusable(error: &str, help: &str) -> Self {
        let help = if help.is_empty() { String::new() } else { format!("\nhelp: {help}") };
        Self { text: format!("error: {error}{help}"), exit: Exit::Unusable }
    }
}
