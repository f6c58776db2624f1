//! Numbers and ids only: choose whole counts of columns so that a value which depends on one shared
//! level is highest, with a proven bound over all levels.
//!
//! Each column j has a falling rate r_j(t) over the level t and a fixed cost c_j. A choice of counts
//! x is worth the most that any level in the range gives:
//!
//! ```text
//! value(x) = max over t of  t · Σ r_j(t)·x_j  −  Σ c_j·x_j
//! ```
//!
//! subject to rows (`Σ a_ij x_j ≤ b_i` or `=`) and gates (see [`Gate`]). At one level the problem is
//! an integer program; over an interval of levels, each column's own best value in the interval gives
//! an integer program whose optimum bounds every choice there. [`maximise`] branches over intervals.
//!
//! Where many such problems draw on one stock, [`master`] shares it out among them.
//!
//! Architecture invariant: solve/ knows no volts, and is the only place that names `good_lp`.

mod branch;
mod depth_first;
mod dominance;
#[cfg(test)]
mod double;
mod finish;
mod judged;
mod linear;
mod loads;
pub mod master;
mod node;
mod problem;
mod program;
mod rate;
#[cfg(test)]
mod second_opinion;
mod simplex;
mod ties;
mod uses;
mod watch;

pub use branch::{Effort, Outcome, Solution, maximise};
#[cfg(test)]
pub(crate) use double::with_broken_search;
pub use judged::{Judge, Judged, judge_all};
pub use problem::{Choice, Column, Gate, NoMoves, Problem, Row, Sense, TieBreak};
pub use program::{Backend, IntegerProgram, ProgramAnswer, solve_program};
pub use rate::Rate;
pub use uses::{Use, list_uses};
pub use watch::{Board, Shown, Watch};
