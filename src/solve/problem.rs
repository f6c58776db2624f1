//! What is to be solved.

use super::Solution;
use super::rate::{Peak, Rate, on_line, vertex};

/// Parts into which the range of levels is cut, to rule most of them out at once.
const CUTS: usize = 48;

/// Columns taken and how many of each: ascending columns, counts above zero.
pub type Choice = Vec<(usize, usize)>;

/// A kind of thing of which a whole number may be taken.
#[derive(Debug, Clone)]
pub struct Column {
    /// Row index and coefficient, coefficients not zero.
    pub uses: Vec<(usize, f64)>,
    /// Rate over the level.
    pub rate: Rate,
    /// Fixed cost of each one taken.
    pub cost: f64,
    /// Size of each one taken: of near-equal choices the smallest wins.
    pub size: usize,
    /// Moves that each one taken needs at least.
    pub least_moves: usize,
}

/// Is a row a ceiling or to be met exactly?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// `Σ a x ≤ b`
    AtMost,
    /// `Σ a x = b`
    Exactly,
    /// `Σ a x ≤ b + o` for any `o ≥ 0`, each unit of which costs one. A search makes such a row of
    /// [`Problem::most_gross`]; the rows of a problem are of the other sorts.
    Soft,
}

/// One row, named after the rule it enforces.
#[derive(Debug, Clone)]
pub struct Row {
    /// The rule.
    pub name: &'static str,
    /// Ceiling or equality.
    pub sense: Sense,
    /// Right-hand side; below zero it forces something.
    pub rhs: f64,
}

/// A rule that depends on the weakest column taken.
///
/// Every column has a key (infinite where the rule does not concern it). A choice is allowed if, at
/// θ = the smallest key among the columns taken, `Σ load(j, θ)·x_j ≤ cap(θ)`. The rule must be monotone:
/// a choice allowed at θ would be allowed at every larger θ. Then branching is sound: either no column
/// with a key up to θ is taken, or the row `Σ load(j, θ)·x_j ≤ cap(θ)` holds.
pub trait Gate {
    /// The rule's name.
    fn name(&self) -> &'static str;
    /// Key of a column.
    fn key(&self, column: usize) -> f64;
    /// Load of one of a column at a key.
    fn load(&self, column: usize, key: f64) -> f64;
    /// Most load allowed at a key.
    fn cap(&self, key: f64) -> f64;
}

/// Settles near-equal choices: fewest of size, then fewest moves; may also cap the moves.
pub trait TieBreak {
    /// Moves that a choice (`(column, count)`, ascending columns) needs.
    fn moves(&self, choice: &[(usize, usize)]) -> usize;

    /// Most moves that a choice may need; `None`: any number.
    ///
    /// Moves belong to a whole choice, so no row states this cap exactly. Rows that follow from it
    /// make the search shorter; each choice that it meets is held against the cap itself.
    fn most_moves(&self) -> Option<usize> {
        None
    }

    /// Does a choice need more moves than `most`?
    fn exceeds(&self, choice: &[(usize, usize)], most: usize) -> bool {
        self.moves(choice) > most
    }
}

/// No choice needs any moves: size alone settles near-ties.
#[derive(Debug, Clone, Copy)]
pub struct NoMoves;

impl TieBreak for NoMoves {
    fn moves(&self, _: &[(usize, usize)]) -> usize {
        0
    }
}

/// The whole problem.
pub struct Problem<'a> {
    /// Columns; their order settles what nothing else settles.
    pub columns: Vec<Column>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Gates.
    pub gates: Vec<Box<dyn Gate + 'a>>,
    /// Lowest and highest level.
    pub levels: (f64, f64),
    /// No choice takes more columns than this (counted with multiplicity).
    pub most_columns: usize,
    /// What `t · Σ rate` is above this counts for nothing; costs count in full.
    pub most_gross: Option<f64>,
}

