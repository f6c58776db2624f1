//! Which plan is the best of all levels, where joints only settle near-ties.

use crate::plan::Plan;

/// The plan of most charged watts; within the proof gap the one with fewest panels, then joints.
pub(super) fn preferred_plan(plans: &[Plan]) -> Option<usize> {
    let most = plans.iter().map(|p| p.charged.watts()).reduce(f64::max)?;
    let floor = most - 1e-3 * most.abs();
    let n_panels = |p: &Plan| -> usize {
        p.state.inputs.iter().flat_map(|i| &i.strings).map(|s| s.wiring.panels().count()).sum()
    };
    (0..plans.len())
        .filter(|&k| plans[k].charged.watts() >= floor)
        .min_by_key(|&k| (n_panels(&plans[k]), plans[k].joints.total(), k))
}
