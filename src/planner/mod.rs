//! The pipeline in one place: candidates → solver → wiring → state → audit → answer.
//!
//! Architecture invariant: the only module that knows both the solver and the plans.

mod breaches;
mod by_year;
mod certainty;
mod certificate;
mod change;
mod charging;
mod columns;
mod concerned;
mod desk;
mod fleet;
mod found;
mod front;
mod gain;
mod gates;
mod helps;
mod joiner;
mod joints;
mod lesson;
mod level;
mod not_its_joints;
mod obvious;
mod options;
mod own_controller;
mod phases;
mod placed;
mod preferred;
mod season;
mod site;
mod stopped;
mod strings_known;
mod terms;
mod today;
mod verdict;
mod verify;
mod worth;
mod year;

pub use fleet::{
    FleetFailure, FleetOptions, Progress, Silent, allocate, replacements, who_can_use,
};
pub use lesson::lesson;
pub use options::{Failure, Options};
pub use phases::{PhaseOptions, phase_methods, plan_phases};
pub use verify::verify;

use std::borrow::Cow;

use crate::electrical::Catalog;
use crate::energy::EnergyModel;
use crate::model::Installation;
use crate::plan::{
    Advice, Checked, Evaluator, Measured, Method, Plan, ask, assumed, cautions_for, idle_today,
};

use concerned::concerned;
use desk::{Desk, Planned};
use year::year_of;

/// Looks at the array as it stands.
///
/// # Errors
/// [`Failure::Label`] if no curve passes through a label.
pub fn check(installation: &Installation) -> Result<Checked, Failure> {
    let installation = &installation.without_spare_controllers();
    let catalog = fit(installation)?;
    let evaluator = Evaluator::new(installation, &catalog);
    let state = evaluator.state(&installation.installed);
    Ok(Checked {
        site: installation.site.name.clone(),
        coldest: installation.site.coldest,
        hottest: installation.site.hottest,
        idle: idle_today(installation, &state),
        energy: year_of(
            EnergyModel::of(installation, &catalog).as_ref(),
            &installation.installed,
            &[],
        ),
        assumed: assumed(installation, &concerned(installation)),
        ask: ask(installation, &state),
        cautions: cautions_for(installation, &state),
        state,
    })
}

/// Plans all inputs of an installation together, or the one that is asked for while the others stay.
///
/// # Errors
/// [`Failure`] if a label has no curve, or if a plan does not stand the audit.
pub fn advise(installation: &Installation, options: &Options) -> Result<Advice, Failure> {
    let installation = &concerned_by(installation, options);
    let catalog = fit(installation)?;
    let desk = Desk::new(installation, &catalog, options);
    let model = EnergyModel::of(installation, &catalog);
    let sun = (options.aim_with(model.as_ref())?, model.as_ref());
    if let Some(inputs) = site::planned_together(installation, options) {
        return desk.advise_together(inputs, sun);
    }
    let (today, mut planned) = desk.plan_site()?;
    let season = desk.choose_for_energy(&mut planned, sun, &today)?;
    desk.over(season.as_ref()).answer(today, planned, sun)
}

/// The audited plans alone, without verdicts on single kinds: best input, in order of touch.
///
/// # Errors
/// As [`advise`].
pub fn plan_only(installation: &Installation, options: &Options) -> Result<Vec<Plan>, Failure> {
    let installation = &concerned_by(installation, options);
    let catalog = fit(installation)?;
    let desk = Desk::new(installation, &catalog, options);
    let model = EnergyModel::of(installation, &catalog);
    let sun = (options.aim_with(model.as_ref())?, model.as_ref());
    if let Some(inputs) = site::planned_together(installation, options) {
        let today = desk.evaluator.state(&installation.installed);
        let (planned, _) = site::plan_together(&desk, inputs, sun, &today)?;
        return Ok(planned.plans);
    }
    let (today, mut planned) = desk.plan_site()?;
    desk.choose_for_energy(&mut planned, sun, &today)?;
    Ok(planned.plans)
}

/// How the best plan is carried out and proven by measurement; `None` if there is no plan.
///
/// `measured` is the sun and the cell temperature at which the test sheet is to be right.
///
/// # Errors
/// [`Failure::Label`] if no curve passes through a label.
pub fn method(
    installation: &Installation,
    advice: &Advice,
    measured: Option<Measured>,
) -> Result<Option<Method>, Failure> {
    let Some(best) = advice.best else { return Ok(None) };
    let installation = &advice.installation_in_use(installation);
    let catalog = fit(installation)?;
    let evaluator = Evaluator::new(installation, &catalog);
    let planned = advice.plans[best].state.wiring();
    Ok(Some(Method::new(&evaluator, installation, &planned, measured)))
}

/// Where one input is planned, nothing else is to change: spare controllers are left aside.
fn concerned_by<'i>(installation: &'i Installation, options: &Options) -> Cow<'i, Installation> {
    match options.input {
        Some(_) => Cow::Owned(installation.without_spare_controllers()),
        None => Cow::Borrowed(installation),
    }
}

fn fit(installation: &Installation) -> Result<Catalog, Failure> {
    Catalog::fit(&installation.kinds)
        .map_err(|(kind, error)| Failure::Label { kind: installation.kind(kind).id.clone(), error })
}