impl Problem<'_> {
    /// Best level and value of a choice; `None` if no level suits all of its columns.
    #[must_use]
    pub fn evaluate(&self, choice: &[(usize, usize)]) -> Option<(f64, f64)> {
        self.evaluate_above(choice, f64::NEG_INFINITY)
    }

    /// The same, or `None` where the value is not above `least`; those are turned down at little cost.
    pub(super) fn evaluate_above(
        &self,
        choice: &[(usize, usize)],
        least: f64,
    ) -> Option<(f64, f64)> {
        let cost: f64 = choice.iter().map(|&(j, n)| self.columns[j].cost * n as f64).sum();
        let (t, gross) = self.best_level(choice, least + cost)?;
        let counted = self.most_gross.map_or(gross, |most| gross.min(most));
        Some((t, counted - cost)).filter(|(_, value)| *value > least)
    }

    /// Level of the highest `t · Σ rate`, and that product; `None` if no level suits all columns or
    /// none can give more than `least`.
    ///
    /// Rates fall, so between two levels nothing is above the higher level times the sum of rates at
    /// the lower: most of the range is ruled out by a few levels, and knots are looked at in the rest.
    fn best_level(&self, choice: &[(usize, usize)], least: f64) -> Option<(f64, f64)> {
        let (lo, hi) = choice
            .iter()
            .fold(self.levels, |(lo, hi), &(j, _)| (lo, hi.min(self.columns[j].rate.last_level())));
        if lo > hi {
            return None;
        }
        let cut = |i: usize| if i == CUTS { hi } else { lo + (hi - lo) * i as f64 / CUTS as f64 };
        let sums: Vec<f64> =
            (0..=CUTS).map(|i| sum_over(choice, |j| self.columns[j].rate.at(cut(i)))).collect();
        let sure = sums.iter().enumerate().map(|(i, sum)| cut(i) * sum).fold(least, f64::max);
        // Rounding must not rule the best out.
        let sure = sure - 1e-12 * sure.abs();
        let mut best: Option<Peak> = None;
        let most = |i: usize| sums[i] * if sums[i] > 0.0 { cut(i + 1) } else { cut(i) };
        for i in (0..CUTS).filter(|i| most(*i) >= sure) {
            let from = best.get_or_insert(Peak { level: cut(i), value: cut(i) * sums[i] });
            self.sweep(choice, (cut(i), cut(i + 1)), from);
        }
        best.map(|peak| (peak.level, peak.value))
    }

    /// Raises a peak to the highest product between two levels, knot by knot.
    fn sweep(&self, choice: &[(usize, usize)], (lo, hi): (f64, f64), peak: &mut Peak) {
        // Knot that ends each column's piece; all knots are levels, so one piece spans each window.
        let mut ends: Vec<usize> = Vec::with_capacity(choice.len());
        let mut levels = vec![lo, hi];
        for &(j, _) in choice {
            let knots = self.columns[j].rate.knots();
            let first = knots.partition_point(|knot| knot.0 <= lo);
            ends.push(first);
            levels.extend(knots[first..].iter().map(|k| k.0).take_while(|t| *t < hi));
        }
        levels.sort_unstable_by(f64::total_cmp);
        levels.dedup();
        for window in levels.windows(2) {
            let (mut from, mut to) = ((window[0], 0.0), (window[1], 0.0));
            for (end, &(j, n)) in ends.iter_mut().zip(choice) {
                let rate = &self.columns[j].rate;
                while rate.knots().get(*end).is_some_and(|knot| knot.0 <= from.0) {
                    *end += 1;
                }
                from.1 += n as f64 * rate.between(*end, from.0);
                to.1 += n as f64 * rate.between(*end, to.0);
            }
            if let Some(top) = vertex(from, to) {
                peak.raise(top, top * on_line(from, to, top));
            }
            peak.raise(to.0, to.0 * to.1);
        }
    }

    /// A choice with its value; `None` if it is empty or breaks a row or a gate.
    #[must_use]
    pub fn weigh(&self, choice: &[(usize, usize)]) -> Option<Solution> {
        let allowed =
            !choice.is_empty() && self.keeps_rows(choice) && self.closed_gate(choice).is_none();
        let (level, value) = self.evaluate(choice).filter(|_| allowed)?;
        Some(Solution { choice: choice.to_vec(), level, value })
    }

    /// Are all rows kept, and are there no more columns than allowed?
    #[must_use]
    pub fn keeps_rows(&self, choice: &[(usize, usize)]) -> bool {
        if choice.iter().map(|&(_, n)| n).sum::<usize>() > self.most_columns {
            return false;
        }
        let mut sums = vec![0.0; self.rows.len()];
        for &(j, n) in choice {
            for &(i, a) in &self.columns[j].uses {
                sums[i] += a * n as f64;
            }
        }
        sums.iter().zip(&self.rows).all(|(sum, row)| match row.sense {
            Sense::AtMost => *sum <= row.rhs + slack(row.rhs),
            Sense::Exactly => (sum - row.rhs).abs() <= slack(row.rhs),
            Sense::Soft => true,
        })
    }

    /// The first gate that forbids a choice, with the key at which it does.
    #[must_use]
    pub fn closed_gate(&self, choice: &[(usize, usize)]) -> Option<(usize, f64)> {
        (0..self.gates.len()).find_map(|g| {
            let gate = &self.gates[g];
            let key = self.weakest_key(g, choice)?;
            let load = sum_over(choice, |j| gate.load(j, key));
            exceeds(load, gate.cap(key)).then_some((g, key))
        })
    }

    /// Smallest key at a gate among the columns taken; `None` if the gate concerns none of them.
    pub(super) fn weakest_key(&self, gate: usize, choice: &[(usize, usize)]) -> Option<f64> {
        let gate = &self.gates[gate];
        let key = choice.iter().map(|&(j, _)| gate.key(j)).fold(f64::INFINITY, f64::min);
        key.is_finite().then_some(key)
    }
}

/// Sum of a figure over all that a choice takes.
pub(super) fn sum_over(choice: &[(usize, usize)], figure: impl Fn(usize) -> f64) -> f64 {
    choice.iter().map(|&(j, n)| n as f64 * figure(j)).sum()
}

/// Is a load above a gate's cap? Twice as lenient as the rows of a search, so that a choice which
/// keeps a gate's row keeps the gate.
pub(super) fn exceeds(load: f64, cap: f64) -> bool {
    load > cap + 2.0 * slack(cap)
}

/// Rounding allowed on a row: a limit met exactly is kept.
pub(super) fn slack(rhs: f64) -> f64 {
    1e-9 * (1.0 + rhs.abs())
}
