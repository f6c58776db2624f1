//! Lines cut at commas, and the figures in them.

use crate::diagnostic::Place;
use crate::input::codes::WEATHER_VALUE;
use crate::input::findings::{Findings, quoted, rounded};

/// A weather file as typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rows {
    pub(super) station: Station,
    pub(super) rows: Vec<Row>,
}

/// Where the weather was.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Station {
    pub(super) place: String,
    pub(super) latitude_deg: f64,
    pub(super) longitude_deg: f64,
    pub(super) utc_offset_h: f64,
}

/// One line; `None` for a figure that the file marks as missing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Row {
    pub(super) line: usize,
    pub(super) year: i32,
    pub(super) month: u32,
    pub(super) day: u32,
    pub(super) end_hour: u32,
    /// Global, direct and diffuse. \[W/m²\]
    pub(super) sun: Option<[f64; 3]>,
    /// \[°C\]
    pub(super) air: Option<f64>,
}

/// What one sort of figure may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sort {
    pub(super) name: &'static str,
    pub(super) unit: &'static str,
    pub(super) lo: f64,
    pub(super) hi: f64,
}

/// More than any hour's mean: the sun outside the air gives 1414 at most.
pub(super) const GLOBAL: Sort =
    Sort { name: "global irradiance", unit: "W/m²", lo: 0.0, hi: 1600.0 };
pub(super) const DIRECT: Sort = Sort { name: "direct irradiance", ..GLOBAL };
pub(super) const DIFFUSE: Sort = Sort { name: "diffuse irradiance", ..GLOBAL };
pub(super) const AIR: Sort = Sort { name: "air temperature", unit: "°C", lo: -90.0, hi: 70.0 };
pub(super) const LATITUDE: Sort = Sort { name: "latitude", unit: "°", lo: -90.0, hi: 90.0 };
pub(super) const LONGITUDE: Sort = Sort { name: "longitude", unit: "°", lo: -180.0, hi: 180.0 };
pub(super) const ZONE: Sort = Sort { name: "time zone", unit: "h", lo: -12.0, hi: 14.0 };

/// One line, cut at commas.
pub(super) struct Cells<'t> {
    line: usize,
    cells: Vec<&'t str>,
}

impl<'t> Cells<'t> {
    pub(super) fn of(line: usize, text: &'t str) -> Self {
        Self { line, cells: text.split(',').collect() }
    }

    pub(super) fn n(&self) -> usize {
        self.cells.len()
    }

    /// A cell without blanks and quotes; empty if there is none.
    pub(super) fn text(&self, idx: usize) -> &'t str {
        self.cells.get(idx).map_or("", |c| c.trim().trim_matches('"').trim())
    }

    /// Where a cell begins; the end of the line if there is none.
    pub(super) fn place(&self, idx: usize) -> Place {
        let before = self.cells.iter().take(idx);
        let column = before.map(|c| c.chars().count() + 1).sum::<usize>() + 1;
        Place { line: self.line, column }
    }

    /// A figure within its range; reports it if it is none.
    pub(super) fn figure(&self, idx: usize, sort: Sort, findings: &mut Findings) -> Option<f64> {
        let text = self.text(idx);
        let Sort { name, unit, lo, hi } = sort;
        match text.parse::<f64>() {
            Ok(x) if (lo..=hi).contains(&x) => return Some(x),
            Ok(x) if x.is_finite() => {
                let message = format!("the {name} of {} {unit} cannot be", rounded(x, 2));
                let help = format!("it lies from {lo} to {hi} {unit}");
                findings.error(WEATHER_VALUE, self.place(idx), message, help);
            }
            _ => {
                let message = format!("the {name} is no number ({})", quoted(text));
                let help = "mend the line, or get the file again from where it comes from";
                findings.error(WEATHER_VALUE, self.place(idx), message, help);
            }
        }
        None
    }

    /// A figure that may be marked as missing: `Some(None)` if it is, `None` if it is reported.
    pub(super) fn measured(
        &self,
        idx: usize,
        sort: Sort,
        missing: impl Fn(f64) -> bool,
        findings: &mut Findings,
    ) -> Option<Option<f64>> {
        let text = self.text(idx);
        if text.is_empty() || text.parse::<f64>().is_ok_and(missing) {
            return Some(None);
        }
        self.figure(idx, sort, findings).map(Some)
    }

    /// Global, direct and diffuse irradiance; missing if one of them is.
    pub(super) fn sun(
        &self,
        columns: [usize; 3],
        missing: impl Fn(f64) -> bool,
        findings: &mut Findings,
    ) -> Option<Option<[f64; 3]>> {
        let mut read = |i: usize, sort| self.measured(columns[i], sort, &missing, findings);
        let (global, direct, diffuse) = (read(0, GLOBAL), read(1, DIRECT), read(2, DIFFUSE));
        let all = |g, b, d| Some([g?, b?, d?]);
        Some(all(global?, direct?, diffuse?))
    }
}

/// A whole number in a range.
pub(super) fn whole(text: &str, lo: u32, hi: u32) -> Option<u32> {
    // Some writers put 1.0 for 1.
    let x = text.trim().parse::<f64>().ok().filter(|x| x.fract() == 0.0)?;
    (f64::from(lo)..=f64::from(hi)).contains(&x).then_some(x as u32)
}
