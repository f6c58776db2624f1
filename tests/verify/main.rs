//! Verifying an array after the work: bands, and what is found wrong with it.

mod answers;
mod bad;
mod bands;
mod faults;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
mod simulate;
mod sites;
mod world;
