//! Loads at gates, each asked for once: a gate may have to search for its answer.

use std::cell::RefCell;
use std::collections::HashMap;

use super::problem::{Problem, exceeds, sum_over};

/// Loads known so far by gate, key (its bits) and column.
pub(super) struct Loads<'a> {
    problem: &'a Problem<'a>,
    known: RefCell<HashMap<(usize, u64, usize), f64>>,
}

impl<'a> Loads<'a> {
    pub(super) fn new(problem: &'a Problem<'a>) -> Self {
        Self { problem, known: RefCell::default() }
    }

    /// Load of one of a column at a gate's key.
    pub(super) fn load(&self, gate: usize, key: f64, column: usize) -> f64 {
        let ask = || self.problem.gates[gate].load(column, key);
        *self.known.borrow_mut().entry((gate, key.to_bits(), column)).or_insert_with(ask)
    }

    /// Does a choice break a gate's rule at a key?
    pub(super) fn breaks(&self, gate: usize, key: f64, choice: &[(usize, usize)]) -> bool {
        let load = sum_over(choice, |j| self.load(gate, key, j));
        exceeds(load, self.problem.gates[gate].cap(key))
    }

    /// The first gate that forbids a choice, with the key at which it does.
    pub(super) fn closed_gate(&self, choice: &[(usize, usize)]) -> Option<(usize, f64)> {
        (0..self.problem.gates.len()).find_map(|g| {
            let key = self.problem.weakest_key(g, choice)?;
            self.breaks(g, key, choice).then_some((g, key))
        })
    }
}
