//! Panels that a plan moves from one input to another.

use super::layout::GLUE;
use super::names::Names;
use super::words::listed;
use crate::model::{InputRef, Installation, KindIdx};
use crate::plan::{Advice, PanelSource, Plan, fewest_joints};

/// Panels of one kind that go from one input to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Moved {
    pub kind: KindIdx,
    pub from: InputRef,
    pub to: InputRef,
    pub count: usize,
}

/// What a plan moves between inputs, in order of the plan's panels; nothing where one was planned.
pub(super) fn between_inputs(
    installation: &Installation,
    advice: &Advice,
    plan: &Plan,
) -> Vec<Moved> {
    let mut moved: Vec<Moved> = Vec::new();
    if advice.together.len() < 2 {
        return moved;
    }
    for panel in fewest_joints(&installation.installed, &plan.state.wiring()).panels {
        let PanelSource::Installed(from) = panel.from else { continue };
        if from.at == panel.to.at {
            continue;
        }
        let one = Moved { kind: panel.kind, from: from.at, to: panel.to.at, count: 1 };
        let alike = |m: &&mut Moved| Moved { count: 1, ..**m } == one;
        match moved.iter_mut().find(alike) {
            Some(same) => same.count += 1,
            None => moved.push(one),
        }
    }
    moved
}

/// `2 mill-300 from (mill, input 1) to (mill, input 2)`; empty if nothing is moved.
pub(super) fn in_words(names: Names, moved: &[Moved]) -> String {
    let each = moved.iter().map(|m| {
        format!(
            "{}{GLUE}{} from ({}) to ({})",
            m.count,
            names.kind(m.kind),
            names.input(m.from),
            names.input(m.to)
        )
    });
    listed(&each.collect::<Vec<_>>())
}

/// The same of the best plan, one line for each, with ordinary spaces for files.
pub(super) fn lines(installation: &Installation, advice: &Advice) -> Vec<String> {
    let Some(best) = advice.best else { return Vec::new() };
    let moved = between_inputs(installation, advice, &advice.plans[best]);
    let line = |m: &Moved| in_words(Names(installation), &[*m]).replace(GLUE, " ");
    moved.iter().map(line).collect()
}
