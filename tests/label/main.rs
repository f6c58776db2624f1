//! A label from meter readings: how often the band holds, what is refused, what is said.

#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;

mod answers;
mod coverage;
mod estimate;
mod mistakes;
