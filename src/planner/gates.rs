//! Rules that depend on the whole array, as the solver's gates.

use std::cell::RefCell;
use std::collections::HashMap;

use crate::patterns::{Bench, Pattern};
use crate::solve::Gate;

/// The bus of an idle controller must not float so high that a string takes more than its rating.
pub(super) struct FloatGate<'a> {
    patterns: &'a [Pattern],
    bench: &'a Bench<'a>,
    /// Which of the bench's skies.
    sky: usize,
    /// Loads worked out so far, by column and key.
    loads: RefCell<HashMap<(usize, u64), f64>>,
}

impl<'a> FloatGate<'a> {
    pub(super) fn new(patterns: &'a [Pattern], bench: &'a Bench<'a>, sky: usize) -> Self {
        Self { patterns, bench, sky, loads: RefCell::new(HashMap::new()) }
    }
}

impl Gate for FloatGate<'_> {
    fn name(&self) -> &'static str {
        "idle_reverse_current"
    }
    fn key(&self, column: usize) -> f64 {
        self.patterns[column].float_limit[self.sky]
    }
    /// Current at the voltage at which the weakest string is at its rating: in sum not above zero.
    fn load(&self, column: usize, key: f64) -> f64 {
        *self
            .loads
            .borrow_mut()
            .entry((column, key.to_bits()))
            .or_insert_with(|| self.patterns[column].idle_current(self.bench, self.sky, key))
    }
    fn cap(&self, _key: f64) -> f64 {
        0.0
    }
}

/// The array must not feed more into a fault than its most delicate string stands.
pub(super) struct FaultGate<'a> {
    pub patterns: &'a [Pattern],
}

impl Gate for FaultGate<'_> {
    fn name(&self) -> &'static str {
        "fault_reverse_current"
    }
    fn key(&self, column: usize) -> f64 {
        self.patterns[column].most_array_i_sc
    }
    fn load(&self, column: usize, _key: f64) -> f64 {
        self.patterns[column].i_sc
    }
    fn cap(&self, key: f64) -> f64 {
        key
    }
}
