//! Joints as the solver's tie-break, and as a cap on what it may choose.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

use super::columns::{Candidates, sorts_of_strings};
use crate::model::{ArrayWiring, InputWiring, PanelString};
use crate::patterns::Pattern;
use crate::plan::{Exactness, fewest_joints, least_joints};
use crate::solve::{Choice, Problem, Row, Sense, TieBreak};

/// Choices that are counted for one cap before the rest is left open.
const COUNTED_MAX: usize = 500;

/// Sorts of today's strings up to which each subset of them makes a row.
const ALL_SUBSETS: usize = 4;

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
    /// Choices turned down of which it is not proven that they take too many.
    doubted: RefCell<BTreeSet<Choice>>,
    /// Joints of each pattern, and those of today that it could keep.
    shares: RefCell<Vec<Share>>,
}

#[derive(Clone, Copy)]
struct Count {
    least: usize,
    fewest: Option<(usize, Exactness)>,
}

/// What one pattern has to do with joints.
struct Share {
    /// Joints that it has.
    all: usize,
    /// Joints of today that it keeps at most, were it alone.
    kept: usize,
    /// The same of each sort of today's strings.
    kept_of: Vec<usize>,
}

impl<'a> Joiner<'a> {
    pub(super) fn new(candidates: &'a Candidates, today: InputWiring) -> Self {
        Self {
            candidates,
            today,
            most: Cell::new(None),
            counts: RefCell::default(),
            left: Cell::new(COUNTED_MAX),
            doubted: RefCell::default(),
            shares: RefCell::default(),
        }
    }

    /// From now on a choice may take at most so many joints.
    pub(super) fn cap(&self, most: usize) {
        self.most.set(Some(most));
        self.left.set(COUNTED_MAX);
        self.doubted.borrow_mut().clear();
    }

    /// The most that a choice is worth which was turned down without proof since the cap was set;
    /// `None` if there is none.
    pub(super) fn doubt(&self, problem: &Problem) -> Option<f64> {
        let doubted = self.doubted.borrow();
        let worth = |choice: &Choice| problem.evaluate(choice).map_or(0.0, |(_, value)| value);
        doubted.iter().map(worth).reduce(f64::max)
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
    /// With T joints today and a_j those of pattern j, a choice opens and makes
    /// T + Σ a_j x_j − 2·kept. Of a sort of today's strings it keeps no more joints than those have,
    /// and no more than Σ k_j x_j, with k_j what pattern j could keep of that sort were it alone.
    /// Which of the two holds is told sort by sort: each subset of the sorts makes a row.
    pub(super) fn limit(&self, problem: &mut Problem) {
        let Some(most) = self.most.get() else { return };
        let sorts = sorts_of_strings(&self.today.array);
        if self.shares.borrow().is_empty() {
            let shares = self.candidates.patterns.iter().map(|p| self.share_of(p, &sorts));
            self.shares.replace(shares.collect());
        }
        let has = |(string, n): &(PanelString, usize)| joints_of_string(string) * n;
        let today: usize = sorts.iter().map(has).sum();
        for whole in subsets(sorts.len()) {
            let kept_whole: usize =
                sorts.iter().zip(&whole).filter(|(_, whole)| **whole).map(|(s, _)| has(s)).sum();
            let rhs = most as f64 - today as f64 + 2.0 * kept_whole as f64;
            problem.rows.push(Row { name: "joints", sense: Sense::AtMost, rhs });
            let row = problem.rows.len() - 1;
            for (column, share) in problem.columns.iter_mut().zip(self.shares.borrow().iter()) {
                let of_sorts = share.kept_of.iter().zip(&whole).filter(|(_, whole)| !**whole);
                let kept = of_sorts.map(|(kept, _)| kept).sum::<usize>().min(share.kept);
                if share.all != 2 * kept {
                    column.uses.push((row, share.all as f64 - 2.0 * kept as f64));
                }
            }
        }
        problem.columns.iter_mut().for_each(|column| column.size = 0);
    }

    fn share_of(&self, pattern: &Pattern, sorts: &[(PanelString, usize)]) -> Share {
        let all = pattern.strings.iter().map(joints_of_string).sum();
        let array = ArrayWiring { strings: pattern.strings.clone() };
        let plan = InputWiring { at: self.today.at, array };
        let kept_of = |today: &InputWiring| {
            let least = least_joints(std::slice::from_ref(today), std::slice::from_ref(&plan));
            all - least.made.min(all)
        };
        let sort = |(string, n): &(PanelString, usize)| {
            let array = ArrayWiring { strings: vec![string.clone(); *n] };
            kept_of(&InputWiring { at: self.today.at, array })
        };
        Share { all, kept: kept_of(&self.today), kept_of: sorts.iter().map(sort).collect() }
    }
}

/// All subsets of so many things where they are few; else none, all, each alone and all but each.
fn subsets(n: usize) -> Vec<Vec<bool>> {
    if n <= ALL_SUBSETS {
        return (0..1_usize << n).map(|set| (0..n).map(|k| set >> k & 1 == 1).collect()).collect();
    }
    let but = |one: Option<usize>, others: bool| -> Vec<bool> {
        (0..n).map(|k| others != (Some(k) == one)).collect()
    };
    let ones = (0..n).flat_map(|k| [but(Some(k), false), but(Some(k), true)]);
    [but(None, false), but(None, true)].into_iter().chain(ones).collect()
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
                self.doubted.borrow_mut().insert(choice.to_vec());
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
            self.doubted.borrow_mut().insert(choice.to_vec());
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
