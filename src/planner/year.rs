//! A year of sun for today's wiring and for plans.

use crate::energy::{EnergyAnswer, EnergyModel};
use crate::model::InputWiring;
use crate::plan::Plan;

/// The year of each; `None` where the file does not say enough about the sun.
pub(super) fn year_of(
    model: Option<&EnergyModel>,
    today: &[InputWiring],
    plans: &[Plan],
) -> Option<EnergyAnswer> {
    model.map(|model| EnergyAnswer {
        today: model.year(today),
        plans: plans.iter().map(|plan| model.year(&plan.state.wiring())).collect(),
    })
}
