//! What couples the phases, as rows and prices: what was bought stays, and what money allows.

use super::campaign::Campaign;
use super::ground::Stand;
use super::supply::Supply;
use super::together::{Row, only};
use crate::solve::master::Measure;

impl Campaign<'_> {
    pub(super) fn supply(&self) -> &Supply {
        self.measures.supply
    }

    pub(super) fn n_kinds(&self) -> usize {
        self.supply().own.len()
    }

    /// Kinds of which every panel that is wired was bought.
    fn all_bought(&self) -> Vec<bool> {
        let last = self.supply().n_phases() - 1;
        (0..self.n_kinds())
            .map(|k| self.supply().own[k] == 0 && self.supply().offered[last][k] > 0)
            .collect()
    }

    /// What a panel costs in a phase at least, in joints and money, so that the sum over all phases
    /// is never more than what a way pays. \[W\]
    pub(super) fn prices(&self, t: usize) -> Vec<f64> {
        let years: f64 = self.measures.years.iter().sum();
        let last = self.supply().n_phases() - 1;
        let stays = self.measures.money.is_none();
        let all_bought = self.all_bought();
        let new = self.new_kinds();
        (0..self.n_kinds())
            .map(|k| {
                // Every new panel takes a joint at least. Where it stays once it is bought, the last
                // phase has them all; else each phase is told its part of the time.
                let joint = match (new[k], all_bought[k] && stays) {
                    (false, _) => 0.0,
                    (true, true) if t == last => self.measures.joint / self.measures.years[last],
                    (true, true) => 0.0,
                    (true, false) => self.measures.joint / years,
                };
                let money = match self.measures.money {
                    Some(worth) if all_bought[k] => worth * self.supply().cheapest(k, last) / years,
                    _ => 0.0,
                };
                joint + money
            })
            .collect()
    }

    /// Kinds of which no panel is wired today.
    fn new_kinds(&self) -> Vec<bool> {
        let mut new = vec![true; self.n_kinds()];
        for kind in self.today.iter().flat_map(|w| w.array.panels()) {
            new[kind.0] = false;
        }
        new
    }

    /// What is bought stays wired: no fewer panels of a kind in a phase than in the one before.
    pub(super) fn kept_rows(&self, which: &[usize]) -> Vec<Row> {
        if self.measures.money.is_some() {
            return Vec::new();
        }
        let n_kinds = self.n_kinds();
        let bought = self.all_bought();
        let mut rows = Vec::new();
        for p in 1..which.len() {
            for k in (0..n_kinds).filter(|k| bought[*k]) {
                let mut coefficients = vec![None; which.len()];
                coefficients[p - 1] = Some(only(k, 1.0, n_kinds));
                coefficients[p] = Some(only(k, -1.0, n_kinds));
                let name = "what was bought stays";
                rows.push(Row { name, coefficients, most: 0.0, measure: Measure::Whole });
            }
        }
        rows
    }

    /// What the controllers in use by a phase cost.
    pub(super) fn controllers_by(&self, t: usize) -> f64 {
        let of = self.supply().controllers.iter().zip(&self.measures.used);
        of.filter(|(_, used)| used.is_some_and(|from| from <= t)).map(|(c, _)| c.price).sum()
    }

    /// What the budgets allow, phase by phase; every way keeps these rows, and most that keep them can
    /// be paid.
    pub(super) fn purse_rows(&self, which: &[usize]) -> Vec<Row> {
        let mut rows = self.ahead_rows(which);
        for (p, &t) in which.iter().enumerate() {
            let mut row = |prices: Vec<f64>, most: f64, measure: Measure| {
                let mut coefficients = vec![None; which.len()];
                coefficients[p] = Some(prices);
                rows.push(Row { name: "budget", coefficients, most, measure });
            };
            for from in 0..=t {
                for until in from..=t {
                    if let Some((prices, most)) = self.purse(from, until, t) {
                        row(prices, most, Measure::Any);
                    }
                }
            }
            for k in 0..self.n_kinds() {
                if let Some(most) = self.affordable(k, t) {
                    row(only(k, 1.0, self.n_kinds()), most as f64, Measure::Whole);
                }
            }
        }
        rows
    }

    /// What cannot be had after a phase is paid by then as far as the last phase has it.
    fn ahead_rows(&self, which: &[usize]) -> Vec<Row> {
        let supply = self.supply();
        let Some((&end, earlier)) = which.split_last() else { return Vec::new() };
        if end + 1 < supply.n_phases() || self.measures.money.is_some() {
            return Vec::new();
        }
        let mut rows = Vec::new();
        for (p, &t) in earlier.iter().enumerate() {
            let gone = |k: usize| supply.last[k].is_some_and(|last| last <= t);
            let Some((prices, most)) = self.purse(0, t, t) else { continue };
            if !(0..prices.len()).any(|k| gone(k) && prices[k] > 0.0) {
                continue;
            }
            let part = |of: &dyn Fn(usize) -> bool| {
                let price = |(k, p): (usize, &f64)| if of(k) { *p } else { 0.0 };
                Some(prices.iter().enumerate().map(price).collect())
            };
            let mut coefficients = vec![None; which.len()];
            coefficients[p] = part(&|k| !gone(k));
            coefficients[which.len() - 1] = part(&gone);
            rows.push(Row { name: "budget", coefficients, most, measure: Measure::Any });
        }
        rows
    }

    /// What came on offer from one phase on, and cannot be had after another, was paid by the budgets
    /// between. Prices, and the most that their sum over the panels of phase `t` can be; `None` where
    /// that says nothing.
    ///
    /// Where panels of a kind need not all be bought, those that are left out lower the sum, which
    /// loosens the row.
    fn purse(&self, from: usize, until: usize, t: usize) -> Option<(Vec<f64>, f64)> {
        let supply = self.supply();
        let budgets = supply.purse(from, until);
        let within = |k: usize| {
            let first = (0..=t).find(|s| supply.offered[*s][k] > 0);
            let gone = until == t || supply.last[k].is_some_and(|last| last <= until);
            gone && first.is_some_and(|first| (from..=until).contains(&first))
        };
        let price = |k: usize| if within(k) { supply.cheapest(k, until) } else { 0.0 };
        let prices: Vec<f64> = (0..self.n_kinds()).map(price).collect();
        if prices.iter().all(|p| *p == 0.0) {
            return None;
        }
        let own: f64 = prices.iter().zip(&supply.own).map(|(p, n)| p * *n as f64).sum();
        let controllers: f64 = supply
            .controllers
            .iter()
            .zip(&self.measures.used)
            .filter(|(c, used)| c.phase >= from && used.is_some_and(|used| used <= until))
            .map(|(c, _)| c.price)
            .sum();
        Some((prices, budgets? - controllers + own))
    }

    /// Panels of one kind that can be paid by the end of a phase if nothing else is bought, whole ones
    /// in each phase; `None`: any number.
    fn affordable(&self, k: usize, t: usize) -> Option<usize> {
        let supply = self.supply();
        let mut most = supply.own[k];
        let mut from = 0;
        while from <= t {
            // Phases that share a purse.
            let until = (from..=t).take_while(|s| supply.purse_since(*s) <= from).last()?;
            let on_offer = |s: &usize| {
                supply.last[k].is_none_or(|last| *s <= last) && supply.offered[*s][k] > 0
            };
            let mut cheapest = f64::INFINITY;
            for s in (from..=until).filter(on_offer) {
                cheapest = cheapest.min(supply.price[s][k].filter(|p| *p > 0.0)?);
            }
            if let Some(last) = (from..=until).rfind(on_offer) {
                // A controller that comes into use in the phase in which it comes on offer is paid then.
                let controllers: f64 = supply
                    .controllers
                    .iter()
                    .zip(&self.measures.used)
                    .filter(|(c, used)| (from..=last).contains(&c.phase) && **used == Some(c.phase))
                    .map(|(c, _)| c.price)
                    .sum();
                let left = (supply.purse(from, last)? - controllers).max(0.0);
                most += (left / cheapest + 1e-9).floor() as usize;
            }
            from = until + 1;
        }
        Some(most)
    }

    /// What is bought beyond the phase before is paid by this phase, and so is what the phase after
    /// has of that which cannot be had then.
    pub(super) fn own_money(
        &self,
        t: usize,
        before: Option<&Stand>,
        after: Option<&Stand>,
    ) -> Option<Row> {
        let supply = self.supply();
        let since = supply.purse_since(t);
        let controllers: f64 = supply
            .controllers
            .iter()
            .zip(&self.measures.used)
            .filter(|(_, used)| used.is_some_and(|from| (since..=t).contains(&from)))
            .map(|(c, _)| c.price)
            .sum();
        let none = vec![0; self.n_kinds()];
        let bought = |stand: Option<&Stand>| {
            stand.map_or_else(|| none.clone(), |s| supply.beyond_own(&s.counts))
        };
        let (had, wanted) = (bought(before), bought(after));
        supply.budgets[t]?;
        let mut left = supply.purse(since, t)? - controllers;
        if since < t {
            // What was had and is not paid by the budgets before is paid by this purse.
            let cheapest = |(k, n): (usize, &usize)| *n as f64 * supply.cheapest(k, t - 1);
            let had: f64 = had.iter().enumerate().filter(|(_, n)| **n > 0).map(cheapest).sum();
            let earlier: Option<f64> = supply.budgets[..since].iter().copied().sum();
            left -= earlier.map_or(0.0, |earlier| (had - earlier).max(0.0));
        }
        let mut prices: Vec<f64> = supply.price[t].iter().map(|p| p.unwrap_or(0.0)).collect();
        for k in 0..prices.len() {
            if after.is_some() && supply.last[k] == Some(t) {
                left -= prices[k] * wanted[k].saturating_sub(had[k]) as f64;
                prices[k] = 0.0;
            } else {
                left += prices[k] * (had[k] + supply.own[k]) as f64;
            }
        }
        Some(Row {
            name: "budget",
            coefficients: vec![Some(prices)],
            most: left,
            measure: Measure::Any,
        })
    }
}
