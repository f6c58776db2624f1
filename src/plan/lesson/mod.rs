//! A lesson: the rule of thumb worked step by step, with the curve's answer beside it.
//!
//! Architecture invariant: figures only; the sentences stand in `report/lesson`.

mod break_even;
mod exercise;
mod losses;
mod puzzle;
mod random;
mod sums;
mod ways;
mod wirings;

pub use break_even::{BreakEvenChart, BreakEvenRow, LARGEST_GROUP, break_even_chart};
pub use exercise::{Exercise, exercises};
pub use losses::{Loss, LossCause};
pub use puzzle::{COLD_RISE, CURVE_MARGIN, N_LEVELS, RULE_MARGIN, Ranked, Solution, solve_puzzle};
pub use sums::{ArraySum, BLOCK_SPREAD, BusPlace, ElementSum, StringSum, work_out};
pub use ways::{Way, ways};

use sums::unlike_blocks;

use super::{Check, Evaluator, InputState, Outcome};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, Element, InputRef, InputWiring, Installation, KindIdx};

/// One wiring of one input: by hand, by the curves, and which limits it breaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// By the rule of thumb.
    pub sum: ArraySum,
    /// By the curves.
    pub curve: InputState,
    /// Limits that it would breach.
    pub breaches: Vec<Check>,
    /// Blocks of panels that may not stand side by side, see [`BLOCK_SPREAD`].
    pub unlike_blocks: Vec<Element>,
}

impl Worked {
    /// Does it keep every limit?
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.breaches.is_empty() && self.unlike_blocks.is_empty()
    }
}

/// One way to add one panel of a spare kind, worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct WayWorked {
    /// Which kind.
    pub kind: KindIdx,
    /// How it is joined.
    pub way: Way,
    /// What comes of it.
    pub worked: Worked,
}

/// What a lesson on one site says, apart from its best plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Every input that has something wired, as it stands.
    pub today: Vec<Worked>,
    /// Each spare in each obvious way, on the planned input.
    pub ways: Vec<WayWorked>,
    /// The planned input as the best plan wires it; `None` without a plan that changes anything.
    pub best: Option<Worked>,
    /// How weak one more panel beside equal ones may be; `None` with nothing installed.
    pub chart: Option<BreakEvenChart>,
}

impl Lesson {
    /// Works everything out; `planned` is the wiring of the best plan where it changes anything.
    #[must_use]
    pub fn new(
        installation: &Installation,
        catalog: &Catalog,
        at: InputRef,
        planned: Option<&[InputWiring]>,
    ) -> Self {
        let evaluator = Evaluator::new(installation, catalog);
        let worked = |w: &InputWiring| worked(&evaluator, installation, w);
        let here = |all: &[InputWiring]| all.iter().find(|w| w.at == at).cloned();
        let today = here(&installation.installed).map(|w| w.array).unwrap_or_default();
        let ways = installation.spares.iter().flat_map(|spare| {
            ways(installation, &today, spare.kind).into_iter().filter_map(|(way, array)| {
                let worked = worked(&InputWiring { at, array })?;
                Some(WayWorked { kind: spare.kind, way, worked })
            })
        });
        Self {
            today: installation.installed.iter().filter_map(worked).collect(),
            ways: ways.collect(),
            best: planned.and_then(here).and_then(|w| worked(&w)),
            chart: most_common(&today).map(|kind| break_even_chart(catalog, kind)),
        }
    }
}

fn worked(
    evaluator: &Evaluator<'_>,
    installation: &Installation,
    wiring: &InputWiring,
) -> Option<Worked> {
    let hold = installation.controller(wiring.at).hold_range();
    let checks = evaluator.checks(wiring);
    Some(Worked {
        sum: work_out(&wiring.array, &installation.kinds, hold)?,
        curve: evaluator.input_state(wiring),
        breaches: checks.into_iter().filter(|c| c.outcome == Outcome::Breach).collect(),
        unlike_blocks: unlike_blocks(&wiring.array, &installation.kinds),
    })
}

/// The kind of which most panels are wired; of equals the first.
fn most_common(array: &ArrayWiring) -> Option<KindIdx> {
    let n_kinds = array.panels().map(|k| k.0 + 1).max()?;
    let counts = array.count_by_kind(n_kinds);
    (0..n_kinds).max_by_key(|&k| (counts[k], std::cmp::Reverse(k))).map(KindIdx)
}
