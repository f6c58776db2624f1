//! Integer finish: the best choice by fixed values, by branching on columns.
//!
//! At each step a small linear program over what is left of the rows bounds what can still be won,
//! and its prices rule columns out. Where few columns are left, [`super::depth_first`] tries them all.
//! Deterministic; exact unless the step limit is reached, which then leaves the bound open.

use std::borrow::Cow;

use super::depth_first::Affordable;
use super::linear::{fence, most_weight};
use super::problem::{Choice, Problem, Row, Sense, slack};
use super::simplex::Simplex;
use super::watch::Watch;

/// What a linear program costs at least, in steps of the depth-first search, and how many entries
/// are priced in the time of one step.
const STEPS_PER_PROGRAM: usize = 50;
const PRICED_PER_STEP: usize = 40;
/// Pivots that a program needs as a rule.
const FEW_PIVOTS: usize = 5;
/// Pivots per row after which a program's prices are taken as they are.
const PIVOTS_PER_ROW: usize = 12;

/// One column that may still be taken.
#[derive(Debug, Clone)]
pub(super) struct Candidate<'a> {
    /// Index in the problem.
    pub column: usize,
    /// Its value in this interval.
    pub value: f64,
    /// Row (of this node) and coefficient.
    pub uses: Cow<'a, [(usize, f64)]>,
    /// Reduced cost, at most zero.
    pub reduced: f64,
}

/// What the caller says to a choice that was found.
pub(super) enum Reply {
    /// Go on: only choices worth more than this, within these limits, matter from now on.
    Seek { above: f64, limits: Option<Limits> },
    /// Enough.
    Stop,
}

/// Told choices worth more than the threshold, and their value by the candidates.
pub(super) type Found<'f> = dyn FnMut(&[(usize, usize)], f64) -> Reply + 'f;

/// Limits on what a choice adds up to besides its rows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Limits {
    /// Most of size.
    pub size: f64,
    /// Most of the moves that columns need at least.
    pub least_moves: f64,
}

/// How the search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// Every choice above the threshold was seen.
    Complete,
    /// The step limit came first.
    StepLimit,
    /// The caller said stop.
    Stopped,
}

/// What is to be searched.
pub(super) struct Finish<'a> {
    pub problem: &'a Problem<'a>,
    pub rows: &'a [Row],
    pub candidates: &'a [Candidate<'a>],
    /// Limits besides the rows, if there are any.
    pub limits: Option<Limits>,
    /// Where the search is told to stop.
    pub watch: Watch,
}

/// A search under way: what has been taken, and what is left.
pub(super) struct Walk<'a, 'f> {
    finish: &'a Finish<'a>,
    program: Simplex,
    /// No choice is worth less than this below zero.
    most_worth: f64,
    /// Left of each row (of ceilings with rounding), of the places, and of the limits besides.
    left: Vec<f64>,
    /// By how much an equality may be missed; zero for all else.
    rounding: Vec<f64>,
    /// For each candidate the rows that limit it, with its coefficients: those in which no candidate
    /// has a negative one, so that what is used of them stays used.
    limits: Vec<Vec<(usize, f64)>>,
    taken: Vec<(usize, usize)>,
    pub value: f64,
    pub threshold: f64,
    pub steps: &'a mut usize,
    found: &'a mut Found<'f>,
}

/// What a linear program costs, in steps of the depth-first search.
fn program_steps(n_columns: usize, n_rows: usize, n_pivots: usize) -> usize {
    STEPS_PER_PROGRAM + n_columns * n_rows * n_pivots / PRICED_PER_STEP
}

