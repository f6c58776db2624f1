//! Sites by the thousand: the same question, answered to a gap instead of to the end.
//!
//! With many sites and few rows the linear program is nearly whole by itself: at most as many sites
//! as there are rows have parts of configurations. So nothing is branched on. What counts instead is
//! how often a site is asked. A site that was asked at other prices need not be asked again if it
//! cannot matter: where prices fall from y to y′, what is best for it rises by at most
//! `Σ max(0, y − y′)·most use`, and by no more than its panels in all times the largest fall.

mod dive;
mod exchange;
mod finish;
mod known;
mod regret;
#[cfg(test)]
mod tests;

use super::pool::{Pool, priced};
use super::shares::{Share, Shares};
use super::{Allotment, Ask, Offer, Reply, SharedOut, SharedRow, Sites};
use finish::finish;
use known::Known;

/// Sites by the thousand.
pub trait Crowd: Sites {
    /// The most that any configuration of a site uses of each row that it uses at all, ascending.
    fn most_use(&self, site: usize) -> Vec<(usize, f64)>;
    /// The most that any configuration of a site uses of all rows together.
    fn most_in_all(&self, site: usize) -> f64;
    /// Told how far the search is; false ends it with what is known.
    fn go_on(&mut self, step: CrowdStep) -> bool;
}

/// How far a search is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CrowdStep {
    /// Prices are being found: rounds so far, and the gap between bound and linear program.
    Prices(usize, f64),
    /// Whole configurations are sought: gap between bound and choice.
    Whole(f64),
}

/// How much work a search may do. Counts, not seconds: same input, same answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrowdPace {
    /// Gap that is aimed at, as a fraction of the value.
    pub gap: f64,
    /// Most rounds of questions.
    pub rounds: usize,
    /// Most questions for whole configurations, for each site.
    pub asks_each: usize,
}

impl Default for CrowdPace {
    fn default() -> Self {
        Self { gap: 0.01, rounds: 60, asks_each: 4 }
    }
}

/// Part of the gap that the prices may leave.
const OF_PRICES: f64 = 0.1;
/// Part of the gap that sites which are not asked again may leave, and that each answer may leave.
const OF_SILENCE: f64 = 0.05;
const OF_ANSWERS: f64 = 0.02;
/// A row that lacks something costs this many times all that there is to win.
const FENCE: f64 = 1e3;
/// Pivots allowed for each row and site.
const PIVOTS_EACH: usize = 60;
/// How far prices keep to those that gave the best bound (see `search`).
const KEEP: f64 = 0.5;
/// Configurations that a site is reminded of.
const REMINDED: usize = 3;

/// A search under way.
struct Search<'a> {
    crowd: &'a mut dyn Crowd,
    limits: Vec<f64>,
    pace: CrowdPace,
    pool: Pool,
    known: Vec<Known>,
    asks: usize,
    stopped: bool,
}

/// Shares a stock out among very many sites.
///
/// `offers` are known from the start: of each site one that uses nothing, first.
///
/// # Panics
/// If an offer speaks of sites or rows that there are not.
pub fn share_out_among_many(
    crowd: &mut dyn Crowd,
    rows: &[SharedRow],
    offers: &[Vec<Offer>],
    pace: CrowdPace,
) -> SharedOut {
    let n_sites = crowd.count();
    let known = (0..n_sites).map(|s| Known::new(crowd.most_use(s), crowd.most_in_all(s))).collect();
    let mut search = Search {
        crowd,
        limits: rows.iter().map(|r| r.limit).collect(),
        pace,
        pool: Pool::new(n_sites),
        known,
        asks: 0,
        stopped: false,
    };
    for (site, offers) in offers.iter().enumerate() {
        offers.iter().for_each(|offer| {
            search.pool.add(site, offer);
        });
    }
    search.run()
}

