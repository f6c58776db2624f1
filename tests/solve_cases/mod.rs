//! Problems for tests and benchmarks of the optimiser.

#![allow(dead_code, unreachable_pub, reason = "each test binary uses its own part")]

pub mod brute;
#[path = "../support/random.rs"]
pub mod random;
pub mod small;
pub mod strings;