impl Finish<'_> {
    /// Calls `found` with every choice worth more than the threshold, some of them twice, until
    /// there are no steps left.
    pub(super) fn run(&self, threshold: f64, steps: &mut usize, found: &mut Found<'_>) -> End {
        if *steps < program_steps(self.candidates.len(), self.rows.len() + 1, FEW_PIVOTS) {
            return End::StepLimit;
        }
        let mut senses: Vec<Sense> = self.rows.iter().map(|r| r.sense).collect();
        let (mut left, mut rounding): (Vec<f64>, Vec<f64>) = self
            .rows
            .iter()
            .map(|row| match row.sense {
                Sense::AtMost => (row.rhs + slack(row.rhs), 0.0),
                Sense::Exactly => (row.rhs, slack(row.rhs)),
                Sense::Soft => (row.rhs, 0.0),
            })
            .unzip();
        let besides = self.limits.map(|l| [l.size, l.least_moves]);
        for limit in
            std::iter::once(self.problem.most_columns as f64).chain(besides.into_iter().flatten())
        {
            senses.push(Sense::AtMost);
            left.push(limit);
            rounding.push(0.0);
        }
        let weights = self.candidates.iter().map(|c| most_weight(c.value, &c.uses, self.rows));
        let (most_worth, fence) = fence(weights, self.problem.most_columns);
        let mut program = Simplex::new(senses.clone(), fence);
        let mut only_used: Vec<bool> = senses.iter().map(|s| *s != Sense::Soft).collect();
        let mut dense = vec![0.0; left.len()];
        for candidate in self.candidates {
            dense.fill(0.0);
            candidate.uses.iter().for_each(|&(i, a)| dense[i] += a);
            dense[self.rows.len()] = 1.0;
            if self.limits.is_some() {
                let column = &self.problem.columns[candidate.column];
                dense[self.rows.len() + 1] = column.size as f64;
                dense[self.rows.len() + 2] = column.least_moves as f64;
            }
            only_used.iter_mut().zip(&dense).for_each(|(only, a)| *only &= *a >= 0.0);
            program.add(candidate.value, &dense);
        }
        let limits = (0..self.candidates.len())
            .map(|c| {
                let uses = program.column(c).iter().copied().enumerate();
                uses.filter(|&(i, a)| a > 0.0 && only_used[i]).collect()
            })
            .collect();
        let mut walk = Walk {
            finish: self,
            program,
            most_worth,
            left,
            rounding,
            limits,
            taken: Vec::new(),
            value: 0.0,
            threshold,
            steps,
            found,
        };
        match walk.report() {
            End::Complete => walk.branch((0..self.candidates.len()).collect()),
            end => end,
        }
    }
}

impl Walk<'_, '_> {
    /// Seeks among all choices that add some of the active candidates to what is taken.
    fn branch(&mut self, mut active: Vec<usize>) -> End {
        loop {
            active.retain(|&c| self.fits(c));
            if active.is_empty() {
                return End::Complete;
            }
            let few = *self.steps < program_steps(active.len(), self.left.len(), FEW_PIVOTS);
            if few || self.finish.watch.is_stopped() {
                return End::StepLimit;
            }
            let Some((bound, affordable)) = self.bound(&active) else { return End::Complete };
            let next = self.next_column(&affordable);
            match self.try_all(bound, &affordable) {
                End::StepLimit => {}
                end => return end,
            }
            active = affordable.iter().map(|a| a.candidate).collect();
            active.sort_unstable();
            self.take(next, 1);
            let mut end = self.report();
            if end == End::Complete {
                end = self.branch(active.clone());
            }
            self.put_back(next, 1);
            if end != End::Complete {
                return end;
            }
            active.retain(|&c| c != next);
        }
    }

    /// Bound on all choices with the active candidates, and those that one above the threshold may
    /// contain, by falling reduced cost; `None` if there is no such choice.
    fn bound(&mut self, active: &[usize]) -> Option<(f64, Vec<Affordable>)> {
        let m = self.left.len();
        self.program.start(&self.left);
        let pivots = self.program.climb(active, PIVOTS_PER_ROW * m);
        *self.steps = self.steps.saturating_sub(program_steps(active.len(), m, pivots));
        let mut prices = self.program.prices().to_vec();
        self.program.mend_prices(&mut prices);
        let mut affordable: Vec<Affordable> = active
            .iter()
            .map(|&candidate| Affordable {
                candidate,
                reduced: self.program.reduced(candidate, &prices),
            })
            .collect();
        let place = self.finish.rows.len();
        let over = affordable.iter().map(|a| a.reduced).fold(0.0, f64::max);
        prices[place] += over;
        let limits = self.left.iter().zip(&self.rounding);
        let at_prices: f64 =
            prices.iter().zip(limits).map(|(y, (b, rounding))| y * b + y.abs() * rounding).sum();
        let bound = self.value + at_prices;
        if bound <= self.threshold || bound < -(1.0 + 1e-6) * self.most_worth {
            return None;
        }
        affordable.iter_mut().for_each(|a| a.reduced -= over);
        affordable.retain(|a| bound + a.reduced > self.threshold);
        affordable
            .sort_by(|a, b| b.reduced.total_cmp(&a.reduced).then(a.candidate.cmp(&b.candidate)));
        (!affordable.is_empty()).then_some((bound, affordable))
    }

