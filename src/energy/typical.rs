//! A few hours that stand for many, so that a great many wirings can be compared.
//!
//! What a controller's output limit holds back bends the year: an array twice as large brings less than
//! twice as much. `min(z, L) ≤ s·z + (1 − s)·L` holds for every slope s from 0 to 1, so a slope for each
//! hour makes a straight line of it that no wiring passes.

use super::EnergyModel;
use super::losses::efficiency;
use crate::model::InputWiring;
use crate::sun::CALENDAR_DAYS;
use crate::units::{Celsius, Irradiance, KilowattHours};

/// Classes of sun, each with as much energy as the others.
const SUN_CLASSES: usize = 8;
/// Classes of air within each class of sun, where a window's end matters by the degree.
const AIR_CLASSES: usize = 4;

/// How many hours stand for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// One for each class of sun: near enough to find what is good.
    Coarse,
    /// Several for each, from cold air to hot: to bound what there can be.
    Fine,
}

/// Which part of a year is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Span {
    /// All of it.
    Year,
    /// A mean day of a month, 0 for January.
    DayOf(usize),
}

/// Weather that stands for many hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypicalHour {
    /// On the panels.
    pub irradiance: Irradiance,
    /// Air temperature.
    pub air: Celsius,
    /// What each watt of an array's power comes to over all hours that it stands for. \[kWh/W\]
    pub worth: f64,
}

/// For each controller and hour the share of its array's power that counts, from 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Slopes(Vec<Vec<f64>>);

impl Span {
    /// Times that an hour of a month counts.
    fn counts(self, month: usize) -> f64 {
        match self {
            Self::Year => 1.0,
            Self::DayOf(m) if m == month => 1.0 / CALENDAR_DAYS[m],
            Self::DayOf(_) => 0.0,
        }
    }
}

impl EnergyModel<'_> {
    /// What comes out of the controllers over a span.
    #[must_use]
    pub fn out(&self, wiring: &[InputWiring], span: Span) -> KilowattHours {
        let year = self.year(wiring);
        match span {
            Span::Year => year.out(),
            Span::DayOf(month) => year.per_day(month),
        }
    }

    /// Slopes that are 1 everywhere: nothing is held back.
    #[must_use]
    pub fn without_limits(&self) -> Slopes {
        Slopes(vec![vec![1.0; self.hours().len()]; self.installation().controllers.len()])
    }

    /// Slopes of the outputs from one wiring to another: each hour's line goes through both.
    ///
    /// Where both give the same the line is the one that touches there.
    #[must_use]
    pub fn slopes(&self, from: &[InputWiring], to: &[InputWiring]) -> Slopes {
        let (from, to) = (self.unlimited(from), self.unlimited(to));
        let controllers = self.installation().controllers.iter().zip(from.iter().zip(&to));
        let slopes = |(controller, (from, to)): (&crate::model::Controller, _)| {
            let (from, to): (&Vec<f64>, &Vec<f64>) = (from, to);
            let Some(limit) = controller.clip_limit().map(|w| w.watts()) else {
                return vec![1.0; from.len()];
            };
            let slope = |(a, b): (&f64, &f64)| {
                let change = b - a;
                if change.abs() > 1e-6 * limit {
                    (b.min(limit) - a.min(limit)) / change
                } else {
                    f64::from(u8::from(*b < limit))
                }
            };
            from.iter().zip(to).map(slope).collect()
        };
        Slopes(controllers.map(slopes).collect())
    }

    /// Hours that stand for a span at a controller, each with its slope; none where nothing counts.
    #[must_use]
    pub fn typical(
        &self,
        (span, grain): (Span, Grain),
        slopes: &Slopes,
        controller: usize,
    ) -> Vec<TypicalHour> {
        let share = self.kept() * efficiency(&self.installation().controllers[controller]);
        let mut hours: Vec<Weighed> = self
            .hours()
            .iter()
            .zip(&slopes.0[controller])
            .map(|(hour, slope)| {
                let sun = hour.irradiance.watts_per_m2();
                let counts = span.counts(hour.month) * slope * hour.hours;
                (sun, hour.air.celsius(), sun * counts * share / 1000.0)
            })
            .filter(|(_, _, weight)| *weight > 0.0)
            .collect();
        hours.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut classes = in_classes(hours, SUN_CLASSES);
        if grain == Grain::Fine {
            let by_air = |mut class: Vec<Weighed>| {
                class.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.total_cmp(&b.0)));
                in_classes(class, AIR_CLASSES)
            };
            classes = classes.into_iter().flat_map(by_air).collect();
        }
        classes.iter().filter_map(|class| mean_of(class)).collect()
    }

    /// The straight line of a span: what a wiring comes to, every hour at its slope.
    #[must_use]
    pub fn along(&self, wiring: &[InputWiring], span: Span, slopes: &Slopes) -> KilowattHours {
        self.add_up(span, slopes, &self.unlimited(wiring), |_, slope, free| slope * free)
    }

    /// What the line of a span has besides its slopes: what comes out at the limits.
    #[must_use]
    pub fn at_limits(&self, span: Span, slopes: &Slopes) -> KilowattHours {
        let nothing = self.unlimited(&[]);
        self.add_up(span, slopes, &nothing, |limit, slope, _| (1.0 - slope) * limit)
    }

    fn add_up(
        &self,
        span: Span,
        slopes: &Slopes,
        unlimited: &[Vec<f64>],
        watts: impl Fn(f64, f64, f64) -> f64,
    ) -> KilowattHours {
        let controllers = self.installation().controllers.iter().zip(&slopes.0).zip(unlimited);
        let of_one = |((controller, slopes), unlimited): ((&crate::model::Controller, _), _)| {
            let (slopes, unlimited): (&Vec<f64>, &Vec<f64>) = (slopes, unlimited);
            let limit = controller.clip_limit().map_or(0.0, |w| w.watts());
            let hours = self.hours().iter().zip(slopes).zip(unlimited);
            hours
                .map(|((hour, slope), free)| {
                    let counts = span.counts(hour.month) * hour.hours / 1000.0;
                    watts(limit, *slope, *free) * counts
                })
                .sum::<f64>()
        };
        KilowattHours(controllers.map(of_one).sum())
    }
}

