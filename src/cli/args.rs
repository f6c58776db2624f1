//! What may stand on the command line, in the owner's words.

use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::about::built;
use super::label_args::{LABEL_EXAMPLES, LabelArgs};
use super::match_args::{MATCH_EXAMPLES, MatchArgs};
use super::measured::measured;
use super::numbers::{seconds, watts};
use super::phases_args::{PHASES_EXAMPLES, PhasesArgs};
use super::threshold::Threshold;
use super::written::Overwrite;
use crate::plan::{Aim, Measured, Rule, Touch};
use crate::report::{Format, ReportForm};

const EXAMPLES: &str = "\
To begin:
  sungraft starter > shed.yaml     a site file that runs as it is: replace its figures by yours
  sungraft check shed.yaml         what the array gives today, and every limit
  sungraft advise shed.yaml        which spares to add, and how to wire them

Exit codes:
  0 answered   1 the answer is no (a limit is breached, no plan keeps every limit, a reading
  is outside its band)
  2 arguments, input or file cannot be used   3 the search ended before any plan
  4 some site files of many could not be used, the others are answered (`match`)

The answer says what it assumed and what to take care of. Local code and a licensed person have the
last word.";

const ADVISE_EXAMPLES: &str = "\
Examples:
  sungraft advise shed.yaml
      The best plan at each level of disturbance, and what becomes of every spare.
  sungraft advise shed.yaml --touch none
      I will not touch what is wired: what can new strings beside it bring?
  sungraft advise hut.yaml --for worst-month
      Choose plans for the month that a battery must get through.
  sungraft advise shed.yaml --threshold-watts 20
      Leave out any panel that brings less than 20 W.
  sungraft advise shed.yaml --joint-worth 5
      Open or make a joint only if it brings 5 W, and show what joints buy.
  sungraft advise barn.yaml --input roof:2
      Plan the second input of the controller `roof`.
  sungraft advise shed.yaml --report shed.html
      Also write a report to print and to work by.
  sungraft advise shed.yaml --format csv > shed.csv
      For a spreadsheet.
  sungraft advise - < shed.yaml
      Read standard input.";

const LESSON_EXAMPLES: &str = "\
Examples:
  sungraft lesson shed.yaml
      The array worked step by step by the rule of thumb, and what the curves say instead.
  sungraft lesson shed.yaml --report lesson.html
      The same with drawings, to print in black and white.
  sungraft lesson --exercise 6 --seed 3 --report sheet.html
  sungraft lesson --exercise 6 --seed 3 --key --report answers.html
      Six problems of rising difficulty, and the answers to the same six.";

const CHECK_EXAMPLES: &str = "\
Examples:
  sungraft check shed.yaml
  sungraft check shed.yaml --format json
  sungraft starter --readings shed.yaml > readings.yaml
  sungraft check shed.yaml --readings readings.yaml
      After the work: each reading inside its band or not, and what is likely wrong. Write the new
      wiring under `installed` first. Ends with 1 if a reading is outside its band.
  sungraft check shed.yaml > /dev/null || echo \"a limit is breached, or the file has an error\"";

const COMPLETIONS_EXAMPLES: &str = "\
Examples:
  sungraft completions bash > ~/.local/share/bash-completion/completions/sungraft
  sungraft completions zsh > ~/.zfunc/_sungraft      with ~/.zfunc in fpath
  sungraft completions fish > ~/.config/fish/completions/sungraft.fish";

