//! "Adds nothing" and "would help" against trying every wiring.
//!
//! Half of the sites are built so that a spare should add nothing: a small odd panel beside two or
//! three strong ones on a combiner that is full.

#[path = "support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use random::Random;
use sites::{AT, charge, random_site, try_all};
use sungraft::model::{ArrayWiring, Element, Installation, KindIdx, PanelString, Spare};
use sungraft::plan::{Help, Rule, SpareAnswer, Touch, Verdict};
use sungraft::planner::{Options, advise};
use sungraft::units::{Amps, Volts, Watts};

/// Proof gap of the optimiser: verdicts may differ by no more.
const PROOF: f64 = 1e-3;

/// A site of strong panels, its combiner full, with one small panel left over.
fn site_for_nothing(rng: &mut Random) -> Installation {
    let mut site = random_site(rng, 1);
    let strong = &mut site.kinds[0].label;
    strong.i_mp = Amps(8.0 + rng.between(0.0, 2.0));
    strong.i_sc = strong.i_mp * 1.06;
    strong.p_mp = strong.v_mp * strong.i_mp;
    let mut weak = site.kinds[0].clone();
    weak.id = "weak".to_owned();
    weak.label.i_mp = Amps(rng.between(1.0, 3.5));
    weak.label.i_sc = weak.label.i_mp * 1.06;
    weak.label.v_mp = Volts(rng.between(15.0, 32.0));
    weak.label.v_oc = weak.label.v_mp * 1.225;
    weak.label.p_mp = weak.label.v_mp * weak.label.i_mp;
    site.kinds.push(weak);
    let string = PanelString::new(vec![Element::single(KindIdx(0)); 1 + rng.below(2)]);
    site.installed[0].array = ArrayWiring { strings: vec![string] };
    site.controllers[0].string_ports = 1;
    site.spares = vec![Spare { kind: KindIdx(1), count: 1, price: None, places: Vec::new() }];
    site
}

fn with_spares(site: &Installation, kind: KindIdx, count: usize) -> Installation {
    let mut changed = site.clone();
    changed.spares.retain(|s| s.kind != kind);
    if count > 0 {
        changed.spares.push(Spare { kind, count, price: None, places: Vec::new() });
    }
    changed
}

fn best(site: &Installation) -> f64 {
    try_all(site, Touch::Free, Rule::Curve).map_or(0.0, |b| b.charged.max(0.0))
}

fn panels_of(site: &Installation) -> impl Iterator<Item = KindIdx> + '_ {
    let spares = site.spares.iter().flat_map(|s| std::iter::repeat_n(s.kind, s.count));
    site.installed[0].array.panels().chain(spares)
}

/// The site after a change that was said to help, where it can be tried by brute force.
fn after(site: &Installation, spare: &SpareAnswer, help: &Help) -> Option<Installation> {
    let mut changed = site.clone();
    match help.change {
        "more_of_it" => {
            let words = &help.words;
            let all: usize = words
                .split_whitespace()
                .filter_map(|w| w.trim_end_matches(',').parse().ok())
                .next_back()
                .expect("the words end with how many there are in all");
            changed = with_spares(site, spare.kind, all);
        }
        "one_more_port" => changed.controllers[0].string_ports += 1,
        "larger_blocks" => changed.site.block_max += 1,
        "blocking_diodes" => changed.controllers[0].blocking_diodes = true,
        _ => return None,
    }
    (panels_of(&changed).count() <= 6).then_some(changed)
}

/// Holds one spare's answer against trying everything; returns how many claims were tried.
fn hold(site: &Installation, spare: &SpareAnswer, case: &str) -> usize {
    let kind = spare.kind;
    let whole = best(site);
    let without = best(&with_spares(site, kind, 0));
    let slack = PROOF * whole.abs().max(1.0) + 1e-6;
    if spare.used > 0 {
        return 0;
    }
    assert!(
        matches!(spare.verdict, Verdict::AddsNothing | Verdict::Breaches),
        "{case}: nothing is used, yet {:?}",
        spare.verdict
    );
    assert!(
        whole <= without + slack,
        "{case}: said to add nothing, yet brings {:.3} W charged",
        whole - without
    );
    assert!(!spare.because.is_empty() && !spare.would_help.is_empty(), "{case}: no reason given");
    let mut tried = 0;
    for help in &spare.helps {
        let Some(changed) = after(site, spare, help) else { continue };
        let gain = best(&changed) - best(&with_spares(&changed, kind, 0));
        let unlocks = help.unlocks.watts();
        // Watts of the two best wirings differ by no more than their charged watts and all charges.
        let charges: f64 = panels_of(&changed).map(|k| charge(changed.kind(k))).sum();
        assert!(
            gain >= unlocks - charges - 2.0 * slack,
            "{case}: `{}` was said to bring {unlocks:.2} W, but brings {gain:.3} W charged",
            help.words
        );
        assert!(unlocks >= charge(site.kind(kind)) - 1e-6, "{case}: {help:?}");
        // Only where the claim is larger than all charges can the line above fail.
        tried += usize::from(unlocks > charges + 2.0 * slack);
    }
    tried
}

fn hold_all(site: &Installation, case: &str) -> (usize, usize) {
    let options = Options { touch: vec![Touch::Free], ..Options::default() };
    let advice = advise(site, &options).expect("plans pass the audit");
    assert_eq!(advice.planned, AT);
    let nothing = advice.spares.iter().filter(|s| s.used == 0).count();
    (advice.spares.iter().map(|s| hold(site, s, case)).sum(), nothing)
}

#[test]
fn every_adds_nothing_is_true_and_every_help_lifts_it_on_sites_built_for_nothing() {
    let (mut claims, mut nothings) = (0, 0);
    for seed in 0..150 {
        let mut rng = Random::seeded(40_000 + seed);
        let site = site_for_nothing(&mut rng);
        let (c, n) = hold_all(&site, &format!("built for nothing, seed {seed}"));
        claims += c;
        nothings += n;
    }
    assert!(nothings >= 75 && claims >= 40, "only {nothings} nothings, {claims} claims tried");
}

#[test]
fn every_adds_nothing_is_true_and_every_help_lifts_it_on_random_sites() {
    let (mut claims, mut nothings) = (0, 0);
    for seed in 0..150 {
        let mut rng = Random::seeded(50_000 + seed);
        let site = random_site(&mut rng, 2 + (seed as usize) % 3);
        let (c, n) = hold_all(&site, &format!("random, seed {seed}"));
        claims += c;
        nothings += n;
    }
    assert!(nothings >= 20 && claims >= 10, "only {nothings} nothings, {claims} claims tried");
}

#[test]
fn worth_never_falls_with_more_panels_and_its_ends_are_the_best_with_and_without() {
    for seed in 0..60 {
        let mut rng = Random::seeded(60_000 + seed);
        let site = random_site(&mut rng, 4);
        let options = Options { touch: vec![Touch::Free], ..Options::default() };
        let advice = advise(&site, &options).expect("plans pass the audit");
        for spare in &advice.spares {
            let charged = |n: usize| best(&with_spares(&site, spare.kind, n));
            for (n, point) in spare.worth.iter().enumerate() {
                assert_eq!(point.panels, n);
                let brute = charged(n);
                let slack = PROOF * brute.abs().max(1.0) + 1e-6;
                // A worth point counts whole watts: at least the charged watts of the best.
                assert!(
                    point.watts >= Watts(brute - slack) && point.bound >= Watts(brute - 1e-6),
                    "seed {seed}, {n} panels: {point:?}, brute force {brute:.3}"
                );
            }
        }
    }
}