/// Sun, air, and what a sun's worth of power over it comes to: what the hour weighs.
type Weighed = (f64, f64, f64);

/// Hours in their order, in so many classes of equal weight; some may be empty.
fn in_classes(hours: Vec<Weighed>, n_classes: usize) -> Vec<Vec<Weighed>> {
    let total: f64 = hours.iter().map(|h| h.2).sum();
    let mut classes = vec![Vec::new(); n_classes];
    let mut before = 0.0;
    for hour in hours {
        let middle = (before + 0.5 * hour.2) / total;
        classes[((middle * n_classes as f64) as usize).min(n_classes - 1)].push(hour);
        before += hour.2;
    }
    classes
}

/// The hour that stands for a class; `None` for an empty one.
fn mean_of(class: &[Weighed]) -> Option<TypicalHour> {
    let weight: f64 = class.iter().map(|h| h.2).sum();
    let mean =
        |figure: fn(&Weighed) -> f64| class.iter().map(|h| h.2 * figure(h)).sum::<f64>() / weight;
    let sun = mean(|h| h.0);
    (weight > 0.0).then(|| TypicalHour {
        irradiance: Irradiance(sun),
        air: Celsius(mean(|h| h.1)),
        worth: weight / sun,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typical_hours_weigh_as_much_as_those_they_stand_for() {
        let hours: Vec<Weighed> = (1..=100)
            .map(|k| (10.0 * f64::from(k), f64::from(k % 7), 0.01 * f64::from(k)))
            .collect();
        let all: f64 = hours.iter().map(|h| h.2).sum();
        let means: Vec<TypicalHour> =
            in_classes(hours, 8).iter().filter_map(|class| mean_of(class)).collect();
        assert_eq!(means.len(), 8);
        let weight: f64 = means.iter().map(|m| m.worth * m.irradiance.watts_per_m2()).sum();
        assert!((weight - all).abs() < 1e-9);
        let rising = |pair: &[TypicalHour]| pair[0].irradiance < pair[1].irradiance;
        assert!(means.windows(2).all(rising));
    }
}
