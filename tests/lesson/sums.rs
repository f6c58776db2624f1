//! The worked sums against the nameplate rule's own code, on random wirings.

use sungraft::electrical::{nameplate_array, nameplate_string};
use sungraft::model::{ArrayWiring, Installation};
use sungraft::plan::{BusPlace, LossCause, work_out};
use sungraft::units::{Volts, Watts};

use crate::random::Random;
use crate::sites::random_site;
use crate::wirings::all_wirings;

/// Random wirings of random sites, with what the input can hold.
fn cases(seed: u64) -> Vec<(Installation, ArrayWiring)> {
    let mut rng = Random::seeded(seed);
    let mut cases = Vec::new();
    for _ in 0..300 {
        let n = 1 + rng.below(4);
        let mut site = random_site(&mut rng, n);
        // Labels print rounded watts.
        for kind in &mut site.kinds {
            kind.label.p_mp = Watts(kind.label.p_mp.watts().round());
        }
        let inventory: Vec<usize> = (0..n).map(|_| rng.below(site.kinds.len())).collect();
        let all = all_wirings(&inventory);
        for _ in 0..4 {
            cases.push((site.clone(), all[rng.below(all.len())].clone()));
        }
    }
    cases
}

#[test]
fn the_lost_watts_are_exactly_label_less_nameplate() {
    let mut places = [0; 3];
    let mut causes = [0; 6];
    for (site, array) in cases(31) {
        let (lo, hi) = site.controllers[0].hold_range();
        let sum = work_out(&array, &site.kinds, (lo, hi)).expect("has strings");
        let rule = nameplate_array(&array, &site.kinds, lo, hi).expect("has strings").power();
        let label: f64 = array.panels().map(|k| site.kinds[k.0].label.p_mp.watts()).sum();
        let lost: f64 = sum.losses.iter().map(|l| l.watts.watts()).sum();
        assert!((lost - (label - rule.watts())).abs() < 1e-9, "{lost} W, {label} W, {rule:?}");
        assert!((sum.watts.watts() - rule.watts()).abs() < 1e-12);
        places[sum.place as usize] += 1;
        for loss in &sum.losses {
            let (cause, formula) = formula(&loss.cause);
            causes[cause] += 1;
            if let Some(watts) = formula {
                assert!((watts - loss.watts.watts()).abs() < 1e-9, "{loss:?}");
                assert!(watts > 0.0, "{loss:?}");
            }
        }
    }
    // Every sort of loss and every place of the bus was met.
    assert!(places.iter().all(|n| *n > 20), "{places:?}");
    assert!(causes.iter().all(|n| *n > 20), "{causes:?}");
}

/// What the sentence of a loss tells the reader to multiply, and a number for its sort.
fn formula(cause: &LossCause) -> (usize, Option<f64>) {
    match cause {
        LossCause::Label | LossCause::WeakSun { .. } => (0, None),
        LossCause::InBlock { count, own, held, amps, .. } => {
            (1, Some(*count as f64 * ((*own - *held) * *amps).watts()))
        }
        LossCause::InString { count, own, held, volts, .. } => {
            (2, Some(*count as f64 * (*volts * (*own - *held)).watts()))
        }
        LossCause::OnBus { own, held, amps, .. } => (3, Some(((*own - *held) * *amps).watts())),
        LossCause::AboveWindow { own, held, amps } => (4, Some(((*own - *held) * *amps).watts())),
        LossCause::BelowWindow { own, amps, .. } => (5, Some((*own * *amps).watts())),
    }
}

#[test]
fn each_string_stands_as_the_nameplate_rule_has_it() {
    for (site, array) in cases(32) {
        let hold = (Volts(0.0), Volts(1e4));
        let sum = work_out(&array, &site.kinds, hold).expect("has strings");
        assert_eq!(sum.place, BusPlace::Inside);
        for (string, worked) in array.strings.iter().zip(&sum.strings) {
            let rule = nameplate_string(string, &site.kinds);
            assert_eq!((worked.v, worked.i), (rule.v, rule.i));
            let volts: f64 = worked.elements.iter().map(|e| e.v.volts()).sum();
            let amps = worked.elements.iter().map(|e| e.i.amps()).fold(f64::INFINITY, f64::min);
            assert!((volts - worked.v.volts()).abs() < 1e-9);
            assert_eq!(amps, worked.i.amps());
        }
        let strings: f64 = (0..sum.strings.len()).map(|s| sum.string_watts(s).watts()).sum();
        assert!((strings - sum.watts.watts()).abs() < 1e-9);
    }
}

#[test]
fn nothing_wired_is_nothing_to_work_out() {
    let hold = (Volts(0.0), Volts(100.0));
    assert_eq!(work_out(&ArrayWiring::default(), &[], hold), None);
}
