//! One input of several, asked by itself.

use crate::model::{ArrayWiring, InputRef, Installation};
use crate::planner::level::Session;
use crate::planner::worth::{Worth, freest};
use crate::planner::{Desk, Planned};

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
