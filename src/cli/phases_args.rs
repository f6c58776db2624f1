//! The arguments of `phases`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::args::{FormatArg, TouchArg, report_file};
use super::measured::measured;
use super::numbers::{seconds, watts};
use super::threshold::Threshold;
use super::written::Overwrite;
use crate::plan::{Aim, Measured};

pub(super) const PHASES_EXAMPLES: &str = "\
Examples:
  sungraft phases barn.yaml
      What to buy and to wire in each of the phases of the file, planned over all of them together.
  sungraft phases barn.yaml --for watts
      Weigh the phases by watts at full sun, not by the energy of a year.
  sungraft phases barn.yaml --joint-worth 2
      Open or make a joint only if it brings 2 W over all the time.
  sungraft phases barn.yaml --touch none
      I will not touch a string that is wired: each phase adds new ones beside.
  sungraft phases barn.yaml --money-worth 0.5
      Spend only where a unit of money brings half a watt over all the time.
  sungraft phases barn.yaml --report barn.html
      Also write a report: a page for each phase, to print and to work by.

The phases stand in the site file under `phases:`, in the order in which they are carried out: how long each
lasts, what it may cost, and which panels and controllers can be had in it.";

/// What phases are planned for; a month does not add up over them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum PhasesAimArg {
    /// Watts at full sun, times the years that each phase counts
    Watts,
    /// Energy over all the years: each phase's year times the years that it counts
    Year,
}

impl From<PhasesAimArg> for Aim {
    fn from(aim: PhasesAimArg) -> Self {
        match aim {
            PhasesAimArg::Watts => Self::Watts,
            PhasesAimArg::Year => Self::Year,
        }
    }
}

#[derive(Debug, Args)]
pub(super) struct PhasesArgs {
    /// The site file (YAML) with its `phases`; `-` reads standard input
    #[arg(value_name = "SITE.yaml")]
    pub(super) site: PathBuf,
    /// What to choose plans for [default: year, where the file says enough about the sun, else watts]
    #[arg(long = "for", value_enum, value_name = "AIM")]
    pub(super) aim: Option<PhasesAimArg>,
    /// How much of the wiring before it each phase may disturb
    #[arg(long, value_enum, value_name = "LEVEL", default_value_t = TouchArg::Free)]
    pub(super) touch: TouchArg,
    #[command(flatten)]
    pub(super) threshold: Threshold,
    /// Watts a joint, opened or made, must bring over all the time
    #[arg(long, value_name = "W", value_parser = watts)]
    pub(super) joint_worth: Option<f64>,
    /// Watts a unit of money must bring over all the time; without it money counts by the budgets alone
    #[arg(long, value_name = "W", value_parser = watts)]
    pub(super) money_worth: Option<f64>,
    /// End the search after this time, with the best way so far and what is proven of it
    #[arg(long, value_name = "S", value_parser = seconds)]
    pub(super) seconds: Option<f64>,
    /// In which form to answer
    #[arg(long, value_enum, default_value_t = FormatArg::Table)]
    pub(super) format: FormatArg,
    /// Also write a report with a page for each phase; may be given several times
    #[arg(long, value_name = "FILE.html|FILE.md", value_parser = report_file)]
    pub(super) report: Vec<PathBuf>,
    /// Sun and cell temperature at which the test sheets are to be right, as "780 W/m2, 41 C"
    #[arg(long, value_name = "SUN, CELLS", value_parser = measured)]
    pub(super) measured: Option<Measured>,
    #[command(flatten)]
    pub(super) overwrite: Overwrite,
}
