//! The best wirings of a site under some stock, and what they bring beyond others.

use crate::energy::Span;
use crate::model::{ArrayWiring, InputRef};
use crate::plan::{EnergyPoint, State, WorthPoint, Yield};
use crate::planner::Desk;
use crate::planner::worth::freest;
use crate::units::KilowattHours;

use super::level::{Search, SiteAnswer, Stock};
use super::plan::rewired;
use super::verdicts::Verdicts;

/// Wirings of the whole site, and what they give on the inputs planned.
#[derive(Clone)]
pub(super) struct Wired {
    pub arrays: Vec<ArrayWiring>,
    pub watts: f64,
    /// Of what is sought: these watts, or the value of a season.
    pub sought: f64,
    /// What the controllers pass of them. \[W\]
    pub passed: f64,
    pub bound: f64,
}

impl Verdicts<'_> {
    /// What the best plan brings beyond another, where the file tells of the sun.
    pub(super) fn energy_between(
        &self,
        without: Option<&Wired>,
        with: &Wired,
        span: Span,
    ) -> Option<KilowattHours> {
        let model = self.energy?;
        let inputs = &self.planned.inputs;
        let year = |arrays: &[ArrayWiring]| model.out(&rewired(self.desk, inputs, arrays), span);
        let nothing = vec![ArrayWiring::default(); inputs.len()];
        Some(year(&with.arrays) - year(without.map_or(&nothing, |w| &w.arrays)))
    }

    /// The same in the part of the year that is sought, if one is.
    pub(super) fn sought_between(&self, without: Option<&Wired>, with: &Wired) -> Option<Yield> {
        let span = self.desk.season?.span;
        self.energy_between(without, with, span).map(|energy| Yield { energy, span })
    }

    /// What wirings bring of the energy that is sought, and beyond the ones before.
    pub(super) fn energy_point(
        &self,
        found: Option<&Wired>,
        before: Option<&WorthPoint>,
    ) -> Option<EnergyPoint> {
        let (model, season) = (self.energy?, self.desk.season?);
        let inputs = &self.planned.inputs;
        let nothing = vec![ArrayWiring::default(); inputs.len()];
        let arrays = found.map_or(&nothing, |found| &found.arrays);
        let energy = model.out(&rewired(self.desk, inputs, arrays), season.span);
        Some(EnergyPoint::after(before, Yield { energy, span: season.span }))
    }

    pub(super) fn share(
        &self,
        desk: &Desk,
        search: &mut Search,
        stock: &Stock,
        known: &[Vec<ArrayWiring>],
    ) -> Option<Wired> {
        match search.best(stock, known) {
            SiteAnswer::Found(level) => {
                let open = (level.bound - level.charged).max(0.0);
                let charges = self.charges(desk, &level.arrays);
                let wired = self.measure(desk, level.arrays);
                Some(match desk.season {
                    None => Wired { bound: wired.bound + open, ..wired },
                    Some(_) => Wired { sought: level.charged + charges, ..wired },
                })
            }
            SiteAnswer::NoWiring(..) | SiteAnswer::LimitReached => None,
        }
    }

    pub(super) fn measure(&self, desk: &Desk, arrays: Vec<ArrayWiring>) -> Wired {
        let inputs = &self.planned.inputs;
        let all = desk.evaluator.state(&rewired(desk, inputs, &arrays));
        let own = all.inputs.into_iter().filter(|i| inputs.contains(&i.at)).collect();
        let state = State { inputs: own, checks: Vec::new() };
        let watts = desk.by_rule(state.watts(), state.nameplate());
        let passed = state.passed().watts().min(watts);
        let Some(season) = desk.season else {
            return Wired { arrays, watts, sought: watts, passed, bound: watts };
        };
        let value = |(at, array): (&InputRef, &ArrayWiring)| {
            season.describer(&desk.bench(*at)).value(array)
        };
        let sought = inputs.iter().zip(&arrays).map(value).sum();
        // A search for energy bounds no watts.
        Wired { arrays, watts, sought, passed, bound: f64::INFINITY }
    }

    /// Charges on all panels of some wirings.
    pub(super) fn charges(&self, desk: &Desk, arrays: &[ArrayWiring]) -> f64 {
        let bench = desk.bench(self.planned.inputs[0]);
        let question = desk.question(freest(&desk.options.touch));
        let n_kinds = desk.installation.kinds.len();
        arrays.iter().map(|a| question.charge_of(&bench, &a.count_by_kind(n_kinds))).sum()
    }
}
