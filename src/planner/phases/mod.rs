//! An upgrade in steps, planned over all of them together.
//!
//! 1. [`supply`] says what can be had when, [`sequence`] which controllers may come into use when; each
//!    phase under some controllers is a [`ground`], a site by itself.
//! 2. [`together`] plans all phases at once, joints aside: what was bought stays wired, money is shared.
//!    Its bound holds for every way, since joints only cost. What each phase was asked on the way makes
//!    its pool of wirings.
//! 3. [`path`] finds the best way through the pools, joints, hours and the order of purchases included;
//!    around it [`campaign`] and [`nearby`] look for wirings that make it better, and it is found anew.
//! 4. [`answer`] lays the way out step by step and has each step audited; [`foils`] and [`doubts`] say
//!    what other ways, and bad luck, would cost.

mod answer;
mod campaign;
mod doubts;
mod foils;
mod ground;
mod judge;
mod kept;
mod nearby;
mod orders;
mod path;
mod prepared;
mod rows;
mod sequence;
mod share;
mod supply;
mod together;
mod told;
mod unit;
mod year;

use std::collections::BTreeMap;
use std::rc::Rc;

use super::{Failure, Options, fit};
use crate::energy::{EnergyModel, Grain, Span};
use crate::model::Installation;
use crate::plan::{Aim, Evaluator, Measured, Method, Phased};
use crate::planner::desk::Desk;
use crate::planner::season::Season;
use crate::planner::site::movable;
use crate::planner::worth::freest;

use ground::{Ground, Lot};
use orders::Search;
use path::Steps;
use sequence::{in_use, offering_spare_controllers, sequences, with_controllers};
use supply::Supply;
use year::{Shelf, Year};

/// Time for one joint, opened or made, with its tag and its test. \[min\] (common practice, no source)
pub(super) const JOINT_MINUTES: f64 = 10.0;
/// Time to put a panel up, or to take one down. \[min\] (common practice, no source)
pub(super) const PANEL_MINUTES: f64 = 30.0;

/// What a person may ask of an upgrade in steps beyond the site file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PhaseOptions {
    /// As for a single answer, `touch` for each step after the one before; `input` and `joint_curve` are
    /// not asked. `joint_worth` is what a joint must bring over all the time. Months do not add up
    /// over phases: where the worst one is asked for, the year is taken.
    pub plan: Options,
    /// Watts that a unit of money must bring over all the time; `None`: money counts by the budgets
    /// alone, and what was bought stays wired. \[W\]
    pub money_worth: Option<f64>,
}

/// Plans the phases of an installation together.
///
/// # Errors
/// [`Failure`] if a label has no curve, if every input is to be kept, or if a step does not stand the
/// audit.
///
/// # Panics
/// If the installation has no phases.
pub fn plan_phases(installation: &Installation, options: &PhaseOptions) -> Result<Phased, Failure> {
    assert!(!installation.phases.is_empty(), "there is a phase at least");
    let installation = &*offering_spare_controllers(installation);
    let catalog = fit(installation)?;
    let inputs = movable(installation);
    let supply = Supply::of(installation, &inputs);
    let orders = sequences(&supply);
    let mut lots: BTreeMap<(usize, Vec<usize>), Lot> = BTreeMap::new();
    let last = supply.n_phases() - 1;
    let touch = freest(&options.plan.touch);
    // Each order, and the same with nothing done before the last phase.
    let late = orders.iter().map(|used| used.iter().map(|from| from.map(|_| last)).collect());
    for used in &orders.iter().cloned().chain(late).collect::<Vec<Vec<Option<usize>>>>() {
        for t in 0..supply.n_phases() {
            let now = in_use(used, t);
            lots.entry((t, now.clone())).or_insert_with(|| {
                let site = with_controllers(installation, &supply, &now);
                Lot::new(site, &supply, touch, t, now)
            });
        }
    }
    let lots: Vec<Lot> = lots.into_values().collect();
    if lots.iter().any(|lot| lot.inputs.is_empty()) {
        return Err(Failure::AllKept);
    }
    let model = EnergyModel::of(installation, &catalog);
    let aim = match options.plan.aim_with(model.as_ref())? {
        Aim::Watts => Aim::Watts,
        Aim::Year | Aim::WorstMonth => Aim::Year,
    };
    let basis = model.as_ref().filter(|_| aim != Aim::Watts).map(|model| {
        let hours = (Span::Year, Grain::Fine);
        Season::new(model, installation, &catalog, hours, &model.without_limits())
    });
    let desk = Desk::new(installation, &catalog, &options.plan);
    let question = desk.question(touch);
    let benches: Vec<_> = lots.iter().map(|lot| lot.benches(&catalog)).collect();
    let sessions: Vec<_> = benches.iter().map(|b| ground::sessions(b, question)).collect();
    let shelf = Rc::new(Shelf::default());
    let grounds = lots
        .iter()
        .zip(&sessions)
        .map(|(lot, own)| {
            let year = basis.as_ref().and_then(|basis| {
                let model = EnergyModel::of(&lot.site, &catalog)?;
                Some(Year::new(model, basis, Rc::clone(&shelf)))
            });
            Ground::new(lot, own, year)
        })
        .collect();
    let mut search = Search {
        installation,
        catalog: &catalog,
        options,
        aim,
        touch,
        basis: basis.as_ref(),
        supply: &supply,
        today: installation.installed.iter().filter(|w| inputs.contains(&w.at)).cloned().collect(),
        grounds,
        steps: Steps::default(),
    };
    search.begin();
    // What is best phase by phase is met first: the plan is never worse, if it keeps what was bought.
    search.shows("planning each phase by itself");
    let greedy = if supply.n_phases() > 1 { search.greedy()? } else { None };
    // What rests on searches cut short is not told as if it were found.
    let greedy = greedy.filter(|_| !search.is_stopped());
    let chosen = search.best_order(orders)?;
    answer::answer(&mut search, &chosen, greedy)
}

/// How each step is carried out and proven by measurement.
///
/// `measured` is the sun and the cell temperature at which the test sheets are to be right.
///
/// # Errors
/// [`Failure::Label`] if no curve passes through a label.
pub fn phase_methods(phased: &Phased, measured: Option<Measured>) -> Result<Vec<Method>, Failure> {
    let method = |step: &crate::plan::PhaseStep| {
        let catalog = fit(&step.installation)?;
        let evaluator = Evaluator::new(&step.installation, &catalog);
        let planned = step.plan().state.wiring();
        Ok(Method::new(&evaluator, &step.installation, &planned, measured))
    };
    phased.steps.iter().map(method).collect()
}
