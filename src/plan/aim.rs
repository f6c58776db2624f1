//! What plans are chosen for, and how far a search for energy went.

use super::WorthPoint;
use crate::energy::Span;
use crate::units::KilowattHours;

/// What plans are chosen for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// Watts at full sun.
    Watts,
    /// Energy in a year.
    Year,
    /// Energy on a mean day of the month in which that is least.
    WorstMonth,
}

impl Aim {
    /// The aim's name on the command line and in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Watts => "watts",
            Self::Year => "year",
            Self::WorstMonth => "worst_month",
        }
    }
}

/// Energy of the year, or of a mean day of a month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Yield {
    /// How much.
    pub energy: KilowattHours,
    /// In which part of the year.
    pub span: Span,
}

impl Yield {
    /// With its unit: `12 kWh a year`, `0.25 kWh a day in the worst month`.
    #[must_use]
    pub fn in_words(self) -> String {
        let kwh = self.energy.kilowatt_hours();
        match self.span {
            Span::Year => {
                let digits = usize::from(kwh.abs() < 99.95);
                format!("{kwh:.digits$} kWh a year")
            }
            Span::DayOf(_) => {
                let digits = if kwh.abs() < 0.0995 { 3 } else { 2 };
                format!("{kwh:.digits$} kWh a day in the worst month")
            }
        }
    }
}

/// How far the search for energy went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyProof {
    /// What the plan brings of what was sought.
    pub brings: Yield,
    /// No wiring of this touch level can bring more.
    pub bound: KilowattHours,
    /// The gap to this plan as a fraction of its energy less the charges on its panels.
    pub gap: f64,
    /// Is the gap at most 0.1 %?
    pub proven: bool,
    /// Wirings of which the year was reckoned hour by hour; this plan is the best of them.
    pub evaluated: usize,
}

/// Energy of a plan with so many panels of a kind on offer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyPoint {
    /// Of the best plan then, the whole site.
    pub brings: Yield,
    /// More than with one panel fewer; `None` for the first point.
    pub step: Option<Yield>,
}

impl EnergyPoint {
    /// A point that follows another one, if there is one.
    #[must_use]
    pub fn after(before: Option<&WorthPoint>, brings: Yield) -> Self {
        let step = before
            .and_then(|point| point.energy)
            .map(|before| Yield { energy: brings.energy - before.brings.energy, ..brings });
        Self { brings, step }
    }
}
