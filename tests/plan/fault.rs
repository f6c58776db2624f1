//! `fault_reverse_current` and `string_fuse`.

use sungraft::model::{InputWiring, Installation, Kind, KindIdx};
use sungraft::plan::{Check, CheckRule, Evaluator, FuseNeed, FusePlace, Outcome};
use sungraft::units::Amps;

use crate::build::{alike, check, fit, input, kind, mppt, near, site};

/// A panel of a short-circuit current and a fuse rating, round otherwise.
fn panel(id: &str, i_sc: f64, fuse: Option<f64>) -> Kind {
    let mut kind = kind(id, [40.0, 0.94 * i_sc, 48.0, i_sc]);
    kind.max_fuse = fuse.map(Amps);
    kind
}

fn of_one(i_sc: f64, fuse: Option<f64>) -> Installation {
    site(vec![panel("a", i_sc, fuse)], mppt())
}

fn both(site: &Installation, wiring: &InputWiring) -> Option<(Check, Check)> {
    check(site, wiring, CheckRule::FaultReverseCurrent).zip(check(
        site,
        wiring,
        CheckRule::StringFuse,
    ))
}

#[test]
fn two_strings_of_the_worked_example_need_no_fuse_and_four_need_20_amps() {
    // Worked example on IEC 62548 (secondary): Isc 12.28 A, label 20 A. Two strings: 12.28 A, no;
    // four strings: 36.84 A, yes. With the code's 1.25: 15.35 and 46.05 A.
    let site = of_one(12.28, Some(20.0));
    let (feed, fuse) = both(&site, &alike(2, 3)).expect("two strings");
    near(feed.value.expect("known"), 15.35, 1e-9);
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Pass, Outcome::Pass));
    let (feed, fuse) = both(&site, &alike(4, 3)).expect("four strings");
    near(feed.value.expect("known"), 46.05, 1e-9);
    assert_eq!(feed.limit, Some(20.0));
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Caution, Outcome::Caution));
    // 1.56 × 12.28 = 19.16 A: 20 A is the smallest standard size, and the label allows it.
    assert_eq!((fuse.value, fuse.limit), (Some(20.0), Some(20.0)));
    assert!(fuse.note.contains("20 A in each of strings 1, 2, 3 and 4"), "{}", fuse.note);
}

#[test]
fn three_strings_of_5_amps_feed_12_and_a_half_and_need_no_fuse_at_15() {
    // Isc 5 A, rating 15 A, three strings: 2 × 6.25 = 12.5 A (secondary source on US NEC 690.9).
    let site = of_one(5.0, Some(15.0));
    let (feed, fuse) = both(&site, &alike(3, 2)).expect("three strings");
    near(feed.value.expect("known"), 12.5, 1e-9);
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Pass, Outcome::Pass));
}

#[test]
fn the_lessons_fuse_is_20_amps() {
    // A public training lesson on US NEC 690.8 and 690.9: Isc 11.2 → 14.0 → 17.5 A → 20 A fuse.
    let site = of_one(11.2, Some(20.0));
    let (_, fuse) = both(&site, &alike(4, 2)).expect("four strings");
    assert_eq!((fuse.outcome, fuse.value), (Outcome::Caution, Some(20.0)));
}

#[test]
fn a_rating_met_exactly_needs_no_fuse() {
    // 1.25 × 12 A = 15 A.
    let site = of_one(12.0, Some(15.0));
    let (feed, _) = both(&site, &alike(2, 1)).expect("two strings");
    assert_eq!(feed.outcome, Outcome::Pass);
}

#[test]
fn where_no_standard_size_fits_both_rules_breach_with_the_ends_of_the_empty_range() {
    // Isc 10 A needs 15.6 A, the label allows 15 A; three strings feed 25 A.
    let site = of_one(10.0, Some(15.0));
    let (feed, fuse) = both(&site, &alike(3, 2)).expect("three strings");
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Breach, Outcome::Breach));
    near(fuse.value.expect("known"), 15.6, 1e-9);
    assert_eq!(fuse.limit, Some(15.0));
    assert!(fuse.note.contains("15.6 A") && fuse.note.contains("15.0 A"), "{}", fuse.note);
    // Two strings feed 12.5 A: no fuse needed, so none is missing.
    let (feed, fuse) = both(&site, &alike(2, 2)).expect("two strings");
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Pass, Outcome::Pass));
}

