//! Whole configurations: from the linear program's shares, made better site by site.

use super::super::pool::{priced, use_of};
use super::super::shares::Shares;
use super::super::whole::slack;
use super::super::{Ask, Span};
use super::dive::dive;
use super::{CrowdStep, OF_ANSWERS, PIVOTS_EACH, Search};

/// Sites that are asked at once within what is left.
const AT_ONCE: usize = 16;
/// A site that cannot win more than this part of what a site may leave is not asked again.
const NO_GAIN: f64 = 0.1;

/// Part of the gap that is aimed at which is near enough.
const CLOSE: f64 = 0.25;

/// Times that the linear program is made whole anew, with what was found since.
const DIVES: usize = 3;

/// The best whole choice so far, against the bound.
struct Best {
    bound: f64,
    value: f64,
    places: Vec<usize>,
}

impl Best {
    /// Takes a choice in; is the search to end?
    fn ends_with(&mut self, search: &mut Search, whole: &Whole) -> bool {
        let value = whole.value(search);
        if value > self.value {
            self.value = value;
            self.places.clone_from(&whole.places);
        }
        let gap = (self.bound - self.value) / self.value.abs().max(1.0);
        search.stopped |= !search.crowd.go_on(CrowdStep::Whole(gap));
        search.stopped || gap <= CLOSE * search.pace.gap
    }
}

/// One offer for each site, by their places in the pool.
pub(super) fn finish(
    search: &mut Search,
    program: &mut Shares,
    columns: &mut Vec<(usize, usize)>,
    seen: &mut [usize],
    bound: f64,
) -> Vec<usize> {
    let n_sites = search.pool.n_sites();
    let mut left = search.pace.asks_each * n_sites;
    let mut best = Best { bound, value: f64::NEG_INFINITY, places: vec![0; n_sites] };
    for _ in 0..DIVES {
        let prices = program.prices();
        let free = vec![0.0; prices.len()];
        let mut whole = Whole::from_shares(search, program, columns);
        whole.fill(search, &free);
        if best.ends_with(search, &whole) {
            return best.places;
        }
        whole.trade(search, &prices);
        if best.ends_with(search, &whole) {
            return best.places;
        }
        // At the prices, that what is scarce goes where it is worth most; then for what is left.
        for at in [&prices, &free] {
            whole.restore(search, &best.places);
            if left == 0 || !whole.ask_again(search, at, &mut left) {
                continue;
            }
            whole.fill(search, &free);
            whole.trade(search, &prices);
            if best.ends_with(search, &whole) {
                return best.places;
            }
        }
        let n_before = columns.len();
        search.widen(program, columns, seen);
        if columns.len() == n_before {
            break;
        }
        program.climb_in_batches(PIVOTS_EACH * (search.limits.len() + n_sites));
    }
    best.places
}

/// A whole choice.
pub(super) struct Whole {
    pub(super) places: Vec<usize>,
    pub(super) left: Vec<f64>,
    /// Sites in the order in which they are asked.
    order: Vec<usize>,
}

impl Whole {
    /// The shares made whole one after the other, as far as the rows allow.
    fn from_shares(search: &Search, program: &Shares, columns: &[(usize, usize)]) -> Self {
        let n_sites = search.pool.n_sites();
        let mut whole = Self {
            places: vec![0; n_sites],
            left: search.limits.clone(),
            order: (0..n_sites).collect(),
        };
        for (site, place) in dive(program, columns, n_sites) {
            if whole.fits(search, site, place) {
                whole.take(search, site, place);
            }
        }
        // Those of which only parts had a share are asked first.
        let mut parts = vec![0_usize; n_sites];
        program.shares().iter().for_each(|(j, _)| parts[columns[*j].0] += 1);
        whole.order.sort_by_key(|&s| (std::cmp::Reverse(parts[s]), s));
        whole
    }

    /// Makes the most of the offers known, among several sites at once.
    fn trade(&mut self, search: &Search, prices: &[f64]) {
        self.exchange(search, prices);
        self.reconsider(search, prices);
        self.exchange(search, prices);
    }

    /// How far a site is from what it likes best of its offers at some prices.
    pub(super) fn regret(&self, search: &Search, site: usize, prices: &[f64]) -> f64 {
        let has = priced(search.pool.of(site, self.places[site]), prices);
        search.best_priced(site, prices) - has
    }

    /// Takes up an earlier choice again.
    fn restore(&mut self, search: &Search, places: &[usize]) {
        for (site, place) in places.iter().enumerate() {
            if self.places[site] != *place {
                self.take(search, site, *place);
            }
        }
    }

    fn value(&self, search: &Search) -> f64 {
        self.places.iter().enumerate().map(|(s, p)| search.pool.of(s, *p).value).sum()
    }

    /// What an offer would use more of a row than there is, in the place of what the site has.
    pub(super) fn lacks(&self, search: &Search, site: usize, row: usize, amount: f64) -> f64 {
        let own = use_of(search.pool.of(site, self.places[site]), row);
        amount - self.left[row] - own - slack(search.limits[row])
    }

    /// Would this keep the rows, in the place of what the site has?
    pub(super) fn fits(&self, search: &Search, site: usize, place: usize) -> bool {
        let uses = &search.pool.of(site, place).uses;
        uses.iter().all(|&(row, a)| self.lacks(search, site, row, a) <= 0.0)
    }

    pub(super) fn take(&mut self, search: &Search, site: usize, place: usize) {
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
                .filter(|&&site| self.may_gain(search, site, prices) > NO_GAIN * spare)
                .take(*left)
                .map(|&site| self.within_left(search, site, prices, OF_ANSWERS * spare))
                .collect();
            *left -= asks.len();
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
        }
        better
    }

    /// What a site could win at most, by what is known of it.
    fn may_gain(&self, search: &Search, site: usize, prices: &[f64]) -> f64 {
        let now = priced(search.pool.of(site, self.places[site]), prices);
        search.known[site].bound(prices) - now
    }

    fn within_left(&self, search: &Search, site: usize, prices: &[f64], tolerance: f64) -> Ask {
        let has = search.pool.of(site, self.places[site]);
        let spans = (0..prices.len())
            .map(|row| {
                let most = self.left[row] + use_of(has, row);
                Span { row, least: f64::NEG_INFINITY, most }
            })
            .collect();
        let known = search.reminders(site, prices);
        Ask { site, prices: prices.to_vec(), spans, known, tolerance }
    }
}
