//! Holds worlds against what was read.

use super::built::{World, input_idx};
use super::curves::Curves;
use super::fit::{Fitted, Prediction, Spreads, apart, fit, predict};
use super::predict::{Question, SetSky, Shift};
use crate::model::{Accuracy, ArrayReading, ArrayReadings, Installation, Spot, Warmth};

/// How far panels are off their labels where the file does not say, one standard deviation of a string's
/// volts and amps. (common practice, no source)
pub(super) const LABEL_VOLTS: f64 = 0.007;
const LABEL_AMPS: f64 = 0.015;
/// A meter's error counts from this share of what is expected on: near zero its last digits remain.
const LEAST_SHARE: f64 = 0.15;
/// What a meter shows where nothing is. \[V\], \[A\]
const NOTHING_VOLTS: f64 = 0.05;
const NOTHING_AMPS: f64 = 0.02;
/// Cells by the temperature of the air alone: wind and mounting decide. \[K\] (common practice, no source)
const BY_AIR: f64 = 5.0;

/// One set of readings, ready to be held against.
struct Set<'a> {
    sky: SetSky,
    spreads: Spreads,
    readings: &'a [ArrayReading],
    inputs: Vec<usize>,
    read: Vec<f64>,
    sigmas: Vec<f64>,
    /// Number of its first reading among all.
    first: usize,
}

/// Everything that worlds are held against.
pub(super) struct Trial<'a> {
    pub(super) installation: &'a Installation,
    pub(super) curves: &'a Curves<'a>,
    sets: Vec<Set<'a>>,
}

/// A world, held against all readings.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    /// Squares that remain, in standard deviations.
    pub(super) squares: f64,
    /// What it costs to leave more room than the meters do, in the same measure.
    pub(super) width: f64,
    predictions: Vec<Prediction>,
    /// Set by set.
    pub(super) fitted: Vec<Fitted>,
}

impl<'a> Trial<'a> {
    pub(super) fn new(
        installation: &'a Installation,
        curves: &'a Curves<'a>,
        readings: &'a ArrayReadings,
        skies: &[SetSky],
    ) -> Self {
        let mut trial = Self { installation, curves, sets: Vec::new() };
        let mut first = 0;
        for (set, sky) in readings.sets.iter().zip(skies) {
            let by_air = matches!(set.warmth, Warmth::Air(_));
            let accuracy = &readings.accuracy;
            let inputs = set.readings.iter().map(|r| input_idx(installation, r.at)).collect();
            trial.sets.push(Set {
                sky: *sky,
                spreads: Spreads {
                    sun: accuracy.irradiance_percent / 100.0,
                    warmth: if by_air { BY_AIR.max(accuracy.temp_k) } else { accuracy.temp_k },
                },
                readings: &set.readings,
                inputs,
                read: set.readings.iter().map(|r| r.value).collect(),
                sigmas: Vec::new(),
                first,
            });
            first += set.readings.len();
        }
        let sound = World::sound(installation);
        for k in 0..trial.sets.len() {
            let expected = predict(&trial.question(k), &sound, trial.sets[k].spreads).values;
            let sigmas = trial.sets[k].readings.iter().zip(&expected);
            let sigmas =
                sigmas.map(|(r, e)| trial.sigma(r, *e, &readings.accuracy)).collect::<Vec<_>>();
            trial.sets[k].sigmas = sigmas;
        }
        trial
    }

