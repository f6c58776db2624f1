//! A few hours that stand for many, so that a great many wirings can be compared.
//!
//! What a controller's output limit holds back bends the year: an array twice as large brings less than
//! twice as much. `min(z, L) ≤ s·z + (1 − s)·L` holds for every slope s from 0 to 1, so a slope for each
//! hour makes a straight line of it that no wiring passes.

use super::EnergyModel;
use super::losses::efficiency;
use super::split::split_up;
use crate::model::InputWiring;
use crate::sun::CALENDAR_DAYS;
use crate::units::{Celsius, Irradiance, KilowattHours};

/// Classes of sun, each with as much energy as the others.
const SUN_CLASSES: usize = 8;
/// Classes of air within each class of sun, where a window's end matters by the degree.
const AIR_CLASSES: usize = 4;
/// Planes have as many times the classes as there are of them, up to this many.
const MOST_TIMES: usize = 3;
/// Sun that counts as one step. \[W/m²\]
const FULL_SUN: f64 = 1000.0;
/// Air that counts as much as a step of sun. \[K\]
const AIR_LIKE_FULL_SUN: f64 = 100.0;

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
#[derive(Debug, Clone, PartialEq)]
pub struct TypicalHour {
    /// On each plane.
    pub sun: Vec<Irradiance>,
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
        let hours: Vec<Weighed> = self
            .hours()
            .iter()
            .zip(&slopes.0[controller])
            .map(|(hour, slope)| {
                let counts = span.counts(hour.month) * slope * hour.hours;
                Weighed { sun: &hour.sun, air: hour.air, lasts: counts * share / 1000.0 }
            })
            .filter(|hour| hour.weight() > 0.0)
            .collect();
        let n_planes = hours.first().map_or(0, |hour| hour.sun.len());
        let classes = if n_planes > 1 {
            by_planes(hours, grain, n_planes)
        } else {
            by_sun_and_air(hours, grain)
        };
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

/// An hour, and how much it counts.
#[derive(Clone, Copy)]
struct Weighed<'h> {
    /// On each plane. \[W/m²\]
    sun: &'h [f64],
    /// \[°C\]
    air: f64,
    /// What a watt comes to. \[kWh/W\]
    lasts: f64,
}

impl Weighed<'_> {
    /// Mean of all planes. \[W/m²\]
    fn mean_sun(&self) -> f64 {
        self.sun.iter().sum::<f64>() / self.sun.len() as f64
    }

    /// What a sun's worth of power over it comes to.
    fn weight(&self) -> f64 {
        self.mean_sun() * self.lasts
    }
}

/// Classes of sun, and within them of air.
fn by_sun_and_air(mut hours: Vec<Weighed>, grain: Grain) -> Vec<Vec<Weighed>> {
    let sun = |a: &Weighed, b: &Weighed| a.mean_sun().total_cmp(&b.mean_sun());
    let air = |a: &Weighed, b: &Weighed| a.air.total_cmp(&b.air);
    hours.sort_by(|a, b| sun(a, b).then(air(a, b)));
    let classes = in_classes(hours, SUN_CLASSES);
    if grain == Grain::Coarse {
        return classes;
    }
    let mut finer = Vec::new();
    for mut class in classes {
        class.sort_by(|a, b| air(a, b).then(sun(a, b)));
        finer.extend(in_classes(class, AIR_CLASSES));
    }
    finer
}

/// Hours in their order, in so many classes of equal weight; some may be empty.
fn in_classes(hours: Vec<Weighed>, n_classes: usize) -> Vec<Vec<Weighed>> {
    let total: f64 = hours.iter().map(Weighed::weight).sum();
    let mut classes = vec![Vec::new(); n_classes];
    let mut before = 0.0;
    for hour in hours {
        let weight = hour.weight();
        let middle = (before + 0.5 * weight) / total;
        classes[((middle * n_classes as f64) as usize).min(n_classes - 1)].push(hour);
        before += weight;
    }
    classes
}

/// Classes of hours that are alike on all planes, where these have suns of their own.
fn by_planes(hours: Vec<Weighed>, grain: Grain, n_planes: usize) -> Vec<Vec<Weighed>> {
    let times = n_planes.min(MOST_TIMES);
    let n_classes = match grain {
        Grain::Coarse => SUN_CLASSES * times,
        Grain::Fine => SUN_CLASSES * times * AIR_CLASSES,
    };
    let figures = |hour: &Weighed| {
        let suns = hour.sun.iter().map(|sun| sun / FULL_SUN);
        suns.chain([hour.air / AIR_LIKE_FULL_SUN]).collect()
    };
    split_up(hours, n_classes, figures, |hour| hour.lasts)
}

/// The hour that stands for a class, with the energy of all of them on each plane; `None` for an empty
/// one.
fn mean_of(class: &[Weighed]) -> Option<TypicalHour> {
    let weight: f64 = class.iter().map(Weighed::weight).sum();
    let mean = |figure: &dyn Fn(&Weighed) -> f64| {
        class.iter().map(|h| h.weight() * figure(h)).sum::<f64>() / weight
    };
    let worth = weight / mean(&|h| h.mean_sun());
    let n_planes = class.first()?.sun.len();
    let on = |plane: usize| class.iter().map(|h| h.lasts * h.sun[plane]).sum::<f64>() / worth;
    (weight > 0.0).then(|| TypicalHour {
        sun: (0..n_planes).map(|plane| Irradiance(on(plane))).collect(),
        air: Celsius(mean(&|h| h.air)),
        worth,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weighed(suns: &[[f64; 2]], n_planes: usize) -> Vec<Weighed<'_>> {
        suns.iter()
            .enumerate()
            .map(|(k, sun)| Weighed { sun: &sun[..n_planes], air: (k % 7) as f64, lasts: 0.01 })
            .collect()
    }

    /// Sun that moves from one plane to the other.
    fn suns() -> Vec<[f64; 2]> {
        (1..=100).map(|k| [10.0 * f64::from(k), 8.0 * f64::from(101 - k)]).collect()
    }

    fn means(classes: &[Vec<Weighed>]) -> Vec<TypicalHour> {
        classes.iter().filter_map(|class| mean_of(class)).collect()
    }

    #[test]
    fn typical_hours_weigh_as_much_as_those_they_stand_for() {
        let suns = suns();
        let hours = weighed(&suns, 1);
        let all: f64 = hours.iter().map(Weighed::weight).sum();
        let means = means(&by_sun_and_air(hours, Grain::Coarse));
        assert_eq!(means.len(), 8);
        let weight: f64 = means.iter().map(|m| m.worth * m.sun[0].watts_per_m2()).sum();
        assert!((weight - all).abs() < 1e-9);
        let rising = |pair: &[TypicalHour]| pair[0].sun[0] < pair[1].sun[0];
        assert!(means.windows(2).all(rising));
    }

    #[test]
    fn typical_hours_of_several_planes_weigh_as_much_on_each() {
        let suns = suns();
        let hours = weighed(&suns, 2);
        let of_plane = |p: usize| -> f64 { hours.iter().map(|h| h.lasts * h.sun[p]).sum() };
        let all = [of_plane(0), of_plane(1)];
        for (grain, n) in [(Grain::Coarse, 16), (Grain::Fine, 64)] {
            let means = means(&by_planes(hours.clone(), grain, 2));
            assert_eq!(means.len(), n);
            for (p, all) in all.iter().enumerate() {
                let weight: f64 = means.iter().map(|m| m.worth * m.sun[p].watts_per_m2()).sum();
                assert!((weight - all).abs() < 1e-9, "{weight} on plane {p}, of {all}");
            }
        }
    }
}