#[test]
fn unequal_strings_are_judged_one_by_one_by_the_sum_of_the_others() {
    // From the rule: 4 A (rating 10 A) beside 6 and 9 A (rating 30 A): the first is fed
    // 1.25 × 15 = 18.75 A, the second 16.25 A, the third 12.5 A.
    let kinds =
        vec![panel("a", 4.0, Some(10.0)), panel("b", 6.0, Some(30.0)), panel("c", 9.0, Some(30.0))];
    let site = site(kinds, mppt());
    let (feed, fuse) = both(&site, &input(&[&[&[2]], &[&[0]], &[&[1]]])).expect("three strings");
    assert_eq!((feed.string, feed.outcome), (Some(1), Outcome::Caution));
    near(feed.value.expect("known"), 18.75, 1e-9);
    // 1.56 × 4 = 6.24 A → 8 A, for string 2 alone.
    assert_eq!((fuse.string, fuse.value), (Some(1), Some(8.0)));
    assert!(fuse.note.ends_with("fuses needed are 8 A in string 2"), "{}", fuse.note);
}

#[test]
fn one_string_is_not_checked_unless_a_block_feeds_itself() {
    let site = of_one(10.0, Some(15.0));
    assert_eq!(both(&site, &alike(1, 4)), None);
    // Three in a block: the mates of each feed 1.25 × 20 = 25 A, above 15 A, and 15.6 A > 15 A.
    let (feed, fuse) = both(&site, &input(&[&[&[0, 0, 0], &[0]]])).expect("a block");
    near(feed.value.expect("known"), 25.0, 1e-9);
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Breach, Outcome::Breach));
    assert!(feed.note.contains("in a block"), "{}", feed.note);
    // Two: 12.5 A, safe; and the single panel of the only string is fed by nobody.
    let (feed, _) = both(&site, &input(&[&[&[0, 0], &[0]]])).expect("a block");
    assert_eq!(feed.outcome, Outcome::Pass);
}

#[test]
fn a_panel_of_a_block_needs_a_fuse_of_its_own() {
    // Isc 5 A, rating 15 A: 1.56 × 5 = 7.8 → 8 A. Block of two beside two strings: 12.5 + 6.25 A.
    let site = of_one(5.0, Some(15.0));
    let (feed, fuse) = both(&site, &input(&[&[&[0, 0]], &[&[0]], &[&[0]]])).expect("strings");
    near(feed.value.expect("known"), 18.75, 1e-9);
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Caution, Outcome::Caution));
    // The single strings are fed 1.25 × 15 = 18.75 A too, and need a string fuse of 8 A.
    assert!(fuse.note.contains("8 A in each of strings 2 and 3"), "{}", fuse.note);
    assert!(fuse.note.contains("8 A on each a in a block of string 1"), "{}", fuse.note);
}

#[test]
fn a_string_fuse_carries_the_strongest_element_and_spares_the_weakest_single() {
    // Block of two 5 A panels (10 A) in series with a 10 A panel rated 12 A: the string fuse needs
    // 15.6 A, but the single panel allows 12 A.
    let kinds = vec![panel("pair", 5.0, Some(20.0)), panel("lone", 10.0, Some(12.0))];
    let site = site(kinds, mppt());
    let (_, fuse) = both(&site, &input(&[&[&[0, 0], &[1]], &[&[1]]])).expect("two strings");
    assert_eq!(fuse.outcome, Outcome::Breach);
    near(fuse.value.expect("known"), 15.6, 1e-9);
    assert_eq!(fuse.limit, Some(12.0));
}

#[test]
fn a_missing_rating_is_unknown_and_never_a_pass() {
    let site = of_one(5.0, None);
    let (feed, fuse) = both(&site, &alike(2, 1)).expect("two strings");
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Unknown, Outcome::Unknown));
    near(feed.value.expect("known"), 6.25, 1e-9);
    assert_eq!((feed.limit, fuse.limit), (None, None));
    assert!(feed.note.contains("6.3 A") && feed.note.contains("ask for it"), "{}", feed.note);
}

