//! Closing the gap by lists: what each site could use of the rows, and all ways in which these go
//! together.
//!
//! Prices prove no more than a mixture of configurations would bring. Where the gap that they leave is
//! small, few uses of each site are worth enough to be part of something better, and those can be
//! listed; a choice of one from each list is then tried for true by asking each site for its best with
//! just that use. Lists reach a little below the bound at first, and ever deeper where nothing is found.

use super::node::Node;
use super::search::Search;
use super::whole::slack;
use super::{Aim, Ask, Listed, Span};

/// How far below the bound the first lists reach, as a part of it, and how much farther each next.
const FIRST: f64 = 4e-3;
const FARTHER: f64 = 3.0;
/// Choices of one use from each list that are tried for true.
const TRIED: usize = 60;
/// Steps of each search for such a choice.
const STEPS: usize = 4_000_000;

/// The lists of all sites at some prices.
struct Lists<'a> {
    prices: &'a [f64],
    limits: &'a [f64],
    /// Of each site by falling bound, what it pays for its use taken off.
    of: Vec<Vec<Listed>>,
}

/// A search for the best choice of one use from each list.
struct Join<'a> {
    lists: &'a Lists<'a>,
    /// Σ price·limit, and the best that the sites from a depth on have on their lists.
    at_prices: f64,
    later: Vec<f64>,
    /// Rows that no site gives back to: what is used of them stays used.
    only_used: Vec<bool>,
    used: Vec<f64>,
    taken: Vec<usize>,
    threshold: f64,
    steps: usize,
    best: Option<(Vec<usize>, f64)>,
}

impl Search<'_> {
    /// Lowers the bound of a node without branches by lists, and finds what there is to be found.
    ///
    /// `tops` bound each site at the prices.
    pub(super) fn close_by_lists(&mut self, node: &mut Node, prices: &[f64], tops: &[f64]) {
        let at_prices: f64 = prices.iter().zip(&self.limits).map(|(y, b)| y * b).sum();
        let bound = at_prices + tops.iter().sum::<f64>();
        let mut reach = FIRST * bound.abs();
        while bound.is_finite() && !self.ends(node.bound) {
            let wanted = match self.aim {
                Aim::Most => self.best_value(),
                // A bound that is no lower would not settle it.
                Aim::AtLeast(enough) => enough - slack(enough),
            };
            // What is not above this goes unlisted.
            let target = wanted.max(bound - reach);
            let Some(of) = self.list(prices, tops, bound - target) else { return };
            let limits = self.limits.clone();
            let mut lists = Lists { prices, limits: &limits, of };
            let Some(proven) = self.try_listed(&mut lists, target) else { return };
            node.bound = node.bound.min(proven.max(target));
            if target <= wanted || proven > target {
                return;
            }
            reach *= FARTHER;
        }
    }

    /// What each site could use in a choice that lies less than `reach` below the bound.
    fn list(&mut self, prices: &[f64], tops: &[f64], reach: f64) -> Option<Vec<Vec<Listed>>> {
        let mut of = Vec::with_capacity(tops.len());
        for (site, top) in tops.iter().enumerate() {
            let mut list = self.sites.list(site, prices, top - reach)?;
            sort(&mut list);
            of.push(list);
        }
        Some(of)
    }

    /// Tries the choices from the lists for true, best first. Returns a bound on all choices above the
    /// target, or the target if there is none; `None` if the lists are too long.
    fn try_listed(&mut self, lists: &mut Lists, target: f64) -> Option<f64> {
        let mut proven = f64::INFINITY;
        for _ in 0..TRIED {
            let Some((taken, bound)) = lists.best_above(target.max(self.best_value()))? else {
                return Some(target.max(self.best_value()));
            };
            proven = bound;
            if self.ends(proven) {
                break;
            }
            let asks: Vec<Ask> = taken
                .iter()
                .enumerate()
                .map(|(site, place)| self.just(site, &lists.of[site][*place]))
                .collect();
            self.asks += asks.len();
            let replies = self.sites.ask(&asks);
            let mut places = Vec::with_capacity(replies.len());
            let mut fallen = false;
            for (site, (reply, place)) in replies.iter().zip(&taken).enumerate() {
                let listed = &mut lists.of[site][*place];
                let paid: f64 = listed.uses.iter().map(|&(r, a)| a * lists.prices[r]).sum();
                fallen |= reply.bound - paid < listed.most - 1e-9 * listed.most.abs();
                listed.most = listed.most.min(reply.bound - paid);
                let best = reply.offers.iter().reduce(|a, b| if b.value > a.value { b } else { a });
                places.extend(best.map(|offer| self.pool.add(site, offer)));
            }
            if places.len() == replies.len() {
                self.offer(&places);
            }
            lists.of.iter_mut().for_each(|list| sort(list));
            if !fallen {
                break;
            }
        }
        Some(proven)
    }

    /// The question for a site's best with just this use.
    fn just(&self, site: usize, listed: &Listed) -> Ask {
        let used = |row: usize| listed.uses.iter().find(|u| u.0 == row).map_or(0.0, |u| u.1);
        let span = |row: usize| Span { row, least: used(row), most: used(row) };
        Ask {
            site,
            prices: vec![0.0; self.limits.len()],
            spans: (0..self.limits.len()).map(span).collect(),
            known: Vec::new(),
            tolerance: 0.0,
        }
    }
}