    /// The column to branch on: the one whose amount in the linear program is farthest from whole.
    fn next_column(&self, affordable: &[Affordable]) -> usize {
        let mut best = (0.0, affordable[0].candidate);
        for (candidate, amount) in self.program.amounts() {
            let part = amount - amount.floor();
            let odd = part.min(1.0 - part) + 1e-6 * amount;
            if odd > best.0 && affordable.iter().any(|a| a.candidate == candidate) {
                best = (odd, candidate);
            }
        }
        best.1
    }

    /// Does what is left allow one more of a candidate?
    fn fits(&self, candidate: usize) -> bool {
        self.limits[candidate].iter().all(|&(i, a)| a <= self.left[i] + self.rounding[i])
    }

    /// How many of a candidate what is left allows. A row that others may give back to limits nothing.
    pub(super) fn most_of(&self, candidate: usize) -> usize {
        if !self.fits(candidate) {
            return 0;
        }
        // The places are among the limits.
        let most = self.limits[candidate]
            .iter()
            .map(|&(i, a)| (self.left[i] + self.rounding[i]) / a)
            .fold(f64::INFINITY, f64::min);
        most as usize
    }

    pub(super) fn take(&mut self, candidate: usize, n: usize) {
        self.shift(candidate, n as f64);
        self.taken.push((candidate, n));
    }

    pub(super) fn put_back(&mut self, candidate: usize, n: usize) {
        self.shift(candidate, -(n as f64));
        self.taken.pop();
    }

    fn shift(&mut self, candidate: usize, n: f64) {
        let uses = self.program.column(candidate);
        self.left.iter_mut().zip(uses).for_each(|(left, a)| *left -= a * n);
        self.value += self.finish.candidates[candidate].value * n;
    }

    /// Tells the caller of what is taken, if it is allowed and worth more than the threshold.
    pub(super) fn report(&mut self) -> End {
        let rows = self.finish.rows;
        // Sums that were taken and put back may have lost a little; the exact check follows.
        let kept = rows.iter().zip(&self.left).all(|(row, left)| match row.sense {
            Sense::AtMost => *left >= -0.1 * slack(row.rhs),
            Sense::Exactly => left.abs() <= 1.1 * slack(row.rhs),
            Sense::Soft => true,
        });
        let value = self.value - self.over();
        if !kept || value <= self.threshold || self.left[rows.len()..].iter().any(|l| *l < 0.0) {
            return End::Complete;
        }
        let candidates = self.finish.candidates;
        let mut choice = Choice::new();
        for &(c, n) in &self.taken {
            let column = candidates[c].column;
            match choice.iter_mut().find(|(j, _)| *j == column) {
                Some((_, m)) => *m += n,
                None => choice.push((column, n)),
            }
        }
        choice.sort_unstable();
        if !self.finish.problem.keeps_rows(&choice) {
            return End::Complete;
        }
        match (self.found)(&choice, value) {
            Reply::Seek { above, limits } => {
                self.threshold = above;
                if let Some(limits) = limits {
                    self.limit(&limits);
                }
                End::Complete
            }
            Reply::Stop => End::Stopped,
        }
    }

    /// What soft rows are exceeded by, which counts for nothing.
    fn over(&self) -> f64 {
        let soft = |(row, left): (&Row, &f64)| match row.sense {
            Sense::Soft => (-left).max(0.0),
            Sense::AtMost | Sense::Exactly => 0.0,
        };
        self.finish.rows.iter().zip(&self.left).map(soft).sum()
    }

    /// Lowers the limits besides the rows.
    fn limit(&mut self, limits: &Limits) {
        let columns = &self.finish.problem.columns;
        let (mut size, mut least_moves) = (0, 0);
        for &(c, n) in &self.taken {
            let column = &columns[self.finish.candidates[c].column];
            size += column.size * n;
            least_moves += column.least_moves * n;
        }
        if let [.., left_of_size, left_of_moves] = self.left.as_mut_slice() {
            *left_of_size = limits.size - size as f64;
            *left_of_moves = limits.least_moves - least_moves as f64;
        }
    }
}