    fn question(&self, set: usize) -> Question<'_> {
        let set = &self.sets[set];
        Question {
            installation: self.installation,
            curves: self.curves,
            sky: set.sky,
            readings: set.readings,
            inputs: &set.inputs,
        }
    }

    /// One standard deviation of a reading: meter, last digit, panels against labels. \[V or A\]
    fn sigma(&self, reading: &ArrayReading, expected: f64, accuracy: &Accuracy) -> f64 {
        let size = reading.value.abs().max(LEAST_SHARE * expected.abs());
        let (meter, label, nothing) = if reading.spot.is_volts() {
            // Panels scatter by what each of them gives, also where one takes off what another adds.
            let all = LABEL_VOLTS * size.max(expected.abs());
            (accuracy.volts_percent, all, NOTHING_VOLTS)
        } else {
            let known = self.tolerance(reading);
            (accuracy.amps_percent, LABEL_AMPS.max(known) * size, NOTHING_AMPS)
        };
        let parts = [size * meter / 100.0, label, 0.5 * reading.digit, nothing];
        parts.iter().map(|x| x * x).sum::<f64>().sqrt()
    }

    /// Half of what tolerance and age of the labels leave open, as a share of the current.
    fn tolerance(&self, reading: &ArrayReading) -> f64 {
        let array = &self.installation.installed[input_idx(self.installation, reading.at)].array;
        let strings = array.strings.iter().enumerate();
        let read = strings.filter(|(s, _)| reading.spot.string().is_none_or(|r| r == *s));
        read.flat_map(|(_, s)| s.panels())
            .filter_map(|k| self.installation.kind(k).power_band())
            .map(|(low, high)| 0.5 * (high - low))
            .fold(0.0, f64::max)
    }

    /// Holds a world against everything.
    pub(super) fn hold(&self, world: &World) -> Tried {
        let mut tried =
            Tried { squares: 0.0, width: 0.0, predictions: Vec::new(), fitted: Vec::new() };
        for (k, set) in self.sets.iter().enumerate() {
            let prediction = predict(&self.question(k), world, set.spreads);
            let used = |r: usize| !world.doubted.contains(&(set.first + r));
            let fitted = fit(&prediction, &set.read, &set.sigmas, used);
            // What is beyond all numbers explains nothing.
            tried.squares +=
                if fitted.squares.is_finite() { fitted.squares } else { f64::INFINITY };
            tried.width += fitted.width;
            tried.predictions.push(prediction);
            tried.fitted.push(fitted);
        }
        tried
    }

    /// Squares by which the readings of one world would differ from those of another.
    pub(super) fn apart(&self, a: (&World, &Tried), b: (&World, &Tried)) -> f64 {
        let sets = self.sets.iter().enumerate();
        sets.map(|(k, set)| {
            let used = |r: usize| {
                let n = set.first + r;
                !a.0.doubted.contains(&n) && !b.0.doubted.contains(&n)
            };
            apart(&a.1.predictions[k], &b.1.predictions[k], &set.sigmas, used)
        })
        .sum()
    }

    pub(super) fn n_readings(&self) -> usize {
        self.sets.iter().map(|s| s.read.len()).sum()
    }

    /// Has this spot been read in the first set?
    pub(super) fn is_read(&self, input: usize, spot: Spot) -> bool {
        let set = &self.sets[0];
        set.readings.iter().zip(&set.inputs).any(|(r, i)| *i == input && r.spot == spot)
    }

    /// What the meter would show in a world under the first set's sky.
    pub(super) fn would_read(&self, world: &World, input: usize, spot: Spot) -> f64 {
        let question = self.question(0);
        let sky = question.sky(world, Shift::NONE);
        let volts = |i: usize| question.work_volts(world, i, sky, None);
        question.value(world, (input, spot), sky, volts)
    }

    /// Open-circuit voltage and short-circuit current of each panel of a string by itself, as they are
    /// in the first set; by ascending voltage. \[V\], \[A\]
    pub(super) fn panels(&self, world: &World, input: usize, string: usize) -> Vec<(f64, f64)> {
        let sky = self.question(0).sky(world, Shift::NONE);
        let elements = world.strings[input][string].chain.elements.iter().flatten();
        let mut read: Vec<(f64, f64)> = elements
            .map(|panel| {
                // Turned round in the string, it reads as any other by itself.
                let by_itself = super::built::BuiltPanel { reversed: false, ..*panel };
                let curve = self.curves.panel(by_itself, sky);
                (curve.v_oc().volts(), curve.i_sc().amps())
            })
            .collect();
        read.sort_by(|a, b| a.0.total_cmp(&b.0));
        read
    }
}
