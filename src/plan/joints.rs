//! The fewest joints to open and make on the way from today's wiring to a planned one.
//!
//! A *joint* is one mated connection. Where two elements of a string meet, the minus terminals of all
//! panels of the one and the plus terminals of all panels of the other form one *net*; so do, at the
//! string's ends, the terminals of its outermost panels and a port of the input's combiner. A net of
//! n terminals is n − 1 joints: two single panels in series are joined by one, a panel put across
//! another brings two, a string of one panel hangs on two.
//!
//! A joint is *kept* if it is there in both wirings: for every net of today and every planned net,
//! as many as they have physical terminals in common, less one. What is not kept of today's joints is
//! *opened*, what is not kept of the plan's is *made*.
//!
//! A plan does not say which panel of a kind takes which place, in which order the elements of a
//! string follow each other, or which string is which of today's: electrically it is all the same.
//! So it is chosen here such that the most joints are kept: by branch and bound, proven unless it
//! takes more than [`WEIGHED_MAX`] steps. The rules of the choice:
//!
//! - An input whose wiring is electrically unchanged is left as it is and takes no part.
//! - Panels may move between inputs; ports of one combiner are interchangeable, and each port of
//!   today serves at most one planned string's end.
//!   Plus and minus ports are matched apart.
//! - A spare is used only for what today's panels of its kind on these inputs cannot fill, which is
//!   never worse.

mod flow;
mod key;
mod layout;
mod moves;
mod plan_bound;
mod problem;
mod recount;
mod runs;
mod search;
mod state;
#[cfg(test)]
mod tests;
mod today_bound;

use super::Joints;
use crate::model::{InputRef, InputWiring, KindIdx};
use layout::Layout;
use problem::Problem;
use recount::recount;
use state::Move;

/// Moves of one element that are weighed before the proof is given up.
///
/// A site of four panels needs some dozens, one of 28 panels in a few orderly strings some hundreds;
/// forty panels of several kinds thrown together at random can use all of them up, in about a second.
pub const WEIGHED_MAX: usize = 200_000;

/// Is the answer proven?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exactness {
    /// No layout of the plan opens or makes fewer joints.
    Exact,
    /// The best that was found within [`WEIGHED_MAX`].
    BestFound,
}

/// Where a panel stands in a wiring, all but `at` counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PanelPlace {
    /// On which input.
    pub at: InputRef,
    /// In which string of the array.
    pub string: usize,
    /// In which element of the string.
    pub element: usize,
    /// Which member of the element.
    pub member: usize,
}

/// Where a panel of the plan comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PanelSource {
    /// From this place in today's wiring, which may be the same as in the plan.
    Installed(PanelPlace),
    /// From the spares.
    Spare,
}

/// One panel of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PanelMove {
    /// Its kind.
    pub kind: KindIdx,
    /// Where it comes from.
    pub from: PanelSource,
    /// Its place in [`Rewiring::inputs`].
    pub to: PanelPlace,
}

/// An end of a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    /// Towards the combiner's plus port.
    Plus,
    /// Towards the combiner's minus port.
    Minus,
}

/// A joint at the combiner that stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PortKept {
    /// On which input.
    pub at: InputRef,
    /// Which end of the strings.
    pub end: End,
    /// The string that it holds today.
    pub today: usize,
    /// The string that it holds in [`Rewiring::inputs`].
    pub plan: usize,
}

/// A plan laid out so that the fewest joints are opened and made.
#[derive(Debug, Clone, PartialEq)]
pub struct Rewiring {
    /// How many.
    pub joints: Joints,
    /// Is that proven to be the fewest?
    pub exact: Exactness,
    /// The plan, electrically unchanged, with its elements in the order chosen. Strings that keep a
    /// port come first, in today's order of the ports.
    pub inputs: Vec<InputWiring>,
    /// Every panel of `inputs`, in that order. Panels of today that are not named stay out.
    pub panels: Vec<PanelMove>,
    /// The joints at the combiners that stay.
    pub ports: Vec<PortKept>,
}

/// Fewest joints, with the layout that reaches them.
///
/// An input that one of the lists does not have counts as empty there. Panels of the plan beyond
/// today's are taken to be spares; whether there are as many is not asked here.
#[must_use]
pub fn fewest_joints(today: &[InputWiring], plan: &[InputWiring]) -> Rewiring {
    let (_, rewiring) = fewest_joints_of(today, &[plan]).expect("one plan was given");
    rewiring
}

/// Of several plans the one that opens and makes the fewest joints in all, by its index; of equals
/// the first. `None` without plans.
///
/// Plans that cannot be better than one already laid out are passed over, so that this costs far
/// less than to lay out each; [`WEIGHED_MAX`] holds for all of them together. `Exact` means here that
/// no layout of any of the plans does with fewer joints.
#[must_use]
pub fn fewest_joints_of<P: AsRef<[InputWiring]>>(
    today: &[InputWiring],
    plans: &[P],
) -> Option<(usize, Rewiring)> {
    let total = |joints: Joints| joints.opened + joints.made;
    let problems = plans.iter().map(|plan| Problem::new(today, plan.as_ref()));
    let mut by_bound: Vec<(usize, usize, Problem)> = problems
        .enumerate()
        .map(|(i, problem)| (total(problem.joints(search::bound_kept(&problem))), i, problem))
        .collect();
    by_bound.sort_by_key(|(least, i, _)| (*least, *i));
    let mut best: Option<(usize, usize, Rewiring)> = None;
    let (mut exact, mut left) = (true, WEIGHED_MAX);
    for (_, i, problem) in &by_bound {
        // Fewer joints than the best so far, or as few and an earlier plan.
        let most = match &best {
            Some((total, of, _)) if i < of => Some(*total),
            Some((0, ..)) => continue,
            Some((total, ..)) => Some(total - 1),
            None => None,
        };
        let enough = match most.map(|most| problem.enough(most)) {
            Some(None) => continue,
            Some(Some(enough)) => enough,
            None => 0,
        };
        let found = search::keep_most(problem, enough, left);
        left = left.saturating_sub(found.weighed);
        exact &= found.proven;
        if let Some((kept, moves)) = found.best {
            let rewiring = lay_out(today, plans[*i].as_ref(), problem, &moves);
            debug_assert!(!found.proven || rewiring.joints == problem.joints(kept));
            best = Some((total(rewiring.joints), *i, rewiring));
        }
    }
    best.map(|(_, i, mut rewiring)| {
        if !exact {
            rewiring.exact = Exactness::BestFound;
        }
        (i, rewiring)
    })
}

fn lay_out(
    today: &[InputWiring],
    plan: &[InputWiring],
    problem: &Problem,
    moves: &[Move],
) -> Rewiring {
    let Layout { inputs, panels, ports } = layout::lay_out(today, plan, problem, moves);
    Rewiring {
        joints: recount(today, &inputs, &panels, &ports),
        exact: Exactness::Exact,
        inputs,
        panels,
        ports,
    }
}

/// Joints that no layout of the plan can do without: never more than [`fewest_joints`] finds.
///
/// A fraction of its work.
#[must_use]
pub fn least_joints(today: &[InputWiring], plan: &[InputWiring]) -> Joints {
    let problem = Problem::new(today, plan);
    problem.joints(search::bound_kept(&problem))
}
