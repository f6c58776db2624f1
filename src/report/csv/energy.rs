//! A year of sun, and its months, today and for each plan.

use super::Rows;
use super::row::Row;
use crate::energy::{EnergyAnswer, YearEnergy};
use crate::plan::Plan;
use crate::report::figures::figure;

impl Rows<'_> {
    /// A row for each year and for each of its months.
    pub(super) fn energy(&mut self, energy: Option<&EnergyAnswer>, plans: &[Plan]) {
        let Some(energy) = energy else { return };
        self.year("today", &energy.today, None);
        for (plan, year) in plans.iter().zip(&energy.plans) {
            self.year(plan.touch.name(), year, Some(&energy.today));
        }
    }

    fn year(&mut self, wiring_of: &'static str, year: &YearEnergy, today: Option<&YearEnergy>) {
        let out = year.out().kilowatt_hours();
        let worst = year.worst_month();
        let whole = Row {
            wiring_of,
            month: Some(worst + 1),
            kwh: figure(out, 2),
            added_kwh: today.and_then(|t| figure(out - t.out().kilowatt_hours(), 2)),
            kwh_per_day: figure(year.per_day(worst).kilowatt_hours(), 3),
            clipped_kwh: figure(year.clipped().kilowatt_hours(), 2),
            clipped_hours: figure(year.clipped_hours(), 1),
            ..self.row("year")
        };
        self.rows.push(whole);
        for (month, energy) in year.months.iter().enumerate() {
            let added = today.map(|t| energy.out - t.months[month].out);
            let row = Row {
                wiring_of,
                month: Some(month + 1),
                kwh: figure(energy.out.kilowatt_hours(), 3),
                added_kwh: added.and_then(|e| figure(e.kilowatt_hours(), 3)),
                kwh_per_day: figure(year.per_day(month).kilowatt_hours(), 3),
                clipped_kwh: figure(energy.clipped.kilowatt_hours(), 3),
                clipped_hours: figure(energy.clipped_hours, 1),
                ..self.row("month")
            };
            self.rows.push(row);
        }
    }
}
