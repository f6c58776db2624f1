//! Labels have tolerances and panels fade: limits at the unsafe end, verdicts at both ends.
//!
//! The break-even ratio used here (0.59 for a third panel in series) is check-tested in
//! `electrical::break_even` against an independent model's figures.

use sungraft::input::read_site;
use sungraft::model::Installation;
use sungraft::plan::{CheckRule, Outcome, SpareAnswer, Verdict};
use sungraft::planner::{Options, advise, check};

/// Two 250 W panels in one string on a full combiner, and a weaker spare of the same voltage.
fn site(spare_amps: f64, band: &str, max_pv_v: f64) -> Installation {
    let text = format!(
        "
site: {{name: test, coldest_c: -10, hottest_c: 30, block_max: 1}}
kinds:
  - {{id: strong, pmax_w: 249.8, vmp_v: 30.1, imp_a: 8.30, voc_v: 37.8, isc_a: 8.90, voc_percent_per_c: -0.33, pmax_percent_per_c: -0.43, max_fuse_a: 15, max_system_v: 1000{band}}}
  - {{id: weak, pmax_w: {:.1}, vmp_v: 30.1, imp_a: {spare_amps:.3}, voc_v: 37.8, isc_a: {:.3}, voc_percent_per_c: -0.33, pmax_percent_per_c: -0.43, max_fuse_a: 15, max_system_v: 1000{band}}}
controllers:
  - {{id: c, type: mppt, battery_v: 24, charge_a: 60, max_pv_v: {max_pv_v}, window_v: [40, {:.0}], max_pv_a: 30, string_ports: 1}}
installed:
  - {{controller: c, input: 1, strings: [[strong, strong]]}}
spares:
  - {{kind: weak, count: 1}}
",
        30.1 * spare_amps,
        1.07 * spare_amps,
        max_pv_v - 2.0,
    );
    read_site("test.yaml", text.as_bytes()).unwrap_or_else(|d| panic!("{d}")).value
}

fn answer(site: &Installation) -> SpareAnswer {
    advise(site, &Options::default()).expect("plans pass the audit").spares.remove(0)
}

#[test]
fn without_a_band_nothing_is_repeated() {
    assert_eq!(answer(&site(5.4, "", 150.0)).certainty, None);
}

#[test]
fn a_verdict_that_flips_inside_the_band_names_the_reading_that_settles_it() {
    // 5.4 A are 0.65 of 8.3 A: worth it; 10 % less and thirty years later they are 0.50: not.
    let spare = answer(&site(5.4, ", tolerance_percent: 10, age_years: 30", 150.0));
    assert_eq!(spare.verdict, Verdict::Adds);
    let certainty = spare.certainty.expect("the label has a band");
    assert!((certainty.low - 0.90 * 0.85).abs() < 1e-12 && (certainty.high - 1.1).abs() < 1e-12);
    assert!(certainty.flips && certainty.adds_low.watts() == 0.0, "{certainty:?}");
    assert!(certainty.adds_high.watts() > spare.adds.watts(), "{certainty:?}");
    assert!(certainty.words.contains("short-circuit current"), "{}", certainty.words);
}

#[test]
fn a_verdict_that_holds_over_the_band_says_so() {
    let spare = answer(&site(8.0, ", tolerance_percent: 3", 150.0));
    let certainty = spare.certainty.expect("the label has a band");
    assert!(!certainty.flips && certainty.adds_low.watts() > 100.0, "{certainty:?}");
}

#[test]
fn limits_are_held_against_the_unsafe_end_of_the_band() {
    // Two at −10 °C: 2 × 37.8 V × (1 + 0.33 % × 35) = 84.3 V; 5 % more are 88.6 V.
    let cold = |band: &str| {
        let checked = check(&site(5.4, band, 87.0)).expect("legal labels");
        let found = checked.state.checks.iter().find(|c| c.rule == CheckRule::ColdVoc).cloned();
        found.expect("every input has its cold voltage")
    };
    let (bare, band) = (cold(""), cold(", tolerance_percent: 5"));
    assert!((bare.value.expect("volts") - 84.33).abs() < 0.01, "{bare:?}");
    assert!((band.value.expect("volts") - 88.55).abs() < 0.01, "{band:?}");
    assert_eq!((bare.outcome, band.outcome), (Outcome::Pass, Outcome::Breach));
}
