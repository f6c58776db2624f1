//! Energy of a year, month by month.

use crate::sun::CALENDAR_DAYS;
use crate::units::KilowattHours;

/// One month.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MonthEnergy {
    /// What comes out of the controllers.
    pub out: KilowattHours,
    /// What would come out besides if their outputs had no limit.
    pub clipped: KilowattHours,
    /// Hours in which some output is at its limit. \[h\]
    pub clipped_hours: f64,
}

/// A common year.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct YearEnergy {
    /// January to December.
    pub months: [MonthEnergy; 12],
}

impl YearEnergy {
    /// What comes out in the year.
    #[must_use]
    pub fn out(&self) -> KilowattHours {
        self.months.iter().map(|m| m.out).sum()
    }

    /// What outputs at their limit hold back in the year.
    #[must_use]
    pub fn clipped(&self) -> KilowattHours {
        self.months.iter().map(|m| m.clipped).sum()
    }

    /// Hours of the year in which some output is at its limit. \[h\]
    #[must_use]
    pub fn clipped_hours(&self) -> f64 {
        self.months.iter().map(|m| m.clipped_hours).sum()
    }

    /// What comes out on a mean day of a month (0 for January).
    #[must_use]
    pub fn per_day(&self, month: usize) -> KilowattHours {
        self.months[month].out * (1.0 / CALENDAR_DAYS[month])
    }

    /// The month with the least energy a day, 0 for January; of equals the first.
    #[must_use]
    pub fn worst_month(&self) -> usize {
        (1..12).fold(0, |worst, m| if self.per_day(m) < self.per_day(worst) { m } else { worst })
    }
}

/// The year of today's wiring and of the plans.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyAnswer {
    /// As it stands.
    pub today: YearEnergy,
    /// One for each plan, in their order.
    pub plans: Vec<YearEnergy>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_month_is_by_the_day_and_not_by_the_month() {
        let mut year = YearEnergy::default();
        for (month, days) in year.months.iter_mut().zip(CALENDAR_DAYS) {
            month.out = KilowattHours(days);
        }
        year.months[11].out = KilowattHours(28.5);
        assert_eq!(year.worst_month(), 11);
        assert!(year.months[1].out < year.months[11].out);
        assert!((year.out().kilowatt_hours() - (365.0 - 31.0 + 28.5)).abs() < 1e-9);
    }
}
