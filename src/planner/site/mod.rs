//! Several inputs planned together: panels move between them, and all draw on the same spares.
//!
//! Every input is a site of [`crate::solve::master`]: it plans itself at given prices of panels. What
//! is said of single kinds is found by sharing out again with another stock; what binds and what
//! would help is asked of one input, all others being wired as in the best plan.

mod alone;
mod batteries;
mod by_year;
mod certainty;
mod controllers;
mod inputs;
mod level;
mod lists;
mod plan;
mod rows;
mod spares;
mod ties;
mod verdicts;
mod wired;

pub(super) use controllers::none_usable;
pub(super) use plan::{plan_together, rewired};
pub(super) use spares::without_unused;

use crate::energy::EnergyModel;
use crate::model::{InputRef, Installation, KindIdx, Spare};
use crate::patterns::Bench;
use crate::plan::{Advice, Aim, Touch, ask, assumed, cautions_for};
use crate::units::Watts;

use super::level::Session;
use super::terms::Question;
use super::year::year_of;
use super::{Desk, Failure, Options, concerned};
pub(super) use alone::first_wired;
use verdicts::Verdicts;

/// The inputs that are planned together, if there are several.
pub(super) fn planned_together(
    installation: &Installation,
    options: &Options,
) -> Option<Vec<InputRef>> {
    let mut inputs = movable(installation);
    let n_installed = inputs.len();
    inputs.extend(spares::usable(installation));
    let several = inputs.len() > 1 || inputs.len() > n_installed;
    (options.input.is_none() && several).then_some(inputs)
}

/// The installed inputs that may be rewired.
pub(super) fn movable(installation: &Installation) -> Vec<InputRef> {
    let standing = installation.installed.iter().map(|w| w.at);
    let free = |at: &InputRef| !installation.kept.contains(at) && !installation.is_spare(*at);
    standing.filter(free).collect()
}

/// For each input the installation as it looks from there: what stands on the others is spare, where
/// it may be moved.
pub(super) fn seen_from(
    installation: &Installation,
    inputs: &[InputRef],
    touch: Touch,
) -> Vec<Installation> {
    let n_kinds = installation.kinds.len();
    let seen = |at: &InputRef| {
        let mut seen = installation.clone();
        if touch == Touch::Free {
            let others = installation.installed.iter().filter(|w| w.at != *at);
            for wiring in others.filter(|w| inputs.contains(&w.at)) {
                for (k, n) in wiring.array.count_by_kind(n_kinds).into_iter().enumerate() {
                    add_spares(&mut seen, KindIdx(k), n);
                }
            }
        }
        seen
    };
    inputs.iter().map(seen).collect()
}

/// Panels that are there without a place being looked for: on a plane they stand already.
fn add_spares(installation: &mut Installation, kind: KindIdx, count: usize) {
    let standing = |s: &&mut Spare| s.kind == kind && s.places.is_empty();
    match installation.spares.iter_mut().find(standing) {
        Some(spare) => spare.count += count,
        None if count > 0 => {
            installation.spares.push(Spare { kind, count, price: None, places: Vec::new() });
        }
        None => {}
    }
}

/// One bench for each input.
fn benches<'b>(desk: &'b Desk, seen: &'b [Installation], inputs: &[InputRef]) -> Vec<Bench<'b>> {
    let bench = |(at, seen): (&InputRef, &'b Installation)| {
        Bench::new(seen, desk.catalog, *at).with_shelf(&desk.shelf)
    };
    inputs.iter().zip(seen).map(bench).collect()
}

/// One session for each input; units of one sort of spare controller have the same candidates.
fn sessions<'b>(benches: &'b [Bench<'b>], question: Question<'b>) -> Vec<Session<'b>> {
    let sort = |bench: &Bench| bench.controller().spare.as_ref().map(|spare| spare.sort.clone());
    let mut sessions: Vec<Session<'b>> = Vec::with_capacity(benches.len());
    for bench in benches {
        let own = sort(bench);
        let like = sessions.iter().find(|s| own.is_some() && sort(s.bench) == own);
        let session = match like {
            Some(like) => Session { bench, ..like.clone() },
            None => Session::new(bench, question),
        };
        sessions.push(session);
    }
    sessions
}

impl Desk<'_> {
    /// The whole answer for inputs planned together.
    pub(super) fn advise_together(
        &self,
        inputs: Vec<InputRef>,
        (aim, model): (Aim, Option<&EnergyModel>),
    ) -> Result<Advice, Failure> {
        let installation = self.installation;
        let today = self.evaluator.state(&installation.installed);
        let (planned, season) = plan_together(self, inputs, (aim, model), &today)?;
        let energy = year_of(model, &installation.installed, &planned.plans);
        let over = self.over(season.as_ref());
        let (spares, controllers, idle) = Verdicts::new(&over, &planned, model).all();
        let best_state = planned.best.map_or(&today, |b| &planned.plans[b].state);
        let first = first_wired(installation, &planned.inputs);
        let own_controllers = self.own_controllers(first, &spares, best_state);
        let mut notes = planned.narrowed.clone();
        notes.dedup();
        notes.push(
            "What binds and what would help was asked of one input at a time, the others wired as \
             in the best plan."
                .to_owned(),
        );
        if self.joint_worth() > 0.0 || self.options.joint_curve {
            notes.push(
                "The worth of a joint chose among the plans of the levels: within one it is weighed \
                 only where one input is planned (`--input`)."
                    .to_owned(),
            );
        }
        notes.extend(self.stopped_note());
        let mut concerned = concerned(installation);
        concerned.extend(best_state.wiring());
        let mut advice = Advice {
            site: installation.site.name.clone(),
            coldest: installation.site.coldest,
            hottest: installation.site.hottest,
            rule: self.options.rule,
            aim,
            planned: first,
            assumed: assumed(installation, &concerned),
            ask: ask(installation, best_state),
            cautions: cautions_for(installation, best_state),
            together: planned.inputs,
            today,
            plans: planned.plans,
            levels: planned.levels,
            best: planned.best,
            spares,
            controllers,
            own_controllers,
            idle,
            joint_worth: self.options.joint_worth.map(Watts),
            joint_curve: None,
            energy,
            notes,
        };
        spares::without_unused(installation, &mut advice);
        Ok(advice)
    }
}
