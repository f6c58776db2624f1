//! Spare controllers among the inputs: which can be used, in which order their units stand, and
//! which of them an answer speaks of.

use crate::model::{ArrayWiring, InputRef, Installation};
use crate::plan::{Advice, State};

/// Inputs of the spare controllers that fit what is there.
pub(super) fn usable(installation: &Installation) -> impl Iterator<Item = InputRef> + '_ {
    let spare = installation.installed.iter().map(|w| w.at).filter(|at| installation.is_spare(*at));
    spare.filter(|at| installation.has_output_for(at.controller))
}

/// The same wirings with the units of each sort in a fixed order: those used first, and of each the
/// inputs that are used first. Units are alike, so that nothing else changes.
pub(super) fn in_order(
    installation: &Installation,
    inputs: &[InputRef],
    arrays: &mut [ArrayWiring],
) {
    for sort in installation.spare_sorts() {
        let places: Vec<Vec<usize>> = sort
            .iter()
            .map(|c| (0..inputs.len()).filter(|i| inputs[*i].controller == *c).collect())
            .collect();
        let mut units: Vec<Vec<ArrayWiring>> =
            places.iter().map(|unit| unit.iter().map(|i| arrays[*i].clone()).collect()).collect();
        let key = |a: &ArrayWiring| (a.strings.is_empty(), a.canonical());
        units.iter_mut().for_each(|unit| unit.sort_by_cached_key(key));
        units.sort_by_cached_key(|unit| unit.iter().map(key).collect::<Vec<_>>());
        for (place, array) in places.into_iter().flatten().zip(units.into_iter().flatten()) {
            arrays[place] = array;
        }
    }
}

/// Leaves out of an answer the spare controllers that no plan uses.
pub(in crate::planner) fn without_unused(installation: &Installation, advice: &mut Advice) {
    let wired = |state: &State, at: InputRef| {
        state.inputs.iter().any(|i| i.at == at && !i.strings.is_empty())
    };
    let plans = &advice.plans;
    let unused: Vec<InputRef> = installation
        .installed
        .iter()
        .map(|w| w.at)
        .filter(|at| installation.is_spare(*at))
        .filter(|at| !plans.iter().any(|plan| wired(&plan.state, *at)))
        .collect();
    let states = advice.plans.iter_mut().map(|plan| &mut plan.state);
    for state in states.chain([&mut advice.today]) {
        state.inputs.retain(|i| !unused.contains(&i.at));
    }
    advice.together.retain(|at| !unused.contains(at));
}
