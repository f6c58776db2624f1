//! Random sites with two inputs.

use sungraft::model::{ArrayWiring, Controller, InputRef, InputWiring, Installation};
use sungraft::plan::Plan;

use crate::random::Random;
use crate::sites::{charge, random_site};

pub(crate) const FIRST: InputRef = InputRef { controller: 0, input: 1 };
pub(crate) const SECOND: InputRef = InputRef { controller: 0, input: 2 };
pub(crate) const OTHER: InputRef = InputRef { controller: 1, input: 1 };

/// Two inputs of one controller, or one input of each of two controllers that have nothing in
/// common: type, battery, window and limits differ.
pub(crate) fn two_inputs(seed: u64, n_panels: usize) -> Installation {
    let mut rng = Random::seeded(seed);
    let mut site = random_site(&mut rng, n_panels);
    let at = if rng.below(2) == 0 {
        site.controllers[0].n_inputs = 2;
        SECOND
    } else {
        let other = random_site(&mut rng, 1).controllers.swap_remove(0);
        site.controllers.push(Controller { id: "d".to_owned(), ..other });
        OTHER
    };
    // Some of what stands, stands on the second input.
    let strings = std::mem::take(&mut site.installed[0].array.strings);
    let (mut here, mut there) = (ArrayWiring::default(), ArrayWiring::default());
    for string in strings {
        if rng.below(2) == 0 { here.strings.push(string) } else { there.strings.push(string) }
    }
    site.installed = vec![InputWiring { at: FIRST, array: here }, InputWiring { at, array: there }];
    site
}

/// What the panels of a plan are charged in all.
pub(crate) fn plan_charge(site: &Installation, plan: &Plan) -> f64 {
    let strings = plan.state.inputs.iter().flat_map(|i| &i.strings);
    strings.flat_map(|s| s.wiring.panels()).map(|k| charge(site.kind(k))).sum()
}
