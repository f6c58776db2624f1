//! Joints as the solver's tie-break, and as a cap on what it may choose.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use super::columns::Candidates;
use crate::model::{ArrayWiring, InputWiring, PanelString};
use crate::patterns::Pattern;
use crate::plan::{Exactness, fewest_joints, least_joints};
use crate::solve::{Choice, Problem, Row, Sense, TieBreak};

/// Choices that are counted for one cap before the rest is left open.
const COUNTED_MAX: usize = 2_000;

/// Counts joints between today's wiring and a choice.
pub(super) struct Joiner<'a> {
    candidates: &'a Candidates,
    today: InputWiring,
    /// Most joints opened and made that a choice may take.
    most: Cell<Option<usize>>,
    /// Joints at least, and exactly as far as they were counted, of the choices held against a cap.
    counts: RefCell<BTreeMap<Choice, Count>>,
    /// How many may still be counted for this cap.
    left: Cell<usize>,
    /// Was a choice turned down of which it is not proven that it takes too many?
    doubt: Cell<bool>,
    /// Joints of each pattern, and those of today that it could keep.
    shares: RefCell<Vec<Share>>,
}

#[derive(Clone, Copy)]
struct Count {
    least: usize,
    fewest: Option<(usize, Exactness)>,
}

/// What one pattern has to do with joints.
#[derive(Clone, Copy)]
struct Share {
    /// Joints that it has.
    all: usize,
    /// Joints of today that it keeps at most, were it alone.
    kept: usize,
}

impl<'a> Joiner<'a> {
    pub(super) fn new(candidates: &'a Candidates, today: InputWiring) -> Self {
        Self {
            candidates,
            today,
            most: Cell::new(None),
            counts: RefCell::default(),
            left: Cell::new(COUNTED_MAX),
            doubt: Cell::new(false),
            shares: RefCell::default(),
        }
    }

    /// From now on a choice may take at most so many joints.
    pub(super) fn cap(&self, most: usize) {
        self.most.set(Some(most));
        self.left.set(COUNTED_MAX);
        self.doubt.set(false);
    }

    /// Was a choice turned down without proof since the cap was set?
    pub(super) fn has_doubt(&self) -> bool {
        self.doubt.get()
    }

    /// Joints between today and an array.
    pub(super) fn joints_of(&self, array: ArrayWiring) -> usize {
        self.fewest(array).0
    }

    fn fewest(&self, array: ArrayWiring) -> (usize, Exactness) {
        let plan = InputWiring { at: self.today.at, array };
        let rewiring =
            fewest_joints(std::slice::from_ref(&self.today), std::slice::from_ref(&plan));
        (rewiring.joints.opened + rewiring.joints.made, rewiring.exact)
    }

    /// Joints that no layout of an array does without.
    fn least(&self, array: ArrayWiring) -> usize {
        let plan = InputWiring { at: self.today.at, array };
        let joints = least_joints(std::slice::from_ref(&self.today), std::slice::from_ref(&plan));
        joints.opened + joints.made
    }

    /// Gives a problem the rows that follow from the cap, and no other preference among near-ties
    /// than fewest joints.
    ///
    /// With T joints today, a_j those of pattern j and k_j those of today that it could keep were it
    /// alone, a choice keeps at most min(T, Σ k_j x_j) of today's, and opens and makes
    /// T + Σ a_j x_j − 2·(kept). Both ceilings on what is kept make a row.
    pub(super) fn limit(&self, problem: &mut Problem) {
        let Some(most) = self.most.get() else { return };
        let today: usize = self.today.array.strings.iter().map(joints_of_string).sum();
        let (most, today) = (most as f64, today as f64);
        let name = "joints";
        let mut row = |rhs| {
            problem.rows.push(Row { name, sense: Sense::AtMost, rhs });
            problem.rows.len() - 1
        };
        let (all_kept, kept_apart) = (row(most + today), row(most - today));
        if self.shares.borrow().is_empty() {
            let shares = self.candidates.patterns.iter().map(|p| self.share_of(p)).collect();
            self.shares.replace(shares);
        }
        for (column, share) in problem.columns.iter_mut().zip(self.shares.borrow().iter()) {
            let (all, kept) = (share.all as f64, share.kept as f64);
            column.uses.push((all_kept, all));
            if all != 2.0 * kept {
                column.uses.push((kept_apart, all - 2.0 * kept));
            }
            column.size = 0;
        }
    }

    fn share_of(&self, pattern: &Pattern) -> Share {
        let all = pattern.strings.iter().map(joints_of_string).sum();
        let array = ArrayWiring { strings: pattern.strings.clone() };
        let plan = InputWiring { at: self.today.at, array };
        let least = least_joints(std::slice::from_ref(&self.today), std::slice::from_ref(&plan));
        Share { all, kept: all - least.made.min(all) }
    }
}

impl TieBreak for Joiner<'_> {
    fn moves(&self, choice: &[(usize, usize)]) -> usize {
        match self.counts.borrow().get(choice) {
            Some(Count { fewest: Some((joints, _)), .. }) => *joints,
            _ => self.joints_of(self.candidates.wiring_of(choice)),
        }
    }

    fn most_moves(&self) -> Option<usize> {
        self.most.get()
    }

    fn exceeds(&self, choice: &[(usize, usize)], most: usize) -> bool {
        let mut counts = self.counts.borrow_mut();
        if !counts.contains_key(choice) {
            if self.left.get() == 0 {
                self.doubt.set(true);
                return true;
            }
            self.left.set(self.left.get() - 1);
        }
        let wiring = || self.candidates.wiring_of(choice);
        let count = counts
            .entry(choice.to_vec())
            .or_insert_with(|| Count { least: self.least(wiring()), fewest: None });
        if count.least > most {
            return true;
        }
        let (joints, exact) = *count.fewest.get_or_insert_with(|| self.fewest(wiring()));
        if joints > most && exact == Exactness::BestFound {
            self.doubt.set(true);
        }
        joints > most
    }
}

/// Joints of a string: every net of n terminals is n − 1 of them, and each end has a port beside
/// its panels. With p panels in e elements there are 2·p + 2 terminals in e + 1 nets.
fn joints_of_string(string: &PanelString) -> usize {
    2 * string.panels().count() + 1 - string.elements().len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Element, InputRef, KindIdx};

    #[test]
    fn a_new_string_makes_all_of_its_joints() {
        let (a, b) = (KindIdx(0), KindIdx(1));
        let strings = [
            PanelString::new(vec![Element::single(a)]),
            PanelString::new(vec![Element::single(a), Element::single(b)]),
            PanelString::new(vec![Element::block(vec![a, a, b]), Element::single(b)]),
        ];
        for string in strings {
            let all = joints_of_string(&string);
            let array = ArrayWiring { strings: vec![string] };
            let plan = InputWiring { at: InputRef { controller: 0, input: 1 }, array };
            let joints = fewest_joints(&[], std::slice::from_ref(&plan)).joints;
            assert_eq!((joints.opened, joints.made), (0, all));
        }
    }
}
