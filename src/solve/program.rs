//! An integer program handed to a solver library: a second opinion on the search.
//!
//! The search itself does not ask for it: a library can be told to stop only by the clock, and the
//! same input is to give the same answer.

use good_lp::{
    Expression, ResolutionError, Solution, SolutionStatus, SolverModel, Variable, WithTimeLimit,
    constraint, microlp, variable, variables,
};

use super::problem::{Row, Sense};

/// Seconds after which the library is told to stop; "limit reached" then leaves the bound open.
const TIME_LIMIT_SECONDS: f64 = 10.0;

/// Which library solves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Backend {
    /// Pure Rust, the default.
    Microlp,
    /// HiGHS, behind the feature `highs`.
    #[cfg(feature = "highs")]
    Highs,
}

/// `max Σ value·x`, rows, `x` whole and at least zero.
#[derive(Debug, Clone)]
pub struct IntegerProgram {
    /// Value of each column.
    pub values: Vec<f64>,
    /// Row and coefficient, one list a column.
    pub uses: Vec<Vec<(usize, f64)>>,
    /// The rows.
    pub rows: Vec<Row>,
    /// No column is taken more often than this.
    pub most_each: usize,
}

/// What a library said, rounded to whole numbers and checked against the rows.
#[derive(Debug, Clone, PartialEq)]
pub enum ProgramAnswer {
    /// Optimal counts.
    Optimal(Vec<usize>),
    /// Nothing keeps the rows.
    Infeasible,
    /// A limit was reached, or the answer did not stand the check: nothing is proven.
    Open,
}

/// Solves an integer program with a library.
#[must_use]
pub fn solve_program(program: &IntegerProgram, backend: Backend) -> ProgramAnswer {
    if program.values.is_empty() {
        // Libraries differ about programs without columns.
        let answer = checked(program, &[]);
        return if answer == ProgramAnswer::Open { ProgramAnswer::Infeasible } else { answer };
    }
    let mut vars = variables!();
    let most = program.most_each as f64;
    let x: Vec<Variable> =
        program.values.iter().map(|_| vars.add(variable().integer().min(0.0).max(most))).collect();
    let mut objective = Expression::with_capacity(x.len());
    x.iter().zip(&program.values).for_each(|(v, value)| objective.add_mul(*value, *v));
    let mut sums = vec![Expression::with_capacity(x.len()); program.rows.len()];
    for (v, uses) in x.iter().zip(&program.uses) {
        uses.iter().for_each(|&(i, a)| sums[i].add_mul(a, *v));
    }
    let constraints: Vec<_> = sums
        .into_iter()
        .zip(&program.rows)
        .map(|(sum, row)| match row.sense {
            // What lies above a soft row is no matter of whole counts.
            Sense::AtMost | Sense::Soft => constraint!(sum <= row.rhs),
            Sense::Exactly => constraint!(sum == row.rhs),
        })
        .collect();
    let unsolved = vars.maximise(objective);
    let counts = match backend {
        Backend::Microlp => {
            let mut model = unsolved.using(microlp).with_time_limit(TIME_LIMIT_SECONDS);
            constraints.into_iter().for_each(|c| {
                model.add_constraint(c);
            });
            model.solve().map(|s| proven_counts(&s, &x))
        }
        #[cfg(feature = "highs")]
        Backend::Highs => {
            let mut model = unsolved
                .using(good_lp::highs)
                .set_mip_rel_gap(0.0)
                .expect("zero is a legal gap")
                .with_time_limit(TIME_LIMIT_SECONDS);
            constraints.into_iter().for_each(|c| {
                model.add_constraint(c);
            });
            model.solve().map(|s| proven_counts(&s, &x))
        }
    };
    match counts {
        Ok(Some(counts)) => checked(program, &counts),
        Ok(None) => ProgramAnswer::Open,
        Err(ResolutionError::Infeasible) => ProgramAnswer::Infeasible,
        Err(_) => ProgramAnswer::Open,
    }
}

/// The counts, unless a limit was reached: then they are merely the best seen.
fn proven_counts(solution: &impl Solution, x: &[Variable]) -> Option<Vec<f64>> {
    let proven = match solution.status() {
        SolutionStatus::Optimal => true,
        // No relative gap was allowed, so this is HiGHS at its absolute gap of 1e-6.
        SolutionStatus::GapLimit => true,
        SolutionStatus::TimeLimit => false,
    };
    proven.then(|| x.iter().map(|v| solution.value(*v)).collect())
}

/// Rounds, then holds the counts against the rows: a library's tolerance is not ours.
fn checked(program: &IntegerProgram, counts: &[f64]) -> ProgramAnswer {
    let whole: Vec<usize> = counts.iter().map(|x| x.round().max(0.0) as usize).collect();
    let near = counts.iter().zip(&whole).all(|(x, n)| (x - *n as f64).abs() < 1e-6);
    let mut sums = vec![0.0; program.rows.len()];
    for (n, uses) in whole.iter().zip(&program.uses) {
        uses.iter().for_each(|&(i, a)| sums[i] += a * *n as f64);
    }
    let kept = sums.iter().zip(&program.rows).all(|(sum, row)| {
        let slack = super::problem::slack(row.rhs);
        *sum <= row.rhs + slack && (row.sense != Sense::Exactly || *sum >= row.rhs - slack)
    });
    if near && kept { ProgramAnswer::Optimal(whole) } else { ProgramAnswer::Open }
}
