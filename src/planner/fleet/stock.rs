//! What becomes of each kind of the stock.

use std::collections::{BTreeMap, BTreeSet};

use super::class::Alone;
use super::misses::SiteMiss;
use super::units::Units;
use crate::plan::{CheckRule, NearestMiss, NextBuyer, StockAnswer, Unplaced};

/// One answer for each kind.
pub(super) fn stock_answers(units: &Units, tags: &[usize], prices: &[f64]) -> Vec<StockAnswer> {
    let n_stock = units.shelf.len();
    let mut left: Vec<f64> = units.rows.iter().map(|row| row.limit).collect();
    for (unit, tag) in units.units.iter().zip(tags) {
        units.offer(unit, *tag).uses.iter().for_each(|&(row, n)| left[row] -= n);
    }
    let next = next_buyers(units, tags, &left);
    (0..n_stock)
        .map(|stock| {
            let rest = left[stock].round().max(0.0) as usize;
            StockAnswer {
                stock,
                placed: units.shelf.counts[stock] - rest,
                left: rest,
                shadow: units.price_of_one(stock, prices),
                next: next[stock],
                unplaced: (rest > 0).then(|| unplaced(units, stock)).flatten(),
            }
        })
        .collect()
}

/// For each kind the choice met so far that one more of it would make possible, and that brings most.
fn next_buyers(units: &Units, tags: &[usize], left: &[f64]) -> Vec<Option<NextBuyer>> {
    let mut best: Vec<Option<NextBuyer>> = vec![None; units.shelf.len()];
    for (unit, tag) in units.units.iter().zip(tags) {
        let has = units.offer(unit, *tag);
        let used = |row: usize| has.uses.iter().find(|u| u.0 == row).map_or(0.0, |u| u.1);
        for other in 0..units.n_tags(unit) {
            let offer = units.offer(unit, other);
            let brings = offer.value - has.value;
            if brings <= 1e-9 {
                continue;
            }
            let mut lacking = offer
                .uses
                .iter()
                .map(|&(row, n)| (row, n - used(row) - left[row]))
                .filter(|l| l.1 > 0.5 && units.is_counted(l.0));
            let (Some((row, lack)), None) = (lacking.next(), lacking.next()) else { continue };
            if lack > 1.5 || row >= best.len() {
                continue;
            }
            if best[row].is_none_or(|b| brings > b.brings) {
                best[row] = Some(NextBuyer { customer: unit.customer, brings });
            }
        }
    }
    best
}

/// Why some of a kind are left.
fn unplaced(units: &Units, stock: usize) -> Option<Unplaced> {
    let mut most: Option<(usize, f64)> = None;
    let mut too_little: Option<(usize, f64)> = None;
    let mut misses: Vec<(usize, SiteMiss)> = Vec::new();
    let higher = |known: &mut Option<(usize, f64)>, customer: usize, value: f64| {
        if known.is_none_or(|(_, best)| value > best) {
            *known = Some((customer, value));
        }
    };
    for (unit, part) in units.units.iter().flat_map(|u| u.parts.iter().map(move |p| (u, p))) {
        match units.alone[part.class].get(stock) {
            Some(Alone::Brings(_, value) | Alone::TooLittle(value)) => {
                let value = value - unit.visit;
                let known = if value > 0.0 { &mut most } else { &mut too_little };
                higher(known, unit.customer, value);
            }
            Some(Alone::Breaches(Some(miss))) => misses.push((unit.customer, *miss)),
            Some(Alone::Breaches(None)) | None => {}
        }
    }
    if let Some((customer, brings)) = most {
        return Some(Unplaced::Outdone { customer, brings });
    }
    if let Some((customer, brings)) = too_little {
        return Some(Unplaced::TooLittle { customer, brings });
    }
    nearest(&misses).map(Unplaced::Breaches)
}

/// Of the rule that stands in the way at most sites, the nearest miss.
pub(super) fn nearest(misses: &[(usize, SiteMiss)]) -> Option<NearestMiss> {
    // A site with several inputs counts once.
    let mut sites: BTreeMap<CheckRule, BTreeSet<usize>> = BTreeMap::new();
    for (customer, miss) in misses {
        sites.entry(miss.rule).or_default().insert(*customer);
    }
    // Of rules that stand in the way of as many, the first in order.
    let (rule, n) =
        sites.into_iter().map(|(rule, at)| (rule, at.len())).rev().max_by_key(|(_, n)| *n)?;
    let of_rule = misses.iter().filter(|(_, miss)| miss.rule == rule);
    let (customer, miss) =
        of_rule.reduce(|a, b| if b.1.distance() < a.1.distance() { b } else { a })?;
    Some(NearestMiss {
        rule,
        sites: n,
        customer: *customer,
        value: miss.value,
        limit: miss.limit,
        unit: miss.unit,
    })
}
