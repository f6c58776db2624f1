//! Whole configurations: from the linear program's shares, made better site by site.

use super::super::pool::priced;
use super::super::shares::Shares;
use super::super::whole::slack;
use super::super::{Ask, Span};
use super::{CrowdStep, OF_ANSWERS, Search};

/// Sites that are asked at once within what is left.
const AT_ONCE: usize = 16;

/// One offer for each site, by their places in the pool.
pub(super) fn finish(
    search: &mut Search,
    program: &Shares,
    columns: &[(usize, usize)],
    bound: f64,
    prices: &[f64],
) -> Vec<usize> {
    let mut whole = Whole::from_shares(search, program, columns);
    whole.fill(search, prices);
    let mut left = search.pace.asks_each * search.pool.n_sites();
    let free = vec![0.0; prices.len()];
    for at in [prices, &free] {
        loop {
            whole.fill(search, at);
            let gap = (bound - whole.value(search)) / bound.abs().max(1.0);
            if search.stopped || !search.crowd.go_on(CrowdStep::Whole(gap)) {
                search.stopped = true;
                return whole.places;
            }
            if left == 0 || !whole.ask_again(search, at, &mut left) {
                break;
            }
        }
    }
    whole.places
}

/// A whole choice.
struct Whole {
    places: Vec<usize>,
    left: Vec<f64>,
    /// Sites in the order in which they are asked.
    order: Vec<usize>,
}

impl Whole {
    /// The largest share of each site, as far as the rows allow.
    fn from_shares(search: &Search, program: &Shares, columns: &[(usize, usize)]) -> Self {
        let n_sites = search.pool.n_sites();
        let mut shares: Vec<(f64, usize, usize)> =
            program.shares().iter().map(|&(j, z)| (z, columns[j].0, columns[j].1)).collect();
        shares.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let mut whole = Self {
            places: vec![0; n_sites],
            left: search.limits.clone(),
            order: Vec::with_capacity(n_sites),
        };
        let mut taken = vec![false; n_sites];
        for (_, site, place) in shares {
            if !taken[site] && whole.fits(search, site, place) {
                taken[site] = true;
                whole.take(search, site, place);
            }
        }
        // Those of which only parts had a share are asked first.
        let parts = |s: usize| program.shares().iter().filter(|(j, _)| columns[*j].0 == s).count();
        whole.order = (0..n_sites).collect();
        whole.order.sort_by_cached_key(|&s| (std::cmp::Reverse(parts(s)), s));
        whole
    }

    fn value(&self, search: &Search) -> f64 {
        self.places.iter().enumerate().map(|(s, p)| search.pool.of(s, *p).value).sum()
    }

    /// Would this keep the rows, in the place of what the site has?
    fn fits(&self, search: &Search, site: usize, place: usize) -> bool {
        let has = search.pool.of(site, self.places[site]);
        let own = |row: usize| has.uses.iter().find(|u| u.0 == row).map_or(0.0, |u| u.1);
        let uses = &search.pool.of(site, place).uses;
        uses.iter().all(|&(row, a)| a <= self.left[row] + own(row) + slack(search.limits[row]))
    }

    fn take(&mut self, search: &Search, site: usize, place: usize) {
        for &(row, a) in &search.pool.of(site, self.places[site]).uses {
            self.left[row] += a;
        }
        for &(row, a) in &search.pool.of(site, place).uses {
            self.left[row] -= a;
        }
        self.places[site] = place;
    }

    /// Gives each site what is best of its offers at these prices and fits, until nothing changes.
    fn fill(&mut self, search: &Search, prices: &[f64]) {
        let mut changed = true;
        while changed {
            changed = false;
            for at in 0..self.order.len() {
                let site = self.order[at];
                let worth = |place: usize| priced(search.pool.of(site, place), prices);
                let mut best = (worth(self.places[site]), self.places[site]);
                for place in 0..search.pool.all(site).len() {
                    let value = worth(place);
                    if value > best.0 + 1e-9 && self.fits(search, site, place) {
                        best = (value, place);
                    }
                }
                if best.1 != self.places[site] {
                    self.take(search, site, best.1);
                    changed = true;
                }
            }
        }
    }

    /// Asks sites for their best within what is left; was any better found?
    fn ask_again(&mut self, search: &mut Search, prices: &[f64], left: &mut usize) -> bool {
        let mut better = false;
        let spare = search.pace.gap * self.value(search) / search.pool.n_sites().max(1) as f64;
        let order = self.order.clone();
        for sites in order.chunks(AT_ONCE) {
            let asks: Vec<Ask> = sites
                .iter()
                .filter(|&&site| self.may_gain(search, site, prices) > spare * 0.1)
                .map(|&site| self.within_left(search, site, prices, OF_ANSWERS * spare))
                .collect();
            *left = left.saturating_sub(asks.len());
            let replies = search.ask(&asks);
            for (ask, reply) in asks.iter().zip(&replies) {
                for offer in &reply.offers {
                    let place = search.pool.add(ask.site, offer);
                    let now = priced(search.pool.of(ask.site, self.places[ask.site]), prices);
                    let then = priced(search.pool.of(ask.site, place), prices);
                    if then > now + 1e-9 && self.fits(search, ask.site, place) {
                        self.take(search, ask.site, place);
                        better = true;
                    }
                }
            }
            if *left == 0 {
                break;
            }
        }
        better
    }

    /// What a site could win at most, by what is known of it, at the prices of rows that are used up.
    fn may_gain(&self, search: &Search, site: usize, prices: &[f64]) -> f64 {
        let now = priced(search.pool.of(site, self.places[site]), prices);
        search.known[site].bound(prices) - now
    }

    fn within_left(&self, search: &Search, site: usize, prices: &[f64], tolerance: f64) -> Ask {
        let has = search.pool.of(site, self.places[site]);
        let own = |row: usize| has.uses.iter().find(|u| u.0 == row).map_or(0.0, |u| u.1);
        let spans = (0..prices.len())
            .map(|row| Span { row, least: f64::NEG_INFINITY, most: self.left[row] + own(row) })
            .collect();
        Ask {
            site,
            prices: prices.to_vec(),
            spans,
            known: search.reminders(site, prices),
            tolerance,
        }
    }
}
