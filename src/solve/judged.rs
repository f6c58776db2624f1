//! The best choice by a judge who must be asked about each one by itself, below ceilings that add up.
//!
//! No choice is worth more than the sum of its columns' ceilings. So the judge need be asked only
//! about choices whose ceilings reach above the best that is known; the fewer the closer the ceilings.

use std::collections::BTreeMap;

use super::branch::{Effort, maximise};
use super::finish::{End, Finish, Reply};
use super::loads::Loads;
use super::node::Node;
use super::problem::{Choice, NoMoves, Problem};

/// Where the thresholds stand between the best known and the ceiling of all, from above.
const THRESHOLDS: [f64; 5] = [0.75, 0.5, 0.25, 0.1, 0.0];

/// What the judge's best came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// A choice that is better than what was known, and its worth; `None` if none was met.
    pub better: Option<(Choice, f64)>,
    /// No choice is worth more than this.
    pub bound: f64,
    /// Choices that the judge was asked about.
    pub asked: usize,
}

/// Says what a choice, its columns and counts, is worth.
pub type Judge<'j> = dyn FnMut(&[(usize, usize)]) -> f64 + 'j;

/// Asks a judge about every choice that may be worth more than what is known, from the highest
/// ceilings on, at most so many times.
///
/// The values of the problem's columns are the ceilings: they must not depend on its level. A choice
/// that is worth at most `proof` more than the best need not be found.
#[must_use]
pub fn judge_all(
    problem: &Problem,
    known: f64,
    judge: &mut Judge<'_>,
    most_asked: usize,
    effort: Effort,
) -> Judged {
    let ceiling = maximise(problem, &[], &NoMoves, Effort { tie_nodes: 0, ..effort }).bound;
    let mut judged = Judged { better: None, bound: ceiling, asked: 0 };
    let mut best = known;
    let loads = Loads::new(problem);
    let mut worths: BTreeMap<Choice, f64> = BTreeMap::new();
    let mut steps = effort.steps;
    for part in THRESHOLDS {
        let least = |best: f64| best + effort.proof * best.abs();
        let threshold = least(best) + part * (ceiling - least(best));
        if threshold >= judged.bound {
            continue;
        }
        let whole = match Node::root(problem).relax(problem, &loads, threshold) {
            None => true,
            Some(relaxed) => {
                let finish = Finish {
                    problem,
                    rows: &relaxed.rows,
                    candidates: relaxed.above(threshold),
                    limits: None,
                    watch: effort.watch,
                };
                let end = finish.run(threshold, &mut steps, &mut |choice, _| {
                    let above = threshold.max(least(best));
                    if loads.closed_gate(choice).is_some() || worths.contains_key(choice) {
                        return Reply::Seek { above, limits: None };
                    }
                    if worths.len() == most_asked {
                        return Reply::Stop;
                    }
                    let worth = judge(choice);
                    worths.insert(choice.to_vec(), worth);
                    if worth > best {
                        best = worth;
                        judged.better = Some((choice.to_vec(), worth));
                    }
                    Reply::Seek { above: threshold.max(least(best)), limits: None }
                });
                end == End::Complete
            }
        };
        if !whole {
            break;
        }
        judged.bound = judged.bound.min(threshold.max(least(best)));
    }
    judged.bound = judged.bound.max(best);
    judged.asked = worths.len();
    judged
}

#[cfg(test)]
mod tests {
    use super::super::{Column, Rate, Row, Sense};
    use super::*;

    /// Four columns with ceilings 5, 4, 3 and 2, of which at most three may be taken.
    fn problem() -> Problem<'static> {
        let column = |ceiling: f64| Column {
            uses: vec![(0, 1.0)],
            rate: Rate::new(vec![(1.0, ceiling)]),
            cost: 0.0,
            size: 1,
            least_moves: 0,
        };
        Problem {
            columns: [5.0, 4.0, 3.0, 2.0].map(column).to_vec(),
            rows: vec![Row { name: "places", sense: Sense::AtMost, rhs: 3.0 }],
            gates: Vec::new(),
            levels: (1.0, 1.0),
            most_columns: 3,
            most_gross: None,
        }
    }

    /// Worth less than the ceilings wherever different columns meet.
    fn worth(choice: &[(usize, usize)]) -> f64 {
        let sum: f64 = choice.iter().map(|&(j, n)| [5.0, 4.0, 3.0, 2.0][j] * n as f64).sum();
        let odd = choice.iter().filter(|&&(j, _)| j == 0).count() as f64;
        sum - 4.0 * odd
    }

    #[test]
    fn the_judge_s_best_is_found_and_proven_where_he_may_be_asked_enough() {
        let judged = judge_all(&problem(), 0.0, &mut worth, 1000, Effort::default());
        let (choice, value) = judged.better.expect("something is better than nothing");
        assert_eq!((choice, value), (vec![(1, 3)], 12.0));
        assert!((12.0..=12.0 * 1.002).contains(&judged.bound), "{}", judged.bound);
    }

    #[test]
    fn with_few_questions_the_ceiling_stays_as_a_bound() {
        let judged = judge_all(&problem(), 0.0, &mut worth, 1, Effort::default());
        assert_eq!(judged.asked, 1);
        assert!(judged.bound >= 12.0 && judged.bound <= 15.0 + 1e-9);
        let known = judge_all(&problem(), 15.0, &mut worth, 0, Effort::default());
        assert_eq!((known.better, known.asked, known.bound), (None, 0, 15.0));
    }
}
