//! One input of several, asked by itself.

use crate::model::{ArrayWiring, InputRef, Installation, KindIdx};
use crate::planner::level::Session;
use crate::planner::worth::{Worth, freest};
use crate::planner::{Desk, Planned};

use super::add_spares;
use super::plan::{arrays_today, rewired};

/// The first of some inputs that has something wired, or the first of all.
pub(in crate::planner) fn first_wired(
    installation: &Installation,
    inputs: &[InputRef],
) -> InputRef {
    let wired = |at: &&InputRef| {
        installation.installed.iter().any(|w| w.at == **at && !w.array.strings.is_empty())
    };
    *inputs.iter().find(wired).unwrap_or(&inputs[0])
}

/// One input by itself, its best wiring being this.
pub(super) fn one_input<T>(
    desk: &Desk,
    at: InputRef,
    best: ArrayWiring,
    ask: impl FnOnce(&Worth) -> T,
) -> T {
    let bench = desk.bench(at);
    let session = Session::new(&bench, desk.question(freest(&desk.options.touch)));
    let planned = Planned {
        at,
        today_charged: 0.0,
        plans: Vec::new(),
        arrays: vec![best],
        levels: Vec::new(),
        best: Some(0),
        narrowed: Vec::new(),
        found: Vec::new(),
        front: None,
    };
    ask(&Worth::new(desk, &planned, &bench, &session, None))
}

/// The site wired as in some plan, with the panels that it leaves out as spares.
pub(super) fn as_planned(desk: &Desk, inputs: &[InputRef], arrays: &[ArrayWiring]) -> Installation {
    let mut standing: Installation = desk.installation.clone();
    standing.installed = rewired(desk, inputs, arrays);
    let today = arrays_today(desk, inputs);
    let more = |k: KindIdx| count(arrays, k).saturating_sub(count(&today, k));
    for spare in &mut standing.spares {
        spare.count -= spare.kinds().iter().map(|k| more(*k)).sum::<usize>();
        for k in &spare.places {
            let placed = desk.installation.kind(*k).placed.as_ref();
            let plane = placed.expect("a place is on a plane").plane;
            let room = &mut standing.site.sun.planes[plane.0].room;
            *room = room.map(|room| room - more(*k));
        }
    }
    standing.spares.retain(|s| s.count > 0);
    for k in (0..standing.kinds.len()).map(KindIdx) {
        add_spares(&mut standing, k, count(&today, k).saturating_sub(count(arrays, k)));
    }
    standing
}

/// How many panels of one kind some arrays hold.
pub(super) fn count(arrays: &[ArrayWiring], kind: KindIdx) -> usize {
    arrays.iter().flat_map(ArrayWiring::panels).filter(|k| *k == kind).count()
}
