//! Verifies an array after the work: each reading against its band, and what is likely wrong.
//!
//! A fault is never looked up. Every array that may stand there instead of the one in the file (one panel
//! fewer, one turned round, a section passed by …) is evaluated on its curves, and what the meter would
//! show on it is held against what it showed; what explains the readings best comes first. Causes that
//! these readings cannot tell apart stand together, with the reading that would.

mod built;
mod candidates;
mod curves;
mod fault;
mod fit;
mod guess;
mod judge;
mod next;
mod predict;
mod search;
mod trial;
mod work;

pub use fault::{Fault, StringAt};
pub use judge::{Judged, Place, SetJudged};
pub use next::Next;

use super::Evaluator;
use crate::electrical::Catalog;
use crate::model::{ArrayReadings, Installation};

use curves::Curves;
pub(super) use predict::LOW_BATTERY;
use predict::SetSky;
use search::Suspect;
use trial::Trial;

/// What the readings say of an array.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified {
    /// Set by set: its conditions, and each reading against its band.
    pub sets: Vec<SetJudged>,
    /// What may be wrong, likeliest first; never empty.
    pub guesses: Vec<Guess>,
    /// What to measure next to tell the two likeliest apart.
    pub next: Option<Next>,
    /// How many ways the array may stand were evaluated.
    pub n_evaluated: usize,
}

/// What may be wrong, and what cannot be told from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Guess {
    /// All of it together; empty means that nothing is wrong.
    pub faults: Vec<Fault>,
    /// Other faults that these readings cannot tell from it, likeliest first.
    pub alike: Vec<Vec<Fault>>,
    /// What would tell it from the first of them.
    pub tell_alike: Option<Next>,
    /// How likely, as a share of all that was evaluated, those it cannot be told from included.
    pub weight: f64,
    /// How far the readings are from what it predicts, in standard deviations: the root of their mean square.
    pub misfit: f64,
    /// What it predicts for each reading, set by set, under the light and warmth that fit it best. \[V or A\]
    pub predicted: Vec<Vec<f64>>,
}

impl Verified {
    /// Every reading of every set.
    pub fn readings(&self) -> impl Iterator<Item = &Judged> {
        self.sets.iter().flat_map(|s| &s.readings)
    }

    /// How many readings are outside their band.
    #[must_use]
    pub fn n_outside(&self) -> usize {
        self.readings().filter(|r| r.place != Place::Inside).count()
    }

    /// Is something wrong more likely than not, though it may show in no band by itself?
    #[must_use]
    pub fn suspects(&self) -> bool {
        !self.guesses[0].faults.is_empty()
    }
}

/// Holds what was read against the wiring as it should stand, and finds what is likely wrong.
#[must_use]
pub fn verify(
    evaluator: &Evaluator<'_>,
    installation: &Installation,
    catalog: &Catalog,
    readings: &ArrayReadings,
) -> Verified {
    let sets: Vec<SetJudged> =
        readings.sets.iter().map(|set| judge::judge(evaluator, installation, set)).collect();
    let skies: Vec<SetSky> = sets
        .iter()
        .map(|s| SetSky {
            irradiance: s.measured.irradiance.watts_per_m2(),
            temp_cell: s.measured.temp_cell.celsius(),
        })
        .collect();
    let curves = Curves::new(catalog);
    let trial = Trial::new(installation, &curves, readings, &skies);
    let families = candidates::families(installation, &curves, readings);
    let suspects = search::search(&trial, &families);
    let groups = guess::group(&trial, &suspects);
    let tell =
        |a: &Suspect, b: &Suspect| next::next(&trial, (&a.world, &a.faults), (&b.world, &b.faults));
    let next = match &groups[..] {
        [first, second, ..] => tell(&suspects[first.leader], &suspects[second.leader]),
        _ => None,
    };
    let guesses = groups.iter().map(|group| {
        let leader = &suspects[group.leader];
        Guess {
            faults: leader.faults.clone(),
            alike: group.alike.iter().map(|k| suspects[*k].faults.clone()).collect(),
            tell_alike: group.alike.first().and_then(|k| tell(leader, &suspects[*k])),
            weight: group.weight,
            misfit: (leader.tried.squares / trial.n_readings() as f64).sqrt(),
            predicted: leader.tried.fitted.iter().map(|f| f.values.clone()).collect(),
        }
    });
    Verified { guesses: guesses.collect(), sets, next, n_evaluated: suspects.len() }
}
