//! Shares on paper.

use super::*;

fn share(site: usize, value: f64, uses: &[(usize, f64)]) -> Share {
    Share { site, value, uses: uses.to_vec() }
}

#[test]
fn the_price_of_a_row_is_what_one_more_of_it_brings() {
    // One of something for two sites: 5 here, 3 there. One more brings 3.
    let first = vec![share(0, 0.0, &[]), share(1, 0.0, &[])];
    let mut shares = Shares::new(vec![1.0], first, 1e6);
    shares.add(share(0, 5.0, &[(0, 1.0)]));
    shares.add(share(1, 3.0, &[(0, 1.0)]));
    shares.climb(100);
    assert!((shares.value() - 5.0).abs() < 1e-9);
    assert_eq!(shares.prices().len(), 1);
    assert!((3.0..=5.0).contains(&shares.prices()[0]), "{:?}", shares.prices());
    assert_eq!(shares.shares(), [(1, 1.0), (2, 1.0)]);
}

#[test]
fn what_is_forced_is_met_though_it_costs() {
    // At least one of row 0 (uses below zero), which only site 1 has, at a cost.
    let first = vec![share(0, 4.0, &[]), share(1, 2.0, &[])];
    let mut shares = Shares::new(vec![-1.0], first, 1e6);
    shares.add(share(1, -3.0, &[(0, -2.0)]));
    shares.climb(100);
    // Half of each configuration of site 1: 4 + (2 − 3) / 2.
    assert!((shares.value() - 3.5).abs() < 1e-6, "{}", shares.value());
}

#[test]
fn shares_may_be_parts_of_configurations() {
    // Pairs pay 10, single ones nothing; three for two sites: one and a half pairs.
    let first = vec![share(0, 0.0, &[]), share(1, 0.0, &[])];
    let mut shares = Shares::new(vec![3.0], first, 1e6);
    shares.add(share(0, 10.0, &[(0, 2.0)]));
    shares.add(share(1, 10.0, &[(0, 2.0)]));
    shares.climb(100);
    assert!((shares.value() - 15.0).abs() < 1e-9);
    let of_site_0: f64 = shares.shares().iter().filter(|s| s.0 != 1 && s.0 != 3).map(|s| s.1).sum();
    assert!((of_site_0 - 1.0).abs() < 1e-9);
}