/// Sorts a list by falling bound; of equals their order stays.
fn sort(list: &mut [Listed]) {
    list.sort_by(|a, b| b.most.total_cmp(&a.most));
}

impl Lists<'_> {
    /// The choice of highest bound above a threshold, by site, and that bound; the outer `None` if the
    /// search was too long.
    fn best_above(&self, threshold: f64) -> Option<Option<(Vec<usize>, f64)>> {
        let mut later = vec![0.0];
        let mut only_used = vec![true; self.limits.len()];
        for list in self.of.iter().rev() {
            later.push(later[later.len() - 1] + list.first().map_or(f64::NEG_INFINITY, |l| l.most));
            list.iter().flat_map(|l| &l.uses).for_each(|&(r, a)| only_used[r] &= a >= 0.0);
        }
        later.reverse();
        let mut join = Join {
            lists: self,
            at_prices: self.prices.iter().zip(self.limits).map(|(y, b)| y * b).sum(),
            later,
            only_used,
            used: vec![0.0; self.limits.len()],
            taken: Vec::with_capacity(self.of.len()),
            threshold,
            steps: STEPS,
            best: None,
        };
        join.descend(0.0);
        (join.steps > 0).then_some(join.best)
    }
}

impl Join<'_> {
    fn descend(&mut self, sum: f64) {
        let depth = self.taken.len();
        let Some(list) = self.lists.of.get(depth) else {
            let pay = |(u, y): (&f64, &f64)| u * y;
            let bound = sum + self.used.iter().zip(self.lists.prices).map(pay).sum::<f64>();
            if bound > self.threshold && self.keeps(&vec![true; self.used.len()]) {
                self.threshold = bound;
                self.best = Some((self.taken.clone(), bound));
            }
            return;
        };
        for (place, listed) in list.iter().enumerate() {
            if self.steps == 0 {
                return;
            }
            self.steps -= 1;
            let sum = sum + listed.most;
            if self.at_prices + sum + self.later[depth + 1] <= self.threshold {
                return;
            }
            listed.uses.iter().for_each(|&(r, a)| self.used[r] += a);
            if self.keeps(&self.only_used) {
                self.taken.push(place);
                self.descend(sum);
                self.taken.pop();
            }
            listed.uses.iter().for_each(|&(r, a)| self.used[r] -= a);
        }
    }

    /// Are these rows kept so far?
    fn keeps(&self, rows: &[bool]) -> bool {
        let used = self.used.iter().zip(self.lists.limits).zip(rows);
        used.filter(|(_, row)| **row).all(|((u, b), _)| *u <= b + slack(*b))
    }
}
