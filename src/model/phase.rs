//! An upgrade in steps: what can be had when, and what it may cost.

use super::{Controller, KindIdx};

/// How long the last phase counts where the file does not say. \[months\]
///
/// Five years: a usual warranty of a controller (common practice, no source).
pub const LAST_PHASE_MONTHS: f64 = 60.0;

/// A day of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    /// Calendar year.
    pub year: i32,
    /// From 1.
    pub month: u32,
    /// From 1; `None` where only a month is given, which then begins on its first.
    pub day: Option<u32>,
}

impl Date {
    /// Months from this day to a later one, parts of a month by its thirtieths.
    #[must_use]
    pub fn months_until(self, later: Self) -> f64 {
        let months = |d: Self| {
            f64::from(d.year) * 12.0
                + f64::from(d.month)
                + f64::from(d.day.unwrap_or(1).min(30)) / 30.0
        };
        months(later) - months(self)
    }

    /// `2027-04`, `2027-04-15`.
    #[must_use]
    pub fn name(self) -> String {
        let month = format!("{:04}-{:02}", self.year, self.month);
        self.day.map_or(month.clone(), |day| format!("{month}-{day:02}"))
    }
}

/// One step of an upgrade: the state that it reaches lasts until the next.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// The person's own name for it.
    pub name: String,
    /// When it is carried out, if that is known.
    pub date: Option<Date>,
    /// Months until the next; `None` only for the last, where the file does not say how long it counts.
    pub months: Option<f64>,
    /// Most money that may be spent in it; `None`: no limit.
    pub budget: Option<f64>,
    /// Is what is left of the budget added to that of the next phase?
    pub carry: bool,
    /// Panels that come on offer in it.
    pub spares: Vec<PhaseSpare>,
    /// Controllers that come on offer in it.
    pub controllers: Vec<PhaseController>,
    /// Most joints opened and made in it.
    pub joints: Option<usize>,
    /// Most hours of work on the wiring in it.
    pub hours: Option<f64>,
}

impl Phase {
    /// How long the state that it reaches counts. \[years\]
    #[must_use]
    pub fn years(&self) -> f64 {
        self.months.unwrap_or(LAST_PHASE_MONTHS) / 12.0
    }
}

/// Panels of one kind that come on offer. A kind stands in a phase at most once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhaseSpare {
    /// Which kind.
    pub kind: KindIdx,
    /// So many more than before.
    pub count: usize,
    /// What one costs from now on; `None`: nothing, or it is not counted.
    pub price: Option<f64>,
    /// Not to be had later.
    pub last_chance: bool,
}

/// A controller that comes on offer.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseController {
    /// What it is.
    pub controller: Controller,
    /// Whose place it takes, by index into `Installation::controllers`; `None`: it is added.
    pub replaces: Option<usize>,
    /// What it costs; `None`: nothing, or it is not counted.
    pub price: Option<f64>,
    /// Not to be had later.
    pub last_chance: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_year_is_six_months_across_new_year() {
        let from = Date { year: 2026, month: 10, day: None };
        assert!(
            (from.months_until(Date { year: 2027, month: 4, day: Some(1) }) - 6.0).abs() < 1e-12
        );
        assert!(
            (from.months_until(Date { year: 2026, month: 10, day: Some(16) }) - 0.5).abs() < 1e-12
        );
        assert_eq!(from.name(), "2026-10");
    }
}
