//! Which search shares the stock out: by branching where the sites are few, to a gap where they are many,
//! and between by branching on from that.

use super::options::FleetOptions;
use super::units::Units;
use crate::solve::master::{
    Aim, CrowdPace, Offer, Pace, SharedOut, Start, share_out, share_out_among_many,
};

/// Up to so many customers the search branches from the beginning.
const FEW: usize = 12;
/// Up to so many it branches in the end if a gap is left that is more than was asked for.
const SOME: usize = 30;
/// Questions for each customer that branching may take.
const ASKS_EACH: usize = 90;
/// Gap at which it ends: for few customers, and as a part of the gap asked for where it goes on.
const CLOSED: f64 = 2e-4;
const CLOSED_PART: f64 = 0.5;

/// Shares the stock out.
pub(super) fn shared_out(units: &mut Units, options: &FleetOptions) -> SharedOut {
    let n = units.units.len();
    if n == 0 {
        return SharedOut::nothing(units.rows.len());
    }
    let offers = units.offers();
    let rows = units.rows.clone();
    let pace = Pace { asks: ASKS_EACH * n, watch: options.watch, ..Pace::default() };
    if n <= FEW && !options.watch.is_stopped() {
        let nothing: Vec<Offer> = offers.iter().map(|offers| offers[0].clone()).collect();
        let start = Start { choices: &[nothing], offers: &offers, ..Start::default() };
        return share_out(units, &rows, start, 0.0, Aim::Most, Pace { closed: CLOSED, ..pace });
    }
    let quick = CrowdPace { gap: options.gap, ..CrowdPace::default() };
    let first = share_out_among_many(units, &rows, &offers, quick);
    let value = first.best.as_ref().map_or(0.0, |best| best.value);
    let gap = (first.bound - value) / value.abs().max(1.0);
    if n > SOME || gap <= options.gap || options.watch.is_stopped() {
        return first;
    }
    let offers = units.offers();
    let of = |tags: &[usize]| -> Vec<Offer> {
        let all = units.units.iter().zip(tags);
        all.map(|(unit, tag)| units.offer(unit, *tag)).collect()
    };
    let choice = first.best.as_ref().map(|best| of(&best.tags)).into_iter().collect::<Vec<_>>();
    let start = Start {
        choices: &choice,
        offers: &offers,
        prices: &first.prices,
        bound: Some(first.bound),
    };
    let pace = Pace { closed: CLOSED_PART * options.gap, ..pace };
    let second = share_out(units, &rows, start, 0.0, Aim::Most, pace);
    SharedOut { bound: second.bound.min(first.bound), asks: first.asks + second.asks, ..second }
}