/// Which spare solar panels are worth adding to an array that already stands, and how to wire them.
///
/// Write down the wiring as it is, the labels of the panels and the limits of the controller in a
/// site file. The answer says which spares to add, how to rewire, how many watts that brings, and
/// which panels add nothing and why.
#[derive(Debug, Parser)]
#[command(name = "sungraft", version, long_version = built(), after_help = EXAMPLES, max_term_width = 100)]
pub(super) struct Cli {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Which spares to add, how to wire them, and what that brings
    #[command(after_help = ADVISE_EXAMPLES)]
    Advise(AdviseArgs),
    /// The array as it stands: what it gives, every limit, panels that give nothing
    #[command(after_help = CHECK_EXAMPLES)]
    Check(CheckArgs),
    /// The arithmetic step by step, rule of thumb beside the true curve; exercises with a key
    #[command(after_help = LESSON_EXAMPLES)]
    Lesson(LessonArgs),
    /// An upgrade in steps: what to buy and wire in each phase, planned over all of them together
    #[command(after_help = PHASES_EXAMPLES)]
    Phases(PhasesArgs),
    /// A panel without a label: its figures, with a band, from meter readings; or how far it has faded
    #[command(after_help = LABEL_EXAMPLES)]
    Label(Box<LabelArgs>),
    /// A stock of panels over many sites: who can use which, and what it is worth to them
    #[command(after_help = MATCH_EXAMPLES)]
    Match(Box<MatchArgs>),
    /// Print a commented site file to begin from; it runs as it is
    Starter {
        /// Print a price file for parts instead, its prices invented, for `advise --prices`
        #[arg(long)]
        prices: bool,
        /// Print a form for readings on this site's wiring instead, to fill in
        #[arg(long, value_name = "SITE.yaml", conflicts_with = "prices")]
        readings: Option<PathBuf>,
    },
    /// Print the JSON Schema of an answer
    Schema {
        /// Of which answer
        #[arg(value_enum, value_name = "ANSWER", default_value_t = SchemaOf::Advice)]
        of: SchemaOf,
    },
    /// Print what a shell needs to complete commands and options
    #[command(after_help = COMPLETIONS_EXAMPLES)]
    Completions {
        /// For which shell
        #[arg(value_enum, value_name = "SHELL")]
        shell: clap_complete::Shell,
    },
    /// Print the manual page of the program or of a command; `sungraft man advise | man -l -` shows it
    Man {
        /// Of which command [default: the program itself]
        #[arg(value_name = "COMMAND")]
        of: Option<String>,
    },
}

#[derive(Debug, Args)]
pub(super) struct AdviseArgs {
    /// The site file (YAML); `-` reads standard input
    #[arg(value_name = "SITE.yaml")]
    pub(super) site: PathBuf,
    /// How much of today's wiring a plan may disturb; may be given several times [default: all]
    #[arg(long, value_enum, value_name = "LEVEL", value_delimiter = ',')]
    pub(super) touch: Vec<TouchArg>,
    /// What to choose plans for [default: year, where the file says enough about the sun, else watts]
    #[arg(long = "for", value_enum, value_name = "AIM")]
    pub(super) aim: Option<AimArg>,
    /// Compare plans by the panels' curves, or by the rule of thumb
    #[arg(long, value_enum, default_value_t = RuleArg::Curve)]
    pub(super) rule: RuleArg,
    #[command(flatten)]
    pub(super) threshold: Threshold,
    /// Watts a spare controller must bring to be used, beside what its panels must
    #[arg(long, value_name = "W", default_value = "10", value_parser = watts)]
    pub(super) controller_watts: f64,
    /// Watts a joint, opened or made, must bring; also shows the best watts for each number of joints
    #[arg(long, value_name = "W", value_parser = watts)]
    pub(super) joint_worth: Option<f64>,
    /// Plan this input alone; the others stay as they are [default: all of them together]
    #[arg(long, value_name = "CONTROLLER:N")]
    pub(super) input: Option<String>,
    /// What parts cost, as a file (`sungraft starter --prices` prints one)
    #[arg(long, value_name = "FILE.yaml")]
    pub(super) prices: Option<PathBuf>,
    /// End the search after this time, with the best plans so far and what is proven of them
    #[arg(long, value_name = "S", value_parser = seconds)]
    pub(super) seconds: Option<f64>,
    /// In which form to answer
    #[arg(long, value_enum, default_value_t = FormatArg::Table)]
    pub(super) format: FormatArg,
    /// Also write a report to print and to work by; may be given several times
    #[arg(long, value_name = "FILE.html|FILE.md", value_parser = report_file)]
    pub(super) report: Vec<PathBuf>,
    /// Sun and cell temperature at which the report's test sheet is to be right, as "780 W/m2, 41 C"
    #[arg(long, value_name = "SUN, CELLS", value_parser = measured)]
    pub(super) measured: Option<Measured>,
    /// Also draw the wiring and the curves, today and as planned; may be given several times
    #[arg(long, value_name = "FILE.svg", value_parser = drawing_file)]
    pub(super) drawing: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) overwrite: Overwrite,
}

