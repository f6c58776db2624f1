//! Which controllers are used from which phase on, and the site as it is then.

use std::borrow::Cow;

use super::supply::Supply;
use crate::model::{ArrayWiring, Controller, InputRef, InputWiring, Installation, PhaseController};

/// Controllers on offer in all phases whose orders are compared.
const MOST_ON_OFFER: usize = 4;

/// For each controller on offer the phase from which it is used; `None`: never.
pub(super) type Used = Vec<Option<usize>>;

/// Every order in which the controllers on offer can come into use within the budgets.
///
/// Where no phase has a budget, a controller is used from the phase on in which it comes on offer, or
/// never: waiting gains nothing.
pub(super) fn sequences(supply: &Supply) -> Vec<Used> {
    let n = supply.n_phases();
    let waits = supply.budgets.iter().any(Option::is_some);
    let mut all: Vec<Used> = vec![Vec::new()];
    for offer in &supply.controllers {
        let last = if waits { n - 1 } else { offer.phase };
        let from = |used: &Used| {
            let options = std::iter::once(None).chain((offer.phase..=last).map(Some));
            options.map(|at| [used.clone(), vec![at]].concat()).collect::<Vec<_>>()
        };
        all = all.iter().flat_map(from).collect();
    }
    let no_panels = vec![vec![0; supply.own.len()]; n];
    all.retain(|used| {
        takes_each_place_once(supply, used) && supply.purchases(&no_panels, used).is_some()
    });
    all
}

/// Do no two of them take the same place in the same phase?
fn takes_each_place_once(supply: &Supply, used: &Used) -> bool {
    let takes: Vec<(usize, usize)> = supply
        .controllers
        .iter()
        .zip(used)
        .filter_map(|(offer, used)| Some(((*used)?, offer.replaces?)))
        .collect();
    (1..takes.len()).all(|i| !takes[..i].contains(&takes[i]))
}

/// Those in use by a phase, in the order in which they come into use.
pub(super) fn in_use(used: &Used, phase: usize) -> Vec<usize> {
    let mut now: Vec<(usize, usize)> = used
        .iter()
        .enumerate()
        .filter_map(|(c, from)| from.filter(|from| *from <= phase).map(|from| (from, c)))
        .collect();
    now.sort_unstable();
    now.into_iter().map(|(_, c)| c).collect()
}

/// The same upgrade with the controllers that stand ready on offer from the first phase on, as many as
/// orders of controllers can be compared for.
pub(super) fn offering_spare_controllers(installation: &Installation) -> Cow<'_, Installation> {
    if installation.controllers.iter().all(|c| c.spare.is_none()) {
        return Cow::Borrowed(installation);
    }
    let mut offering = installation.without_spare_controllers();
    let on_offer: usize = installation.phases.iter().map(|p| p.controllers.len()).sum();
    let usable =
        (0..installation.controllers.len()).filter(|c| installation.has_output_for(*c)).filter_map(
            |c| Some((&installation.controllers[c], installation.controllers[c].spare.as_ref()?)),
        );
    for (controller, spare) in usable.take(MOST_ON_OFFER.saturating_sub(on_offer)) {
        offering.phases[0].controllers.push(PhaseController {
            controller: Controller { spare: None, ..controller.clone() },
            replaces: None,
            price: spare.price,
            last_chance: false,
        });
    }
    Cow::Owned(offering)
}

/// The site with some of the controllers on offer in use; nothing is wired to those that are new.
pub(super) fn with_controllers(
    installation: &Installation,
    supply: &Supply,
    in_use: &[usize],
) -> Installation {
    let mut site = installation.clone();
    for &c in in_use {
        let offer = &supply.controllers[c];
        let controller = &installation.phases[offer.phase].controllers[offer.place].controller;
        match offer.replaces {
            Some(place) => site.controllers[place] = controller.clone(),
            None => site.controllers.push(controller.clone()),
        }
    }
    site.installed = laid_on(&site.controllers, &installation.installed);
    site
}

/// Every input of some controllers, with what a wiring has there.
pub(super) fn laid_on(controllers: &[Controller], wiring: &[InputWiring]) -> Vec<InputWiring> {
    let inputs = |(c, its): (usize, &Controller)| {
        (1..=its.n_inputs).map(move |input| InputRef { controller: c, input })
    };
    let array = |at: InputRef| {
        let found = wiring.iter().find(|w| w.at == at);
        found.map_or_else(ArrayWiring::default, |w| w.array.clone())
    };
    controllers
        .iter()
        .enumerate()
        .flat_map(inputs)
        .map(|at| InputWiring { at, array: array(at) })
        .collect()
}
