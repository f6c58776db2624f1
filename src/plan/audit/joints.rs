//! Do the joints of a plan add up?

use super::super::{Exactness, Joints, Plan, fewest_joints, least_joints};
use super::AuditedInput;
use super::error::{Audited, ensure};
use super::sums::used_spares;
use crate::model::{ArrayWiring, InputWiring};

/// Joints of a controller that is hung up: two poles on each of its sides.
const OF_CONTROLLER: usize = 4;

/// Whatever stays of today's joints is a joint of the plan: so what is opened and what is made differ
/// as the two wirings' joints do. And no layout of the plan does with fewer.
pub(super) fn audit_joints(plan: &Plan, today: &[InputWiring], inputs: &[AuditedInput]) -> Audited {
    let Joints { opened, made } = plan.joints;
    let hung_up = OF_CONTROLLER * used_spares(inputs);
    let stand: usize = inputs.iter().map(|i| joints_of(i.today)).sum();
    let planned: usize = inputs.iter().map(|i| joints_of(&i.array)).sum();
    ensure(opened <= stand && stand + made == planned + hung_up + opened, || {
        format!(
            "{opened} joints opened and {made} made do not lead from {stand} joints to {planned} and \
             {hung_up} of controllers"
        )
    })?;
    let array = |i: &AuditedInput| InputWiring { at: i.at, array: i.array.clone() };
    let wiring: Vec<InputWiring> = inputs.iter().map(array).collect();
    let counted = |joints: Joints| (joints.opened, joints.made + hung_up);
    let least = counted(least_joints(today, &wiring));
    ensure(opened >= least.0, || {
        format!("{opened} joints opened are too few: at least {}", least.0)
    })?;
    // A search that is cut short may find another number from another order of the same strings.
    let again = fewest_joints(today, &wiring);
    let found = counted(again.joints);
    ensure(again.exact != Exactness::Exact || found == (opened, made), || {
        format!("{opened} joints opened and {made} made, counted again {} and {}", found.0, found.1)
    })
}

/// Joints of an array, those at the combiner included: a net of n terminals has n − 1.
fn joints_of(array: &ArrayWiring) -> usize {
    let of_string = |elements: &[crate::model::Element]| {
        let ends = elements.first().into_iter().chain(elements.last());
        let at_ports: usize = ends.map(|e| e.members().len()).sum();
        let between = elements.windows(2);
        at_ports + between.map(|w| w[0].members().len() + w[1].members().len() - 1).sum::<usize>()
    };
    array.strings.iter().map(|s| of_string(s.elements())).sum()
}
