//! Plans chosen for energy: what the search finds over typical hours, reckoned hour by hour.
//!
//! 1. The plans of most watts are the first wirings of a [`Pool`]; each year there is reckoned hour by
//!    hour, every hour at its own best voltage.
//! 2. The search is asked again, for energy: hours whose output stands at its limit count as much as
//!    they change from today's wiring to the best that is known. Again until nothing new comes.
//! 3. Ceilings bound the energy of all wirings ([`Line`]); where they leave few wirings above the
//!    best, each of them is reckoned too, and the bound closes.

mod ceiling;
mod one;
mod pool;

pub(super) use ceiling::{Line, comparing, proof, season};
pub(super) use pool::Pool;

/// Rounds of the search at one level.
pub(super) const ROUNDS: usize = 3;
/// Wirings at one level that are reckoned to close the bound.
pub(super) const JUDGED: usize = 200;
