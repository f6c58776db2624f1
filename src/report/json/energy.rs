//! A year of sun.

use serde::Serialize;

use crate::energy::{EnergyAnswer, LightSource, YearEnergy, light_of, losses_of};
use crate::report::figures::{Figure, figure};
use crate::report::names::Names;
use crate::sun::CALENDAR_DAYS;

#[derive(Serialize)]
pub(super) struct EnergyJson<'a> {
    source: &'static str,
    place: Option<&'a str>,
    latitude_deg: Figure,
    tilt_deg: Figure,
    azimuth_deg: Figure,
    losses: Vec<LossJson>,
    today: YearJson,
    plans: Vec<YearJson>,
}

impl<'a> EnergyJson<'a> {
    /// `None` if the installation has no year of sun.
    pub(super) fn new(names: Names<'a>, energy: &EnergyAnswer) -> Option<Self> {
        let sun = &names.0.site.sun;
        let (source, planes) = light_of(sun)?;
        // Planes of their own stand among the planes of the answer.
        let plane = sun.planes.is_empty().then(|| planes[0]);
        let (source, place, latitude_deg) = match source {
            LightSource::Months(means) => ("months", None, means.latitude_deg),
            LightSource::Weather(year) => ("weather", Some(year.place.as_str()), year.latitude_deg),
        };
        let losses = losses_of(sun)
            .into_iter()
            .map(|loss| LossJson { id: loss.id, percent: figure(100.0 * loss.share, 2) });
        Some(Self {
            source,
            place,
            latitude_deg: figure(latitude_deg, 3),
            tilt_deg: plane.and_then(|p| figure(p.tilt_deg, 2)),
            azimuth_deg: plane.and_then(|p| figure(p.azimuth_deg, 2)),
            losses: losses.collect(),
            today: YearJson::new(&energy.today, None),
            plans: energy.plans.iter().map(|y| YearJson::new(y, Some(&energy.today))).collect(),
        })
    }
}

#[derive(Serialize)]
struct LossJson {
    id: String,
    percent: Figure,
}

#[derive(Serialize)]
struct YearJson {
    kwh: Figure,
    added_kwh: Figure,
    clipped_kwh: Figure,
    clipped_hours: Figure,
    /// From 1.
    worst_month: usize,
    worst_month_kwh_day: Figure,
    months: Vec<MonthJson>,
}

impl YearJson {
    fn new(year: &YearEnergy, today: Option<&YearEnergy>) -> Self {
        let out = year.out().kilowatt_hours();
        let worst = year.worst_month();
        Self {
            kwh: figure(out, 2),
            added_kwh: today.and_then(|t| figure(out - t.out().kilowatt_hours(), 2)),
            clipped_kwh: figure(year.clipped().kilowatt_hours(), 2),
            clipped_hours: figure(year.clipped_hours(), 1),
            worst_month: worst + 1,
            worst_month_kwh_day: figure(year.per_day(worst).kilowatt_hours(), 3),
            months: (0..CALENDAR_DAYS.len()).map(|m| MonthJson::new(year, m)).collect(),
        }
    }
}

#[derive(Serialize)]
struct MonthJson {
    month: usize,
    kwh: Figure,
    kwh_day: Figure,
    clipped_kwh: Figure,
    clipped_hours: Figure,
}

impl MonthJson {
    fn new(year: &YearEnergy, month: usize) -> Self {
        let energy = &year.months[month];
        Self {
            month: month + 1,
            kwh: figure(energy.out.kilowatt_hours(), 3),
            kwh_day: figure(year.per_day(month).kilowatt_hours(), 3),
            clipped_kwh: figure(energy.clipped.kilowatt_hours(), 3),
            clipped_hours: figure(energy.clipped_hours, 1),
        }
    }
}
