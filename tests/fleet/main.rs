//! One stock shared out among customers: held against every way to share it, and what must always hold.

#[path = "../support/fleet.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod fleet;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

mod alone;
mod exhaustive;
mod properties;
mod questions;
