//! Standard output is the answer, standard error is talk. A closed pipe is no error.

use std::io::{self, ErrorKind, Write};

use super::exit::{Exit, Refusal};

/// Writes an answer to standard output.
///
/// A reader that has seen enough (`| head`) is no error; a full disk is one.
pub(super) fn show(answer: &str) -> Result<(), Refusal> {
    let mut out = io::stdout().lock();
    match out.write_all(answer.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => Err(Refusal {
            text: format!("error: cannot write the answer: {e}"),
            exit: Exit::Unusable,
        }),
        _ => Ok(()),
    }
}

/// Writes talk to standard error. If nobody listens, nobody is missed.
pub(super) fn say(talk: &str) {
    let text = talk.trim_end();
    if !text.is_empty() {
        let _ = writeln!(io::stderr().lock(), "{text}");
    }
}
