//! One site gets what it wants, another gives it up: two sites at a time, among the offers known.

use super::super::pool::use_of;
use super::super::whole::slack;
use super::Search;
use super::finish::Whole;
use super::regret::NO_REGRET;

/// Rounds over all sites.
const ROUNDS: usize = 6;
/// Others that are asked to give up what one site lacks.
const OTHERS: usize = 24;

/// Up to so many sites every one may begin an exchange.
const MANY: usize = 1_500;

/// What a site gets instead, and which other site must have what instead for it.
struct Swap {
    place: usize,
    other: Option<(usize, usize)>,
}

impl Whole {
    /// Changes two sites at once where that is worth more, until nothing changes.
    ///
    /// Of very many sites those begin that are not content at the prices: the others win little.
    pub(super) fn exchange(&mut self, search: &Search, prices: &[f64]) {
        let mut holders = self.holders(search);
        let all = search.pool.n_sites() <= MANY;
        for _ in 0..ROUNDS {
            let mut changed = false;
            for site in 0..search.pool.n_sites() {
                if all || self.regret(search, site, prices) > NO_REGRET {
                    changed |= self.improve(search, site, &mut holders);
                }
            }
            if !changed {
                return;
            }
        }
    }

    /// Takes another offer, and keeps the list of holders right.
    fn hand_over(
        &mut self,
        search: &Search,
        holders: &mut [Vec<usize>],
        site: usize,
        place: usize,
    ) {
        for &(row, _) in &search.pool.of(site, self.places[site]).uses {
            holders[row].retain(|holder| *holder != site);
        }
        for &(row, _) in &search.pool.of(site, place).uses {
            let at = holders[row].partition_point(|holder| *holder < site);
            holders[row].insert(at, site);
        }
        self.take(search, site, place);
    }

    /// Sites that use each row.
    pub(super) fn holders(&self, search: &Search) -> Vec<Vec<usize>> {
        let mut holders = vec![Vec::new(); self.left.len()];
        for (site, place) in self.places.iter().enumerate() {
            for &(row, _) in &search.pool.of(site, *place).uses {
                holders[row].push(site);
            }
        }
        holders
    }

    /// The best change of one site, alone or with one other that gives up what is lacking.
    fn improve(&mut self, search: &Search, site: usize, holders: &mut [Vec<usize>]) -> bool {
        let now = search.pool.of(site, self.places[site]).value;
        let mut best: (f64, Option<Swap>) = (1e-6, None);
        for (place, offer) in search.pool.all(site).iter().enumerate() {
            let gain = offer.value - now;
            if gain <= best.0 {
                continue;
            }
            let lacks = |u: &&(usize, f64)| self.lacks(search, site, u.0, u.1) > 0.0;
            let Some(&(row, _)) = offer.uses.iter().find(lacks) else {
                best = (gain, Some(Swap { place, other: None }));
                continue;
            };
            // Whoever gives up the first row that lacks something may give up all. Of many some,
            // beginning at another for each site.
            let from = site % holders[row].len().max(1);
            let others = holders[row].iter().cycle().skip(from).take(holders[row].len());
            for &other in others.filter(|other| **other != site).take(OTHERS) {
                let cheapest = self.cheapest_way(search, (site, place), other, gain - best.0);
                if let Some((loss, instead)) = cheapest {
                    best = (gain - loss, Some(Swap { place, other: Some((other, instead)) }));
                }
            }
        }
        let Some(Swap { place, other }) = best.1 else { return false };
        if let Some((other, instead)) = other {
            self.hand_over(search, holders, other, instead);
        }
        self.hand_over(search, holders, site, place);
        true
    }

    /// What a site could have instead so that an offer to another fits, at a loss below `most`.
    fn cheapest_way(
        &self,
        search: &Search,
        (site, place): (usize, usize),
        other: usize,
        most: f64,
    ) -> Option<(f64, usize)> {
        let has = search.pool.of(other, self.places[other]);
        let had = search.pool.of(site, self.places[site]);
        let wanted = search.pool.of(site, place);
        let mut best: Option<(f64, usize)> = None;
        for (at, offer) in search.pool.all(other).iter().enumerate() {
            let loss = has.value - offer.value;
            if loss >= best.map_or(most, |b| b.0) {
                continue;
            }
            let kept = |&(row, _): &(usize, f64)| {
                let given = use_of(has, row) + use_of(had, row);
                let taken = use_of(wanted, row) + use_of(offer, row);
                taken <= self.left[row] + given + slack(search.limits[row])
            };
            if wanted.uses.iter().all(kept) && offer.uses.iter().all(kept) {
                best = Some((loss, at));
            }
        }
        best
    }
}
