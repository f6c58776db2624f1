//! What site files say that a sharing-out leaves aside, with the sites that say it.

use crate::model::Installation;
use crate::plan::{Customer, Touch};
use crate::planner::site::movable;

/// Sites that are named; of more the number is told.
const NAMED: usize = 5;

/// Does a site say it, and the words for it.
type Thing<'a> = (&'a dyn Fn(&Customer) -> bool, &'a str);

/// One sentence for each thing that is left aside anywhere.
pub(super) fn left_aside(customers: &[Customer]) -> Vec<String> {
    let spare_controllers =
        |c: &Customer| c.installation.controllers.iter().any(|one| one.spare.is_some());
    let moves = |c: &Customer| c.touch == Touch::Free && movable(&c.installation).len() > 1;
    let things: [Thing; 4] = [
        (
            &|c| !c.installation.phases.is_empty(),
            "Planned as it stands, without the phases that its file has (`sungraft phases` plans those)",
        ),
        (
            &spare_controllers,
            "Planned without the spare controllers that its file has (`sungraft advise` weighs them)",
        ),
        (
            &moves,
            "Panels that stand there stay on their input, though all may be rewired (`sungraft advise` \
             moves them between inputs)",
        ),
        (
            &|c| shares_a_limited_output(&c.installation),
            "Of what the controller's output has left each of its inputs is planned with its part",
        ),
    ];
    let told = things.iter().filter_map(|(has, words)| {
        let files: Vec<String> =
            customers.iter().filter(|c| has(c)).map(|c| format!("`{}`", c.file)).collect();
        let named = files[..files.len().min(NAMED)].join(", ");
        match files.len() {
            0 => None,
            n if n > NAMED => Some(format!("{words}: {named} and {} more.", n - NAMED)),
            _ => Some(format!("{words}: {named}.")),
        }
    });
    told.collect()
}

/// Do several inputs that may be changed share an output that is limited?
fn shares_a_limited_output(site: &Installation) -> bool {
    let inputs = movable(site);
    (0..site.controllers.len()).any(|controller| {
        let on_it = inputs.iter().filter(|at| at.controller == controller).count();
        on_it > 1 && site.controllers[controller].clip_limit().is_some()
    })
}
