//! Strings in parallel on the diode equation, remembering what they were asked.

use std::cell::RefCell;

use super::product::{Largest, largest_product};
use crate::electrical::ExactString;
use crate::units::{Amps, Volts};

/// How far a search for the largest power may stop short, as a part of it.
const SEARCH: f64 = 0.0002;

/// Strings in parallel.
///
/// Currents fall with voltage, so that answers at a higher and a lower voltage enclose the next:
/// that is what makes an exact search affordable.
pub(super) struct ExactArray {
    strings: Vec<ExactString>,
    /// Voltages asked, ascending \[V\], and the current of each string there \[A\].
    answers: RefCell<Vec<(f64, Vec<f64>)>>,
}

impl ExactArray {
    pub(super) fn new(strings: Vec<ExactString>) -> Self {
        Self { strings, answers: RefCell::new(Vec::new()) }
    }

    /// The strings, as given.
    pub(super) fn strings(&self) -> &[ExactString] {
        &self.strings
    }

    /// Current of each string at a voltage. \[A\]
    pub(super) fn currents(&self, v: f64) -> Vec<f64> {
        let at = self.answers.borrow().partition_point(|(asked, _)| *asked < v);
        let currents = self.enclosed(v, at);
        self.answers.borrow_mut().insert(at, (v, currents.clone()));
        currents
    }

    fn enclosed(&self, v: f64, at: usize) -> Vec<f64> {
        let answers = self.answers.borrow();
        let (lower, higher) = (at.checked_sub(1).map(|k| &answers[k].1), answers.get(at));
        if let Some((same, currents)) = higher
            && *same == v
        {
            return currents.clone();
        }
        let current = |s: usize| match (lower, higher) {
            (Some(most), Some((_, least))) => {
                self.strings[s].current_within(Volts(v), (Amps(least[s]), Amps(most[s])))
            }
            _ => self.strings[s].current_at(Volts(v)),
        };
        (0..self.strings.len()).map(|s| current(s).amps()).collect()
    }

    /// Current of all at a voltage. \[A\]
    pub(super) fn current(&self, v: f64) -> f64 {
        self.currents(v).iter().sum()
    }

    /// The most between two voltages, at least that at `near`; zero if it gives nothing. [W]
    pub(super) fn most(&self, (lo, hi): (f64, f64), near: f64) -> f64 {
        let seed = Largest { x: near, product: (near * self.current(near)).max(0.0) };
        if lo < hi {
            largest_product((lo, hi), seed, SEARCH, |v| self.current(v)).product
        } else {
            seed.product
        }
    }

    /// The voltage at which all float while nothing is drawn. \[V\]
    pub(super) fn floating_voltage(&self) -> f64 {
        let v_oc = || self.strings.iter().map(|s| s.voltage_at(Amps(0.0)).volts());
        let (mut lo, mut hi) = (v_oc().fold(f64::INFINITY, f64::min), v_oc().fold(0.0, f64::max));
        // Below a nanovolt strings are alike.
        while hi - lo > 1e-9 {
            let mid = 0.5 * (lo + hi);
            if self.current(mid) > 0.0 { lo = mid } else { hi = mid }
        }
        0.5 * (lo + hi)
    }
}

/// A string's largest power over all voltages, found over its current: then no root is needed.
/// `x` is that current. [A], [W]
pub(super) fn own_maximum(string: &ExactString) -> Largest {
    let top = string.current_at(Volts(0.0)).amps();
    let voltage = |i: f64| string.voltage_at(Amps(i)).volts().max(0.0);
    largest_product((0.0, top), Largest { x: 0.0, product: 0.0 }, SEARCH, voltage)
}
