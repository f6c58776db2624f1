//! The best way through the phases under one order of controllers, with a bound on all ways.

use super::ground::{Ground, Stand};
use super::nearby::offer_fewer_joints;
use super::path::{Measures, Steps, Way};
use super::together::{Row, only};
use crate::electrical::Catalog;
use crate::model::InputWiring;
use crate::planner::{Failure, Options};
use crate::solve::master::Measure;

/// Rounds of looking around the best way for a better one.
const ROUNDS: usize = 3;

/// What came of an order of controllers.
pub(super) struct Answer {
    pub way: Option<Way>,
    /// No way is worth more.
    pub bound: f64,
    /// Were all ways through the wirings met compared?
    pub compared: bool,
}

/// One order of controllers.
pub(super) struct Campaign<'a> {
    pub catalog: &'a Catalog,
    pub options: &'a Options,
    pub measures: Measures<'a>,
    /// Wirings of today on the inputs that may be rewired.
    pub today: Vec<InputWiring>,
}

impl Campaign<'_> {
    /// Solves; `grounds` are those of the phases, in order. Where the bound is below `floor`, no way
    /// is looked for.
    pub(super) fn solve(
        &self,
        grounds: &mut [&mut Ground],
        steps: &mut Steps,
        floor: Option<f64>,
    ) -> Result<Answer, Failure> {
        let all: Vec<usize> = (0..grounds.len()).collect();
        let rows = [self.kept_rows(&all), self.purse_rows(&all)].concat();
        self.options.effort.watch.doing(|| "planning all phases together".to_owned());
        let shared = self.share_with_bound(grounds, &rows);
        let controllers: f64 = self.measures.money.unwrap_or(0.0) * self.controllers_by(usize::MAX);
        let mut bound = shared - controllers;
        if floor.is_some_and(|floor| bound <= floor) {
            return Ok(Answer { way: None, bound, compared: true });
        }
        let mut way = None;
        let mut compared = true;
        for round in 0..=ROUNDS {
            self.spread(grounds);
            let (found, complete) = self.through(grounds, steps);
            compared = complete;
            let Some(found) = found else { break };
            if way.as_ref().is_some_and(|best: &Way| same(best, &found)) {
                break;
            }
            way = Some(found);
            if round == ROUNDS || self.is_stopped() {
                break;
            }
            let best = way.as_ref().expect("set above");
            self.look_around(grounds, best, bound, round)?;
        }
        if way.is_none() {
            // Each phase by itself, within what the ones before and after leave.
            self.one_by_one(grounds);
            self.spread(grounds);
            (way, compared) = self.through(grounds, steps);
        }
        if let Some(way) = way.as_ref().filter(|way| {
            self.seeks_energy(grounds) && self.gap(way, bound) > self.options.effort.closed
        }) {
            // Lines that touch at the way itself may lie lower.
            let there: Vec<_> = way.stands.iter().map(|stand| stand.wiring.clone()).collect();
            bound = bound.min(self.ceiling(grounds, &rows, &there) - controllers);
        }
        let bound = way.as_ref().map_or(bound, |w| bound.max(w.value));
        Ok(Answer { way, bound, compared })
    }

    pub(super) fn is_stopped(&self) -> bool {
        self.options.effort.watch.is_stopped()
    }

    fn gap(&self, way: &Way, bound: f64) -> f64 {
        ((bound - way.value) / way.value.abs().max(1.0)).max(0.0)
    }

    fn through(&self, grounds: &[&mut Ground], steps: &mut Steps) -> (Option<Way>, bool) {
        let pools: Vec<&[Stand]> = grounds.iter().map(|g| g.stands.as_slice()).collect();
        self.measures.best(&self.today, &pools, steps)
    }

    /// A wiring that is allowed in one phase is allowed in each that has its panels and controllers.
    fn spread(&self, grounds: &mut [&mut Ground]) {
        for from in 0..grounds.len() {
            let stands = grounds[from].stands.clone();
            for to in 0..grounds.len() {
                let alike = grounds[to].lot.in_use == grounds[from].lot.in_use;
                if to != from && alike {
                    stands.iter().for_each(|stand| grounds[to].take(stand));
                }
            }
        }
    }

    /// Wirings near the best way: each phase within what its neighbours leave, and each with fewer
    /// joints after the one before.
    fn look_around(
        &self,
        grounds: &mut [&mut Ground],
        way: &Way,
        bound: f64,
        round: usize,
    ) -> Result<(), Failure> {
        if self.gap(way, bound) > self.options.effort.closed {
            self.between_neighbours(grounds, way);
        }
        if self.measures.joint > 0.0 && round == 0 {
            self.with_all_at_hand(grounds, way)?;
        }
        let mut before = self.today.clone();
        for (t, stand) in way.stands.iter().enumerate() {
            offer_fewer_joints(self, grounds[t], &before, stand, t)?;
            // Wirings of this phase that stay into the next.
            if t + 1 < grounds.len() && grounds[t + 1].lot.in_use != grounds[t].lot.in_use {
                grounds[t + 1].offer(&stand.wiring);
            }
            before.clone_from(&stand.wiring);
        }
        Ok(())
    }

    /// Each phase after the wiring before it, and after today's, with all that can be had: where joints
    /// have a worth, other panels may be worth their joints than those that bring most.
    fn with_all_at_hand(&self, grounds: &mut [&mut Ground], way: &Way) -> Result<(), Failure> {
        let mut before = vec![self.today.clone()];
        for (t, stand) in way.stands.iter().enumerate() {
            let all = Stand { counts: grounds[t].stock(), ..stand.clone() };
            for from in &before {
                offer_fewer_joints(self, grounds[t], from, &all, t)?;
            }
            before.truncate(1);
            before.push(stand.wiring.clone());
        }
        Ok(())
    }

    /// Each phase again, with what was bought before kept and what comes later respected.
    fn between_neighbours(&self, grounds: &mut [&mut Ground], way: &Way) {
        for t in 0..grounds.len() {
            let before = t.checked_sub(1).map(|b| &way.stands[b]);
            let after = way.stands.get(t + 1);
            self.alone(grounds, t, before, after);
        }
    }

    fn one_by_one(&self, grounds: &mut [&mut Ground]) {
        let mut before: Option<Stand> = None;
        for t in 0..grounds.len() {
            self.alone(grounds, t, before.as_ref(), None);
            let best = grounds[t].stands.iter().max_by(|a, b| a.charged.total_cmp(&b.charged));
            before = best.cloned();
        }
    }

    /// One phase by itself, between two others.
    fn alone(
        &self,
        grounds: &mut [&mut Ground],
        t: usize,
        before: Option<&Stand>,
        after: Option<&Stand>,
    ) {
        let (supply, n_kinds) = (self.supply(), self.n_kinds());
        let mut rows = self.purse_rows(&[t]);
        rows.extend(self.own_money(t, before, after));
        let row = |coefficients: Vec<f64>, most: f64| Row {
            name: "between its neighbours",
            coefficients: vec![Some(coefficients)],
            most,
            measure: Measure::Whole,
        };
        if self.measures.money.is_none() {
            if let Some(before) = before {
                let bought = supply.beyond_own(&before.counts);
                for k in (0..n_kinds).filter(|k| bought[*k] > 0) {
                    let least = (supply.own[k] + bought[k]) as f64;
                    rows.push(row(only(k, -1.0, n_kinds), -least));
                }
            }
            if let Some(after) = after {
                let bought = supply.beyond_own(&after.counts);
                for (k, (own, bought)) in supply.own.iter().zip(&bought).enumerate() {
                    let most = (own + bought) as f64;
                    rows.push(row(only(k, 1.0, n_kinds), most));
                }
            }
        }
        self.share(grounds, &[t], rows);
    }

    /// One phase by itself with at most so many panels of each kind, of which `base` cost nothing and
    /// the others these prices, `left` being what may be spent.
    pub(super) fn this_phase(
        &self,
        grounds: &mut [&mut Ground],
        t: usize,
        most: &[usize],
        priced: (&[usize], &[f64]),
        left: Option<f64>,
    ) {
        let (base, prices) = priced;
        let n_kinds = self.n_kinds();
        let mut rows: Vec<Row> = (0..n_kinds)
            .map(|k| Row {
                name: "can be had",
                coefficients: vec![Some(only(k, 1.0, n_kinds))],
                most: most[k] as f64,
                measure: Measure::Whole,
            })
            .collect();
        if let Some(left) = left.filter(|_| prices.iter().any(|p| *p > 0.0)) {
            let own: f64 = prices.iter().zip(base).map(|(p, n)| p * *n as f64).sum();
            rows.push(Row {
                name: "budget",
                coefficients: vec![Some(prices.to_vec())],
                most: left + own,
                measure: Measure::Any,
            });
        }
        self.share(grounds, &[t], rows);
    }

    /// Charged watts of the best wiring of a phase in which no panel of some is left out.
    pub(super) fn with_all_kept(
        &self,
        grounds: &mut [&mut Ground],
        t: usize,
        kept: &[usize],
        most: &[usize],
    ) -> Option<f64> {
        let n_kinds = self.n_kinds();
        let row = |coefficients: Vec<f64>, most: f64| Row {
            name: "kept",
            coefficients: vec![Some(coefficients)],
            most,
            measure: Measure::Whole,
        };
        let rows = (0..n_kinds)
            .flat_map(|k| {
                [
                    row(only(k, -1.0, n_kinds), -(kept[k] as f64)),
                    row(only(k, 1.0, n_kinds), most[k] as f64),
                ]
            })
            .collect();
        self.share(grounds, &[t], rows);
        let fits = |s: &&Stand| {
            let all = s.counts.iter().zip(kept).zip(most);
            all.into_iter().all(|((n, kept), most)| n >= kept && n <= most)
        };
        let stands = grounds[t].stands.iter().filter(fits);
        stands.map(|s| s.charged).reduce(f64::max)
    }

    /// The best way on from some phases that are settled, with at most so many panels of each kind;
    /// each of `most` is looked for anew where it is below what can be had.
    pub(super) fn on_from(
        &self,
        grounds: &mut [&mut Ground],
        steps: &mut Steps,
        settled: &[Stand],
        most: &[usize],
    ) -> Option<Way> {
        let n_kinds = self.n_kinds();
        let which: Vec<usize> = (settled.len()..grounds.len()).collect();
        let mut rows = [self.kept_rows(&which), self.purse_rows(&which)].concat();
        let bought = settled.last().map(|s| self.supply().beyond_own(&s.counts));
        for p in 0..which.len() {
            for k in 0..n_kinds {
                let mut row = |a: f64, most: f64| {
                    let mut coefficients = vec![None; which.len()];
                    coefficients[p] = Some(only(k, a, n_kinds));
                    let name = "can be had";
                    rows.push(Row { name, coefficients, most, measure: Measure::Whole });
                };
                row(1.0, most[k] as f64);
                let kept = bought.as_ref().map_or(0, |b| b[k]);
                if kept > 0 && self.measures.money.is_none() {
                    row(-1.0, -((self.supply().own[k] + kept) as f64));
                }
            }
        }
        self.share(grounds, &which, rows);
        self.spread(grounds);
        let fits = |s: &Stand| s.counts.iter().zip(most).all(|(n, most)| n <= most);
        let pools: Vec<Vec<Stand>> = grounds
            .iter()
            .enumerate()
            .map(|(t, ground)| match settled.get(t) {
                Some(stand) => vec![stand.clone()],
                None => ground.stands.iter().filter(|s| fits(s)).cloned().collect(),
            })
            .collect();
        let pools: Vec<&[Stand]> = pools.iter().map(Vec::as_slice).collect();
        self.measures.best(&self.today, &pools, steps).0
    }
}

fn same(a: &Way, b: &Way) -> bool {
    let wirings = |w: &Way| w.stands.iter().map(|s| s.wiring.clone()).collect::<Vec<_>>();
    wirings(a) == wirings(b)
}