impl Search<'_> {
    fn run(mut self) -> SharedOut {
        let (mut program, mut columns, mut seen) = self.begin();
        let (bound, prices) = self.find_prices(&mut program, &mut columns, &mut seen);
        let places = finish(&mut self, &mut program, &mut columns, &mut seen, bound);
        let value: f64 = places.iter().enumerate().map(|(s, p)| self.pool.of(s, *p).value).sum();
        let tags = places.iter().enumerate().map(|(s, p)| self.pool.of(s, *p).tag).collect();
        SharedOut {
            best: Some(Allotment { tags, value }),
            bound: bound.max(value),
            complete: !self.stopped,
            prices,
            asks: self.asks,
        }
    }

    /// A linear program over the offers known from the start.
    fn begin(&self) -> (Shares, Vec<(usize, usize)>, Vec<usize>) {
        let n_sites = self.pool.n_sites();
        let most = (0..n_sites).flat_map(|s| self.pool.all(s)).map(|o| o.value.abs());
        let fence = FENCE * most.fold(1.0, f64::max);
        let first = (0..n_sites).map(|s| self.share(s, 0)).collect();
        let mut program = Shares::new(self.limits.clone(), first, fence);
        let mut columns: Vec<(usize, usize)> = (0..n_sites).map(|s| (s, 0)).collect();
        let mut seen = vec![1; n_sites];
        self.widen(&mut program, &mut columns, &mut seen);
        (program, columns, seen)
    }

    fn share(&self, site: usize, place: usize) -> Share {
        let offer = self.pool.of(site, place);
        Share { site, value: offer.value, uses: offer.uses.clone() }
    }

    fn widen(&self, program: &mut Shares, columns: &mut Vec<(usize, usize)>, seen: &mut [usize]) {
        for (site, seen) in seen.iter_mut().enumerate() {
            for place in *seen..self.pool.all(site).len() {
                program.add(self.share(site, place));
                columns.push((site, place));
            }
            *seen = self.pool.all(site).len();
        }
    }

    /// Rounds of questions at the program's prices; the bound, and the prices of the last program.
    fn find_prices(
        &mut self,
        program: &mut Shares,
        columns: &mut Vec<(usize, usize)>,
        seen: &mut [usize],
    ) -> (f64, Vec<f64>) {
        let n_sites = self.pool.n_sites();
        let pivots = PIVOTS_EACH * (self.limits.len() + n_sites);
        program.climb_in_batches(pivots);
        let mut center: Option<(f64, Vec<f64>)> = None;
        let mut keep = 0.0;
        for round in 1..=self.pace.rounds {
            let prices = program.prices();
            let value = program.value();
            let asked: Vec<f64> = match &center {
                Some((_, at)) => {
                    at.iter().zip(&prices).map(|(c, y)| keep * c + (1.0 - keep) * y).collect()
                }
                None => prices.clone(),
            };
            let spare = self.pace.gap * value.abs() / n_sites.max(1) as f64;
            let n_before = columns.len();
            self.ask_where_needed(&asked, spare);
            self.widen(program, columns, seen);
            let at_prices: f64 = asked.iter().zip(&self.limits).map(|(y, b)| y * b).sum();
            let bounds: f64 = self.known.iter().map(|known| known.bound(&asked)).sum();
            if center.as_ref().is_none_or(|(best, _)| at_prices + bounds < *best) {
                center = Some((at_prices + bounds, asked));
            }
            program.climb_in_batches(pivots);
            let best = center.as_ref().map_or(f64::INFINITY, |(bound, _)| *bound);
            let value = program.value();
            let gap = (best - value) / value.abs().max(1.0);
            if !self.crowd.go_on(CrowdStep::Prices(round, gap)) {
                self.stopped = true;
                break;
            }
            let new = columns.len() > n_before;
            if gap <= OF_PRICES * self.pace.gap || (!new && keep == 0.0) {
                break;
            }
            // Prices that brought nothing new are left at once.
            keep = if new { KEEP } else { 0.0 };
        }
        let bound = center.map_or(f64::INFINITY, |(bound, _)| bound);
        (bound, program.prices())
    }

    /// Asks the sites whose answer may matter at these prices.
    fn ask_where_needed(&mut self, prices: &[f64], spare: f64) {
        let needed: Vec<usize> = (0..self.pool.n_sites())
            .filter(|&s| {
                let best = self.best_priced(s, prices);
                self.known[s].bound(prices) - best > OF_SILENCE * spare
            })
            .collect();
        let asks: Vec<Ask> = needed
            .iter()
            .map(|&site| Ask {
                site,
                prices: prices.to_vec(),
                spans: Vec::new(),
                known: self.reminders(site, prices),
                tolerance: OF_ANSWERS * spare,
            })
            .collect();
        let replies = self.ask(&asks);
        for (site, reply) in needed.into_iter().zip(&replies) {
            self.known[site].learn(prices, reply.bound);
            reply.offers.iter().for_each(|offer| {
                self.pool.add(site, offer);
            });
        }
    }

    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply> {
        self.asks += asks.len();
        self.crowd.ask(asks)
    }

    fn best_priced(&self, site: usize, prices: &[f64]) -> f64 {
        let offers = self.pool.all(site).iter();
        offers.map(|o| priced(o, prices)).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Tags of the offers of a site that are best at these prices.
    fn reminders(&self, site: usize, prices: &[f64]) -> Vec<usize> {
        let offers = self.pool.all(site);
        let mut order: Vec<(f64, usize)> =
            offers.iter().enumerate().map(|(at, o)| (priced(o, prices), at)).collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        order.truncate(REMINDED);
        order.into_iter().map(|(_, at)| offers[at].tag).collect()
    }
}
