//! Several inputs planned together, held against every way to share panels out among them, and
//! against one integer program over all inputs.

#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

mod controllers;
mod exhaustive;
mod grid;
mod kept;
mod large;
mod two;
