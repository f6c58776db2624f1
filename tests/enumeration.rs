//! How many wirings there are: the tests' own exhaustive enumerator against counted figures.
//!
//! Source: computed for this project by an independent Python model; those without blocks are the
//! Bell numbers (OEIS A000110).

#[path = "support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use std::collections::BTreeSet;

use wirings::{LoneBlocks, all_wirings, wirings_of_all, wirings_of_any};

fn n_of_all(inventory: &[usize]) -> usize {
    wirings_of_all(inventory, LoneBlocks::AsStrings).len()
}

#[test]
fn distinct_panels_all_used_have_as_many_wirings_as_counted() {
    let counts: Vec<usize> = (1..=6).map(|n| n_of_all(&(0..n).collect::<Vec<_>>())).collect();
    assert_eq!(counts, [1, 2, 8, 40, 227, 1484]);
}

#[test]
fn any_subset_of_distinct_panels_has_as_many_wirings_as_counted() {
    let counts: Vec<usize> =
        (1..=6).map(|n| all_wirings(&(0..n).collect::<Vec<_>>()).len()).collect();
    assert_eq!(counts, [1, 4, 17, 88, 532, 3642]);
}

#[test]
fn without_blocks_the_counts_are_bell_numbers() {
    let counts: Vec<usize> = (1..=6)
        .map(|n| {
            wirings_of_all(&(0..n).collect::<Vec<_>>(), LoneBlocks::AsStrings)
                .iter()
                .filter(|w| w.strings.iter().all(|s| s.elements().iter().all(|e| !e.is_block())))
                .count()
        })
        .collect();
    assert_eq!(counts, [1, 2, 5, 15, 52, 203]);
}

#[test]
fn like_panels_are_not_told_apart() {
    assert_eq!(n_of_all(&[0, 0, 1]), 6);
    assert_eq!(n_of_all(&[0, 0, 1, 1]), 20);
    assert_eq!(n_of_all(&[0, 0, 0, 1]), 15);
    assert_eq!(n_of_all(&[0, 0, 1, 2]), 27);
}

#[test]
fn every_wiring_is_canonical_and_stands_once() {
    for inventory in [vec![0, 1, 2, 3], vec![2, 0, 2, 1, 0]] {
        for lone in [LoneBlocks::AsStrings, LoneBlocks::Kept] {
            let all = wirings_of_any(&inventory, lone);
            assert!(all.iter().all(|w| *w == w.canonical()));
            assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len());
        }
    }
}

#[test]
fn lone_blocks_kept_two_panels_have_three_wirings() {
    // In series, as two strings, as one block on one port.
    assert_eq!(wirings_of_all(&[0, 1], LoneBlocks::Kept).len(), 3);
}
