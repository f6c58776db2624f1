//! Joints, string by string: what a new string or an extended one opens and makes.
//!
//! With p panels in e elements a string has 2·p + 2 terminals in e + 1 nets (see
//! [`fewest_joints`](crate::plan::fewest_joints)).

use crate::model::Element;

fn terminals(elements: &[&Element]) -> (usize, usize) {
    (elements.iter().map(|e| e.members().len()).sum(), elements.len())
}

/// A new string makes all of its joints.
pub(super) fn joints_of_new(elements: &[&Element]) -> usize {
    let (panels, elements) = terminals(elements);
    2 * panels + 1 - elements
}

/// A string that is only widened keeps every joint; one that is lengthened opens one, where it is
/// joined anew.
pub(super) fn joints_of_extension(base: &[&Element], extended: &[&Element]) -> usize {
    let before = terminals(base);
    let after = terminals(extended);
    let (panels, elements) = (after.0 - before.0, after.1 - before.1);
    2 * panels - elements + if elements > 0 { 2 } else { 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{ArrayWiring, InputRef, InputWiring, KindIdx, PanelString};
    use crate::plan::fewest_joints;

    /// Kinds of the members of each element.
    type Elements<'a> = &'a [&'a [usize]];

    fn counted(today: Elements, plan: Elements) -> (usize, usize) {
        let at = InputRef { controller: 0, input: 1 };
        let string = |elements: Elements| {
            PanelString::new(
                elements
                    .iter()
                    .map(|e| Element::block(e.iter().map(|k| KindIdx(*k)).collect()))
                    .collect(),
            )
        };
        let wiring = |s: PanelString| InputWiring { at, array: ArrayWiring { strings: vec![s] } };
        let (today, plan) = (string(today), string(plan));
        let (old, new): (Vec<&Element>, Vec<&Element>) =
            (today.elements().iter().collect(), plan.elements().iter().collect());
        let ours = joints_of_extension(&old, &new);
        (ours, fewest_joints(&[wiring(today.clone())], &[wiring(plan.clone())]).joints.total())
    }

    #[test]
    fn extensions_take_as_many_joints_as_the_full_count_says() {
        let cases: [(Elements, Elements); 6] = [
            (&[&[0], &[0]], &[&[0], &[0], &[1]]),
            (&[&[0], &[0]], &[&[0], &[0], &[1], &[1]]),
            (&[&[0], &[0]], &[&[0, 1], &[0]]),
            (&[&[0], &[0]], &[&[0, 1], &[0, 1]]),
            (&[&[0], &[0]], &[&[0, 1], &[0], &[1]]),
            (&[&[0, 0], &[0, 0]], &[&[0, 0], &[0, 0], &[1, 1]]),
        ];
        for (today, plan) in cases {
            let (ours, full) = counted(today, plan);
            assert_eq!(ours, full, "{today:?} to {plan:?}");
        }
    }
}
