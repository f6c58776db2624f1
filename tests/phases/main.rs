//! An upgrade in steps: against trying every way, against `advise`, and what it says.

#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "../support/suns.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod suns;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

mod answers;
mod energy;
mod every_way;
mod exhaustive;
mod golden;
mod several;
mod shown;
mod stopped;