#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    /// The site file (YAML); `-` reads standard input
    #[arg(value_name = "SITE.yaml")]
    pub(super) site: PathBuf,
    /// After the work: hold these readings (YAML) against the wiring, and find what is likely wrong
    #[arg(long, value_name = "FILE.yaml")]
    pub(super) readings: Option<PathBuf>,
    /// In which form to answer
    #[arg(long, value_enum, default_value_t = FormatArg::Table)]
    pub(super) format: FormatArg,
}

#[derive(Debug, Args)]
pub(super) struct LessonArgs {
    /// The site file (YAML); `-` reads standard input
    #[arg(
        value_name = "SITE.yaml",
        required_unless_present = "exercise",
        conflicts_with = "exercise"
    )]
    pub(super) site: Option<PathBuf>,
    /// Make so many problems of rising difficulty instead, from invented panels
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=MOST_EXERCISES))]
    pub(super) exercise: Option<u8>,
    /// Which problems: the same number gives the same ones
    #[arg(long, value_name = "S", default_value_t = 1, requires = "exercise")]
    pub(super) seed: u64,
    /// Give the answers to these problems, worked step by step, instead of the problems
    #[arg(long, requires = "exercise")]
    pub(super) key: bool,
    /// Also write it with its drawings, to print; may be given several times
    #[arg(long, value_name = "FILE.html|FILE.md", value_parser = report_file)]
    pub(super) report: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) overwrite: Overwrite,
}

/// More problems than this are several sheets.
const MOST_EXERCISES: i64 = 50;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, ValueEnum)]
pub(super) enum TouchArg {
    /// Nothing that is wired: spares form new strings
    None,
    /// Strings stay together, but may get longer or a spare across a panel
    Extend,
    /// Anything: installed panels may be rewired or left out
    Free,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum AimArg {
    /// Watts at full sun
    Watts,
    /// Energy in a year
    Year,
    /// Energy on a day of the month in which that is least
    WorstMonth,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum RuleArg {
    /// The panels' single-diode curves, mismatch and all
    Curve,
    /// Hand arithmetic from the labels
    Nameplate,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum FormatArg {
    /// A page to read
    Table,
    /// For programs; see `sungraft schema`
    Json,
    /// For spreadsheets
    Csv,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SchemaOf {
    /// Of `advise --format json`
    Advice,
    /// Of `check --format json`
    Check,
    /// Of `label --format json`
    Label,
    /// Of `phases --format json`
    Phases,
    /// Of `check --readings --format json`
    Verify,
    /// Of `match --format json`
    Match,
}

impl From<TouchArg> for Touch {
    fn from(arg: TouchArg) -> Self {
        match arg {
            TouchArg::None => Self::None,
            TouchArg::Extend => Self::Extend,
            TouchArg::Free => Self::Free,
        }
    }
}

impl From<AimArg> for Aim {
    fn from(arg: AimArg) -> Self {
        match arg {
            AimArg::Watts => Self::Watts,
            AimArg::Year => Self::Year,
            AimArg::WorstMonth => Self::WorstMonth,
        }
    }
}

impl From<RuleArg> for Rule {
    fn from(arg: RuleArg) -> Self {
        match arg {
            RuleArg::Curve => Self::Curve,
            RuleArg::Nameplate => Self::Nameplate,
        }
    }
}

impl From<FormatArg> for Format {
    fn from(arg: FormatArg) -> Self {
        match arg {
            FormatArg::Table => Self::Table,
            FormatArg::Json => Self::Json,
            FormatArg::Csv => Self::Csv,
        }
    }
}

/// A report's form is told by the end of its name.
pub(super) fn report_file(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    match report_form(&path) {
        Some(_) => Ok(path),
        None => Err("its name must end in `.html` or `.md`".into()),
    }
}

/// The form of a report with this name.
pub(super) fn report_form(path: &Path) -> Option<ReportForm> {
    match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
        "html" | "htm" => Some(ReportForm::Html),
        "md" => Some(ReportForm::Markdown),
        _ => None,
    }
}

/// A drawing has one form, and its name says so.
fn drawing_file(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    let ending = path.extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
    match ending.as_deref() {
        Some("svg") => Ok(path),
        _ => Err("its name must end in `.svg`".into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arguments_are_well_formed() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }

    #[test]
    fn levels_are_named_as_in_the_answers() {
        for arg in TouchArg::value_variants() {
            let name = arg.to_possible_value().expect("none is hidden");
            assert_eq!(name.get_name(), Touch::from(*arg).name());
        }
    }
}
