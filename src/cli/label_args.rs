//! What may stand behind `label`.

use std::path::PathBuf;

use clap::Args;

use super::args::FormatArg;

pub(super) const LABEL_EXAMPLES: &str = "\
Examples:
  sungraft label --how
      How to measure, what to take care of, and a file of readings to begin from.
  sungraft label --voc 20.6 --isc 4.37 --irradiance 870 --back-temp 44 --cells 36
      One reading, the light by an irradiance meter.
  sungraft label --voc 20.6 --isc 4.37 --twin-isc 4.55 --twin-label-isc 5.3 --back-temp 44
      The light by a panel of known label lying beside it.
  sungraft label --readings porch.csv --cells 36
      Several readings together; the odd one out is named.
  sungraft label --aged --site shed.yaml --kind shed-160 --age 12 --readings porch.csv
      How far a panel whose label is known has faded.

A short-circuit test sends the panel's full current through the meter: many meters end at 10 A.";

#[derive(Debug, Args)]
pub(super) struct LabelArgs {
    /// Open-circuit voltage as read [V]
    #[arg(long, value_name = "V", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) voc: Option<String>,
    /// Short-circuit current as read [A]
    #[arg(long, value_name = "A", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) isc: Option<String>,
    /// Irradiance in the panel's plane [W/m²]
    #[arg(long, value_name = "W/m2", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) irradiance: Option<String>,
    /// Short-circuit current of a twin of known label beside it, at the same time [A]
    #[arg(long, value_name = "A", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) twin_isc: Option<String>,
    /// Temperature of the panel's back [°C]
    #[arg(long, value_name = "C", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) back_temp: Option<String>,
    /// Voltage into a load [V]; with --load-a
    #[arg(long, value_name = "V", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) load_v: Option<String>,
    /// Current into the load at the same moment [A]
    #[arg(long, value_name = "A", allow_hyphen_values = true, help_heading = "One reading")]
    pub(super) load_a: Option<String>,
    /// A file of readings (CSV) instead; `-` reads standard input
    #[arg(long, value_name = "FILE.csv", conflicts_with_all = ["voc", "isc", "irradiance", "twin_isc", "back_temp", "load_v", "load_a"])]
    pub(super) readings: Option<PathBuf>,
    /// Cells in series, counted on the front; of half-cut cells one half
    #[arg(long, value_name = "N", value_parser = cells)]
    pub(super) cells: Option<usize>,
    /// Short-circuit current on the twin's label [A]
    #[arg(long, value_name = "A", value_parser = amps)]
    pub(super) twin_label_isc: Option<f64>,
    /// Where the meter's current range ends [A]
    #[arg(long, value_name = "A", default_value = "10", value_parser = amps)]
    pub(super) meter_range: f64,
    /// How to measure, and a file of readings to begin from
    #[arg(long)]
    pub(super) how: bool,

    /// The meter on volts, one standard deviation [%]
    #[arg(long, value_name = "P", default_value = "1", value_parser = accuracy, help_heading = "Accuracy")]
    pub(super) volt_percent: f64,
    /// The meter on amperes [%]
    #[arg(long, value_name = "P", default_value = "1", value_parser = accuracy, help_heading = "Accuracy")]
    pub(super) amp_percent: f64,
    /// The irradiance meter [%]
    #[arg(long, value_name = "P", default_value = "5", value_parser = accuracy, help_heading = "Accuracy")]
    pub(super) light_percent: f64,
    /// The cells' temperature by that of the back [°C]
    #[arg(long, value_name = "C", default_value = "2", value_parser = accuracy, help_heading = "Accuracy")]
    pub(super) temp_off: f64,
    /// The twin against its label [%]
    #[arg(long, value_name = "P", default_value = "3", value_parser = accuracy, help_heading = "Accuracy")]
    pub(super) twin_percent: f64,

