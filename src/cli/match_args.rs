//! What may stand behind `match`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::args::{FormatArg, TouchArg};
use super::numbers::{not_negative, seconds};
use super::threshold::Threshold;
use super::written::Overwrite;
use crate::plan::FleetAim;

pub(super) const MATCH_EXAMPLES: &str = "\
Examples:
  sungraft match --sites customers/ --stock stock.csv
      Who gets which panels, so that they bring most watts; what nobody can use, and why.
  sungraft match --sites customers/ --stock stock.csv --for margin --worth-per-watt 0.9 \\
      --cost-per-visit 80 --cost-per-joint 4 --format csv > offers.csv
      What brings most money, for a spreadsheet.
  sungraft match --sites customers/ --stock stock.csv --panel creek-90
      Who can use this one panel?
  sungraft match --sites customers/ --stock stock.csv --replace mill.yaml 2 3
      What may stand in place of the third panel of string 2, which broke?
  sungraft match --sites customers/ --stock stock.csv --journal run.journal
      The same as the first, but it may be interrupted: go on with `--resume run.journal`.
  sungraft match --sites customers/ --stock stock.csv --reports offers/
      Also write each site's own report, and an index of them.

Exit codes:
  0 answered   1 no panel finds a place   4 answered, but some site files could not be read
  2 arguments, stock, or all site files cannot be used   3 stopped before anything was found";

#[derive(Debug, Args)]
pub(super) struct MatchArgs {
    /// The customers' site files: a folder, or one file with many sites parted by `---`
    #[arg(long, value_name = "FOLDER|FILE.yaml")]
    pub(super) sites: PathBuf,
    /// The stock: a table with one row for each kind of panel; `-` reads standard input
    #[arg(long, value_name = "FILE.csv")]
    pub(super) stock: PathBuf,
    /// Leave out rows of the stock that cannot be used, instead of stopping
    #[arg(long)]
    pub(super) skip_bad: bool,
    /// Ask instead who can use this one panel of the stock
    #[arg(long, value_name = "ID", help_heading = "Other questions")]
    pub(super) panel: Option<String>,
    /// Ask instead what may stand in place of a broken panel: its site file or site, its string (as
    /// `2`, or `B2` on the second input), and its place from the plus end (as `3`, or `3b` in a block)
    #[arg(
        long,
        num_args = 3,
        value_names = ["SITE", "STRING", "POSITION"],
        conflicts_with = "panel",
        help_heading = "Other questions"
    )]
    pub(super) replace: Option<Vec<String>>,
    /// What is to be the most
    #[arg(long = "for", value_enum, value_name = "AIM", default_value_t = AimArg::Watts)]
    pub(super) aim: AimArg,
    /// How much of a site's wiring may be disturbed, where its file does not say
    #[arg(long, value_enum, value_name = "LEVEL", default_value_t = TouchArg::Free)]
    pub(super) touch: TouchArg,
    /// What one more watt is worth to a customer, where the site file does not say
    #[arg(long, value_name = "SUM", value_parser = not_negative)]
    pub(super) worth_per_watt: Option<f64>,
    /// What one more kWh a year is worth to a customer, once, where no worth of a watt is known
    #[arg(long, value_name = "SUM", value_parser = not_negative)]
    pub(super) worth_per_kwh: Option<f64>,
    /// What a visit to a site costs; counts with `--for margin`
    #[arg(long, value_name = "SUM", default_value = "0", value_parser = not_negative)]
    pub(super) cost_per_visit: f64,
    /// What each joint opened or made costs; counts with `--for margin`
    #[arg(long, value_name = "SUM", default_value = "0", value_parser = not_negative)]
    pub(super) cost_per_joint: f64,
    #[command(flatten)]
    pub(super) threshold: Threshold,
    /// In which form to answer
    #[arg(long, value_enum, default_value_t = FormatArg::Table)]
    pub(super) format: FormatArg,
    /// How much of each list the table shows; JSON and CSV hold all
    #[arg(long, value_name = "N", default_value_t = 20)]
    pub(super) top: usize,
    /// Also write each site's own report into this folder, and an index of them
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["panel", "replace"])]
    pub(super) reports: Option<PathBuf>,
    /// Stop after so many seconds with the best that is found by then
    #[arg(long, value_name = "S", value_parser = seconds)]
    pub(super) seconds: Option<f64>,
    /// Keep what is known of each site in this file, so that the work may be interrupted
    #[arg(long, value_name = "FILE", conflicts_with_all = ["panel", "replace", "resume"])]
    pub(super) journal: Option<PathBuf>,
    /// Go on from such a file; sites that were changed since are asked again
    #[arg(long, value_name = "FILE", conflicts_with_all = ["panel", "replace"])]
    pub(super) resume: Option<PathBuf>,
    #[command(flatten)]
    pub(super) overwrite: Overwrite,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum AimArg {
    /// Watts added over all sites
    Watts,
    /// What the watts are worth to the customers, less asking prices, visits and joints
    Margin,
}

impl From<AimArg> for FleetAim {
    fn from(arg: AimArg) -> Self {
        match arg {
            AimArg::Watts => Self::Watts,
            AimArg::Margin => Self::Margin,
        }
    }
}
