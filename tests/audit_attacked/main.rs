//! The optimiser replaced by one that lies: damaged plans against the audit.
//!
//! Honest plans of random sites and of the scenarios are damaged in every way that this folder lists:
//! figures that are wrong (`figures.rs`), limits that are told wrongly (`checks.rs`), wirings that the
//! site does not allow (`unlawful.rs`). The audit must refuse each, and pass the honest ones. That a
//! command goes through the audit is shown where the search itself is replaced, in
//! `src/cli/broken_search.rs`.

#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "../support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "../support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

mod checks;
mod figures;
mod honest;
mod unlawful;

use honest::{Honest, each_honest};
use random::Random;

/// How often a way to damage a plan is tried on each.
const TRIES: u64 = 3;

/// Damages every honest plan in each of some ways and holds the audit to refusing it.
///
/// A way says what it made of a plan: `None` where the plan has nothing that it could damage.
fn refuses_all<W>(ways: &[(&str, W)], least: usize)
where
    W: Fn(&Honest, &mut Random) -> Option<Honest>,
{
    let mut let_through = Vec::new();
    let mut n_damaged = vec![0; ways.len()];
    each_honest(|honest, seed| {
        for (w, (what, way)) in ways.iter().enumerate() {
            for k in 0..TRIES {
                let mut random = Random::seeded(seed * 1000 + w as u64 * 10 + k);
                let Some(damaged) = way(honest, &mut random) else { continue };
                n_damaged[w] += 1;
                if damaged.audit().is_ok() {
                    let_through.push(format!("{}: {what}", honest.name));
                }
            }
        }
    });
    let n: usize = n_damaged.iter().sum();
    let few: Vec<_> =
        ways.iter().zip(&n_damaged).filter(|(_, n)| **n < least).map(|(w, n)| (w.0, n)).collect();
    assert!(few.is_empty(), "hardly tried: {few:?}");
    let_through.dedup();
    let_through.truncate(40);
    assert!(let_through.is_empty(), "let through, of {n}: {let_through:#?}");
}

#[test]
fn honest_plans_pass() {
    let mut n = 0;
    each_honest(|honest, _| {
        if let Err(error) = honest.audit() {
            panic!("{}: {error}", honest.name);
        }
        n += 1;
    });
    assert!(n >= 120, "only {n} plans");
}
