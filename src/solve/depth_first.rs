//! All choices of a few columns, depth first by reduced cost.
//!
//! A choice is worth at most the linear bound less the reduced costs of what it takes, so a branch
//! ends as soon as it has paid more than the bound lies above what must be beaten.

use super::finish::{End, Walk};

/// Steps after which a list counts as too long to be tried.
const STEPS: usize = 400;

/// A candidate that a choice above the threshold may contain.
#[derive(Debug, Clone, Copy)]
pub(super) struct Affordable {
    /// Index among the candidates.
    pub candidate: usize,
    /// Reduced cost in the linear program of this branch, at most zero.
    pub reduced: f64,
}

impl Walk<'_, '_> {
    /// Tries all choices of these, which stand by falling reduced cost.
    pub(super) fn try_all(&mut self, bound: f64, list: &[Affordable]) -> End {
        let mut steps = STEPS.min(*self.steps);
        *self.steps -= steps;
        let end = self.descend(bound, list, &mut steps);
        *self.steps += steps;
        end
    }

    fn descend(&mut self, bound: f64, list: &[Affordable], steps: &mut usize) -> End {
        for (at, &Affordable { candidate, reduced }) in list.iter().enumerate() {
            if *steps == 0 {
                return End::StepLimit;
            }
            *steps -= 1;
            // None of the later ones can be afforded either.
            if bound + reduced <= self.threshold {
                break;
            }
            for n in (1..=self.most_of(candidate)).rev() {
                let bound = bound + reduced * n as f64;
                if bound <= self.threshold {
                    continue;
                }
                self.take(candidate, n);
                let mut end = self.report();
                if end == End::Complete {
                    end = self.descend(bound, &list[at + 1..], steps);
                }
                self.put_back(candidate, n);
                if end != End::Complete {
                    return end;
                }
            }
        }
        End::Complete
    }
}
