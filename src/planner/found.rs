//! The best wiring under some terms, and what it brings beyond another.

use super::gain::Gain;
use super::level::{Level, LevelAnswer, Pick, Session};
use super::terms::Terms;
use super::worth::Worth;
use crate::electrical::Catalog;
use crate::energy::Span;
use crate::model::{ArrayWiring, InputWiring, Installation};
use crate::patterns::Screening;
use crate::plan::{EnergyPoint, Evaluator, Help, Rule, WorthPoint, Yield};
use crate::units::KilowattHours;

/// The best wiring under some terms.
#[derive(Clone)]
pub(super) struct Found {
    pub array: ArrayWiring,
    /// Watts by the arithmetic asked for. \[W\]
    pub watts: f64,
    /// Of what is sought: these watts, or the value of a season.
    pub sought: f64,
    /// What the controller passes of them. \[W\]
    pub passed: f64,
    /// No wiring has more watts, the panels of this one being charged. \[W\]
    pub bound: f64,
}

impl Found {
    /// What this one brings beyond another, or beyond nothing.
    pub(super) fn beyond(&self, other: Option<&Self>) -> Gain {
        Gain {
            watts: self.watts - other.map_or(0.0, |o| o.watts),
            sought: self.sought - other.map_or(0.0, |o| o.sought),
        }
    }
}

impl Worth<'_> {
    /// Energy that one wiring of the planned input has more than another, or than none.
    pub(super) fn energy_between(
        &self,
        without: Option<&Found>,
        with: &Found,
        span: Span,
    ) -> Option<KilowattHours> {
        let model = self.energy?;
        let year =
            |array: ArrayWiring| model.out(&self.desk.site_wiring(self.planned.at, array), span);
        let less = without.map_or_else(ArrayWiring::default, |found| found.array.clone());
        Some(year(with.array.clone()) - year(less))
    }

    /// The same in the part of the year that is sought, if one is.
    pub(super) fn sought_between(&self, without: Option<&Found>, with: &Found) -> Option<Yield> {
        let span = self.question.season?.span;
        self.energy_between(without, with, span).map(|energy| Yield { energy, span })
    }

    /// What a wiring brings of the energy that is sought, and beyond the one before.
    pub(super) fn energy_point(
        &self,
        found: Option<&Found>,
        before: Option<&WorthPoint>,
    ) -> Option<EnergyPoint> {
        let (model, season) = (self.energy?, self.question.season?);
        let array = found.map_or_else(ArrayWiring::default, |found| found.array.clone());
        let energy = model.out(&self.desk.site_wiring(self.planned.at, array), season.span);
        Some(EnergyPoint::after(before, Yield { energy, span: season.span }))
    }

    /// The best wiring under some terms; the nearest misses if there is none (`None`: not known).
    pub(super) fn solve(
        &self,
        session: &Session,
        terms: &Terms,
        known: &[ArrayWiring],
    ) -> Result<Found, Option<Screening>> {
        match session.solve(terms, known, self.effort, Pick::Highest) {
            LevelAnswer::Found(level) => Ok(self.found(session, level)),
            LevelAnswer::NoWiring(screening) => Err(Some(screening)),
            LevelAnswer::LimitReached => Err(None),
        }
    }

    pub(super) fn found(&self, session: &Session, level: Level) -> Found {
        let (installation, catalog) = session.ground();
        let open = (level.bound - level.charged).max(0.0);
        let counts = level.array.count_by_kind(installation.kinds.len());
        let sought = level.charged + session.question.charge_of(session.bench, &counts);
        let found = self.measure(installation, catalog, level.array);
        match self.question.season {
            None => Found { bound: found.watts + open, ..found },
            Some(_) => Found { sought, ..found },
        }
    }

    pub(super) fn measure(
        &self,
        installation: &Installation,
        catalog: &Catalog,
        array: ArrayWiring,
    ) -> Found {
        let evaluator = Evaluator::new(installation, catalog);
        let wiring = InputWiring { at: self.planned.at, array };
        let state = evaluator.input_state(&wiring);
        let watts = match self.desk.options.rule {
            Rule::Curve => state.power.watts(),
            Rule::Nameplate => state.nameplate.watts(),
        };
        let passed = state.clipped.map_or(watts, |c| c.watts().min(watts));
        let (sought, bound) = match self.question.season {
            None => (watts, watts),
            // A search for energy bounds no watts.
            Some(season) => (season.describer(self.bench).value(&wiring.array), f64::INFINITY),
        };
        Found { array: wiring.array, watts, sought, passed, bound }
    }

    pub(super) fn best(&self) -> Option<Found> {
        let array = self.best_array()?.clone();
        Some(self.measure(self.desk.installation, self.desk.catalog, array))
    }

    /// A help, where there is a gain.
    pub(super) fn help(
        &self,
        change: &'static str,
        words: String,
        gain: Option<Gain>,
    ) -> Option<Help> {
        let season = self.question.season;
        gain.map(|gain| Help {
            change,
            words,
            unlocks: gain.watts(),
            unlocks_energy: gain.energy(season),
        })
    }
}