    /// The label is known: how far has the panel faded?
    #[arg(long, help_heading = "Fading")]
    pub(super) aged: bool,
    /// A site file that has the label; with --kind
    #[arg(long, value_name = "SITE.yaml", requires = "aged", help_heading = "Fading")]
    pub(super) site: Option<PathBuf>,
    /// Which of its kinds [default: the only one]
    #[arg(long, value_name = "ID", requires = "site", help_heading = "Fading")]
    pub(super) kind: Option<String>,
    /// Years in the sun
    #[arg(long, value_name = "YEARS", requires = "aged", value_parser = years, help_heading = "Fading")]
    pub(super) age: Option<f64>,
    /// Pmax on the label, instead of --site [W]
    #[arg(
        long,
        value_name = "W",
        requires = "aged",
        conflicts_with = "site",
        help_heading = "Fading"
    )]
    pub(super) label_pmax: Option<String>,
    /// Vmp on the label [V]
    #[arg(
        long,
        value_name = "V",
        requires = "aged",
        conflicts_with = "site",
        help_heading = "Fading"
    )]
    pub(super) label_vmp: Option<String>,
    /// Imp on the label [A]
    #[arg(
        long,
        value_name = "A",
        requires = "aged",
        conflicts_with = "site",
        help_heading = "Fading"
    )]
    pub(super) label_imp: Option<String>,
    /// Voc on the label [V]
    #[arg(
        long,
        value_name = "V",
        requires = "aged",
        conflicts_with = "site",
        help_heading = "Fading"
    )]
    pub(super) label_voc: Option<String>,
    /// Isc on the label [A]
    #[arg(
        long,
        value_name = "A",
        requires = "aged",
        conflicts_with = "site",
        help_heading = "Fading"
    )]
    pub(super) label_isc: Option<String>,

    /// A name of your own for the entry that is printed
    #[arg(long, value_name = "ID", value_parser = name)]
    pub(super) id: Option<String>,
    /// In which form to answer
    #[arg(long, value_enum, default_value_t = FormatArg::Table)]
    pub(super) format: FormatArg,
}

impl LabelArgs {
    /// The options of one reading, as typed.
    pub(super) fn reading(&self) -> Vec<(&'static str, &str)> {
        typed([
            ("--voc", &self.voc),
            ("--isc", &self.isc),
            ("--irradiance", &self.irradiance),
            ("--twin-isc", &self.twin_isc),
            ("--back-temp", &self.back_temp),
            ("--load-v", &self.load_v),
            ("--load-a", &self.load_a),
        ])
    }

    /// The options of a label, as typed.
    pub(super) fn label(&self) -> Vec<(&'static str, &str)> {
        typed([
            ("--label-pmax", &self.label_pmax),
            ("--label-vmp", &self.label_vmp),
            ("--label-imp", &self.label_imp),
            ("--label-voc", &self.label_voc),
            ("--label-isc", &self.label_isc),
        ])
    }
}

fn typed<'a, const N: usize>(
    options: [(&'static str, &'a Option<String>); N],
) -> Vec<(&'static str, &'a str)> {
    options.into_iter().filter_map(|(name, value)| Some((name, value.as_deref()?))).collect()
}

fn number(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(x) if x.is_finite() => Ok(x),
        _ if text.contains(',') => Err("write a decimal point, not a comma".into()),
        _ => Err("is not a number (write it without a unit)".into()),
    }
}

fn within(text: &str, lo: f64, hi: f64, what: &str) -> Result<f64, String> {
    let x = number(text)?;
    if lo <= x && x <= hi { Ok(x) } else { Err(format!("must be {what} from {lo} to {hi}")) }
}

fn cells(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(n) if (1..=400).contains(&n) => Ok(n),
        _ => Err("must be a whole number from 1 to 400: count the cells on the front".into()),
    }
}

fn amps(text: &str) -> Result<f64, String> {
    within(text, 0.1, 100.0, "amperes")
}

fn accuracy(text: &str) -> Result<f64, String> {
    within(text, 0.05, 20.0, "an accuracy")
}

fn years(text: &str) -> Result<f64, String> {
    within(text, 0.0, 50.0, "years")
}

fn name(text: &str) -> Result<String, String> {
    let text = text.trim();
    let fits = !text.is_empty() && text.chars().count() <= 100 && !text.contains(char::is_control);
    if fits { Ok(text.to_owned()) } else { Err("must be a short name on one line".into()) }
}
