//! Current pushed into a string while the controller draws nothing.

use super::super::words::tell_apart;
use super::super::{Check, CheckRule, Outcome, Unit};
use super::{Finding, Rating, Wired, above};
use crate::electrical::{Curve, IdleCells, IdleSky, element_i_sc};
use crate::units::Amps;

/// No clause names the idle case: that a panel bears its label's fuse rating backwards is read from
/// the reverse current test behind that figure (IEC 61730-2, from memory: check your edition).
const BASIS: &str = "panel's label, our own reading";

/// Currents into the strings with the bus floating where they sum to zero, under each sky of an idle
/// array; no check for a string alone.
pub(super) fn idle_reverse_current(wired: &Wired) -> Option<Check> {
    if wired.strings.len() < 2 {
        return None;
    }
    let findings: Vec<(usize, Finding)> = if wired.controller.blocking_diodes {
        (0..wired.strings.len()).map(|s| (s, blocked(wired, s))).collect()
    } else {
        let into: Vec<Vec<f64>> = (0..wired.skies.len())
            .map(|sky| {
                currents_into(&wired.strings.iter().map(|s| &s.idle[sky]).collect::<Vec<_>>())
            })
            .collect();
        let worst = |s: usize| {
            let skies = 1..wired.skies.len();
            let sky =
                skies.fold(0, |most, sky| if into[sky][s] > into[most][s] { sky } else { most });
            (into[sky][s], when(wired, wired.skies[sky]))
        };
        (0..wired.strings.len()).map(|s| (s, pushed_into(wired, s, worst(s)))).collect()
    };
    wired.nearest(CheckRule::IdleReverseCurrent, Unit::Amps, findings)
}

/// `at full sun`, `on the coldest morning`, `with the sun square on shed-wall`.
fn when(wired: &Wired, sky: IdleSky) -> String {
    let cold = sky.cells == IdleCells::Cold;
    match sky.square_on.map(|p| &wired.site.sun.planes[p.0].id) {
        None if cold => "on the coldest morning".to_owned(),
        None => "at full sun".to_owned(),
        Some(id) if cold => format!("on the coldest morning, with the sun square on {id},"),
        Some(id) => format!("with the sun square on {id}"),
    }
}

/// Current into each string while all float together; zero for those that give. \[A\]
fn currents_into(strings: &[&Curve]) -> Vec<f64> {
    let v = Curve::in_parallel(strings).v_oc();
    // Equal strings float at one voltage but for the last bits: their picoamps are none.
    let no_dust = |i: f64| if i > 1e-6 { i } else { 0.0 };
    strings.iter().map(|s| no_dust(-s.current_at(v).amps())).collect()
}

/// A blocking diode lets nothing back.
fn blocked(wired: &Wired, s: usize) -> Finding {
    let rating = Rating::of(&wired.array.strings[s], wired.kinds);
    Finding {
        value: Some(0.0),
        limit: rating.lowest,
        outcome: Outcome::Pass,
        basis: BASIS,
        note: "each string has its blocking diode".to_owned(),
        used: 0.0,
    }
}

fn pushed_into(wired: &Wired, s: usize, (value, when): (f64, String)) -> Finding {
    let string = &wired.array.strings[s];
    let rating = Rating::of(string, wired.kinds);
    let own = string
        .elements()
        .iter()
        .map(|e| element_i_sc(e, wired.kinds))
        .reduce(Amps::min)
        .expect("a string has at least one element")
        .amps();
    let pushed = format!("with the controller idle {when} the other strings push");
    let n = s + 1;
    let (outcome, note) = match rating.lowest {
        Some(limit) if above(value, limit) => {
            let (value, limit) = tell_apart(value, limit);
            let note = format!(
                "{pushed} {value} A into string {n}, above the {limit} A that its labels allow"
            );
            (Outcome::Breach, note)
        }
        _ if !rating.complete => {
            let silent = wired.ids(string.panels(), |kind| kind.max_fuse.is_none());
            let beside = if above(value, own) {
                format!(", more than its short-circuit current of {own:.1} A,")
            } else {
                String::new()
            };
            let note = format!(
                "{pushed} {value:.1} A into string {n}{beside} but the label of {silent} gives no \
                 maximum fuse: ask for it"
            );
            (Outcome::Unknown, note)
        }
        _ if above(value, own) => {
            let (value, own) = tell_apart(value, own);
            let note = format!(
                "{pushed} {value} A into string {n}, more than its short-circuit current of {own} A"
            );
            (Outcome::Caution, note)
        }
        _ => (Outcome::Pass, String::new()),
    };
    let used = match (outcome, rating.lowest) {
        (Outcome::Unknown, _) | (_, None) => value,
        (_, Some(limit)) => value / limit,
    };
    Finding { value: Some(value), limit: rating.lowest, outcome, basis: BASIS, note, used }
}
