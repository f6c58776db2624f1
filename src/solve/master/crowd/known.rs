//! What is known of a site from the prices at which it was asked.

use std::rc::Rc;

/// Answers that are kept of each site.
const KEPT: usize = 4;

/// Bounds of one site at the prices at which it was asked.
pub(super) struct Known {
    most: Vec<(usize, f64)>,
    in_all: f64,
    answers: Vec<(Rc<[f64]>, f64)>,
}

impl Known {
    pub(super) fn new(most: Vec<(usize, f64)>, in_all: f64) -> Self {
        Self { most, in_all, answers: Vec::new() }
    }

    /// Takes in a bound at some prices.
    pub(super) fn learn(&mut self, prices: &[f64], bound: f64) {
        if self.answers.len() == KEPT {
            self.answers.remove(0);
        }
        let own: Rc<[f64]> = self.most.iter().map(|(row, _)| prices[*row]).collect();
        self.answers.push((own, bound));
    }

    /// No configuration has `value − Σ price·use` above this; infinite before the first answer.
    pub(super) fn bound(&self, prices: &[f64]) -> f64 {
        let rise = |at: &[f64]| -> f64 {
            let fall =
                |((row, most), y): (&(usize, f64), &f64)| ((y - prices[*row]).max(0.0), *most);
            let falls = || self.most.iter().zip(at).map(fall);
            let all: f64 = falls().map(|(fall, most)| fall * most).sum();
            let largest = falls().map(|(fall, _)| fall).fold(0.0, f64::max);
            all.min(self.in_all * largest)
        };
        let bounds = self.answers.iter().map(|(at, bound)| bound + rise(at));
        bounds.fold(f64::INFINITY, f64::min)
    }
}
