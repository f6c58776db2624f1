//! What the program says of itself: what it was built with, its manual pages, what shells need.

use std::io;
use std::sync::LazyLock;

use clap::{Command, CommandFactory};
use clap_complete::Shell;

use super::args::Cli;
use super::exit::Refusal;

static BUILT: LazyLock<String> = LazyLock::new(|| {
    let profile = if cfg!(debug_assertions) { "with checks" } else { "optimised" };
    let solvers =
        if cfg!(feature = "highs") { "own search, microlp, HiGHS" } else { "own search, microlp" };
    format!(
        "{}\nbuilt by Rust {} for {} {}, {profile}\nsolvers: {solvers}",
        env!("CARGO_PKG_VERSION"),
        rustc_version_runtime::version(),
        std::env::consts::OS,
        std::env::consts::ARCH,
    )
});

/// For `--version`.
pub(super) fn built() -> &'static str {
    &BUILT
}

/// The manual page of the program, or of one of its commands, in roff.
///
/// # Errors
/// A command that there is none of this name.
pub(super) fn manual(of: Option<&str>) -> Result<String, Refusal> {
    let mut whole = Cli::command();
    whole.build();
    let command = match of {
        None => whole,
        Some(name) => {
            whole.find_subcommand(name).cloned().ok_or_else(|| no_command(name, &whole))?
        }
    };
    let mut page = Vec::new();
    let rendered = clap_mangen::Man::new(command).render(&mut page);
    rendered
        .map_err(|e: io::Error| Refusal::unusable(&format!("cannot make the page: {e}"), ""))?;
    Ok(String::from_utf8_lossy(&page).into_owned())
}

fn no_command(name: &str, whole: &Command) -> Refusal {
    let known: Vec<String> =
        whole.get_subcommands().map(|c| format!("`{}`", c.get_name())).collect();
    Refusal::unusable(
        &format!("there is no command `{name}`"),
        &format!("the commands are {}", known.join(", ")),
    )
}

/// What a shell needs to complete commands and options.
pub(super) fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "sungraft", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}
