//! Panels on several planes: held against every wiring and every place, against sums by hand, and
//! against what must hold whatever the planes are.

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

#[path = "../support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;

mod by_hand;
mod energy;
mod exhaustive;
mod properties;
mod site;
mod year;