#[test]
fn a_breach_that_is_known_stands_beside_a_missing_rating() {
    let kinds = vec![panel("silent", 5.0, None), panel("weak", 10.0, Some(8.0))];
    let site = site(kinds, mppt());
    let (feed, fuse) = both(&site, &input(&[&[&[0], &[1]], &[&[1]]])).expect("two strings");
    assert_eq!((feed.outcome, fuse.outcome), (Outcome::Breach, Outcome::Breach));
}

#[test]
fn blocking_diodes_do_not_replace_fuses() {
    let mut site = of_one(10.0, Some(15.0));
    site.controllers[0].blocking_diodes = true;
    let (feed, _) = both(&site, &alike(3, 2)).expect("three strings");
    assert_eq!(feed.outcome, Outcome::Breach);
}

#[test]
fn the_breach_begins_where_all_strings_together_pass_one_figure_of_the_string() {
    // Isc 10 A, rating 15 A, no fuse fits: safe while 1.25 × (S − 10) ≤ 15, so S ≤ 22 A.
    for (other, outcome) in [(12.0, Outcome::Pass), (12.001, Outcome::Breach)] {
        let kinds = vec![panel("a", 10.0, Some(15.0)), panel("b", other, Some(30.0))];
        let site = site(kinds, mppt());
        let (feed, _) = both(&site, &input(&[&[&[0]], &[&[1]]])).expect("two strings");
        assert_eq!(feed.outcome, outcome, "{other} A");
    }
}

fn fuses(site: &Installation, wiring: &InputWiring) -> Vec<FuseNeed> {
    let catalog = fit(site);
    Evaluator::new(site, &catalog).fuses(wiring)
}

#[test]
fn the_fuses_to_buy_are_those_of_the_worked_example_and_of_the_rule_for_blocks() {
    // As above: four strings of Isc 12.28 A and label 20 A need 20 A each, two need none.
    let site = of_one(12.28, Some(20.0));
    assert_eq!(fuses(&site, &alike(2, 3)), []);
    let needs = fuses(&site, &alike(4, 3));
    let found: Vec<_> = needs.iter().map(|n| (n.string, n.place, n.size)).collect();
    assert_eq!(found, (0..4).map(|s| (s, FusePlace::String, Some(Amps(20.0)))).collect::<Vec<_>>());
    // One fuse on each member of a block, none for a string that has no single panel.
    let site = of_one(5.0, Some(15.0));
    let needs = fuses(&site, &input(&[&[&[0], &[0, 0]], &[&[0]], &[&[0]]]));
    let places: Vec<_> = needs.iter().map(|n| (n.string, n.place)).collect();
    let member = |member| FusePlace::Member { element: 1, member };
    let string = FusePlace::String;
    // Isc 10 A of the block's string needs 15.6 A, its single panel is fed 12.5 A: none.
    assert_eq!(places, [(0, member(0)), (0, member(1)), (1, string), (2, string)]);
    assert!(needs.iter().all(|n| n.size == Some(Amps(8.0))), "{needs:?}");
}

#[test]
fn a_missing_rating_and_a_missing_size_are_told_apart() {
    let none_fits = &fuses(&of_one(10.0, Some(15.0)), &alike(3, 2))[0];
    assert_eq!((none_fits.size, none_fits.most), (None, Some(Amps(15.0))));
    assert_eq!(none_fits.unrated, []);
    let unrated = &fuses(&of_one(5.0, None), &alike(2, 2))[0];
    assert_eq!((unrated.size, unrated.most), (None, None));
    assert_eq!(unrated.unrated, [KindIdx(0)]);
    // A rated and an unrated panel in one string: the size by the rated one, the other to ask for.
    let kinds = vec![panel("silent", 5.0, None), panel("weak", 5.0, Some(10.0))];
    let both = fuses(&site(kinds, mppt()), &input(&[&[&[0], &[1]], &[&[1]], &[&[1]]]));
    assert_eq!((both[0].size, both[0].most), (Some(Amps(8.0)), Some(Amps(10.0))));
    assert_eq!(both[0].unrated, [KindIdx(0)]);
}
