//! Best bound first: prices, questions, whole choices, branches.

use super::node::{Node, Part};
use super::pool::{Pool, priced};
use super::shares::{Share, Shares};
use super::whole::slack;
use super::{Aim, Allotment, Ask, Pace, Reply, SharedOut, SharedRow, Sites, Span, Start};

/// A row that lacks something costs this many times all that there is to win.
const FENCE: f64 = 1e3;
/// Pivots allowed for each row and site, each time the linear program is solved.
pub(super) const PIVOTS_EACH: usize = 60;
/// Configurations that a site is reminded of.
const REMINDED: usize = 8;
/// Part of the gap at which a search stops that all sites together may leave.
const INEXACT: f64 = 0.4;
/// Place of a column that stands for no configuration.
pub(super) const NOTHING: usize = usize::MAX;
/// How far prices keep to those that gave the best bound (A. Pessoa, R. Sadykov, E. Uchoa &
/// F. Vanderbeck, INFORMS Journal on Computing 30(2), 2018, doi:10.1287/ijoc.2017.0784).
const KEEP: f64 = 0.4;

/// How near the bound has to be to the linear program, as a part of it, before sites list; and how
/// much lower before they list again.
const NEAR: f64 = 2e-3;
const AGAIN: f64 = 5e-4;

pub(super) struct Search<'a> {
    pub sites: &'a mut dyn Sites,
    pub rows: &'a [SharedRow],
    pub limits: Vec<f64>,
    /// No choice that keeps the rows is worth less.
    least: f64,
    pub aim: Aim,
    pub pace: Pace,
    pub pool: Pool,
    pub best: Option<(Vec<usize>, f64)>,
    pub asks: usize,
    /// Questions asked when the gap came within `proof`.
    proven_at: Option<usize>,
    root_prices: Vec<f64>,
    /// Highest bound of what was left without being searched to its end.
    left: f64,
    /// Was a node left open that may hold what is sought?
    open: bool,
}

/// The prices that gave the best bound of a node, and the bounds of the sites there.
struct Center {
    bound: f64,
    prices: Vec<f64>,
    tops: Vec<f64>,
}

/// What became of a node.
enum Worked {
    /// Nothing in it matters any more, or no more can be done about it.
    Done,
    Branches([Node; 2]),
}

/// Shares a stock out among sites.
///
/// `least` is a value below which no choice that keeps the rows can be.
///
/// # Panics
/// If a choice of `start` or a site's offer speaks of sites or rows that there are not.
pub fn share_out(
    sites: &mut dyn Sites,
    rows: &[SharedRow],
    start: Start,
    least: f64,
    aim: Aim,
    pace: Pace,
) -> SharedOut {
    let n_sites = sites.count();
    let mut search = Search {
        sites,
        limits: rows.iter().map(|r| r.limit).collect(),
        rows,
        least,
        aim,
        pace,
        pool: Pool::new(n_sites),
        best: None,
        asks: 0,
        proven_at: None,
        root_prices: vec![0.0; rows.len()],
        left: f64::NEG_INFINITY,
        open: false,
    };
    for (site, offers) in start.offers.iter().enumerate() {
        offers.iter().for_each(|offer| {
            search.pool.add(site, offer);
        });
    }
    for choice in start.choices {
        let places: Vec<usize> =
            choice.iter().enumerate().map(|(site, offer)| search.pool.add(site, offer)).collect();
        search.offer(&places);
    }
    let mut root = Node::root(rows.len(), start.prices);
    root.bound = start.bound.unwrap_or(f64::INFINITY);
    search.run(root)
}

impl Search<'_> {
    fn run(mut self, root: Node) -> SharedOut {
        let mut heap = vec![root];
        while let Some(at) = highest(&heap) {
            let top = heap[at].bound;
            if self.ends(top) {
                self.left = self.left.max(top);
                self.open |= !self.is_settled(top);
                break;
            }
            let node = heap.swap_remove(at);
            let others = highest(&heap).map_or(f64::NEG_INFINITY, |at| heap[at].bound);
            if let Worked::Branches(branches) = self.work(node, others) {
                heap.extend(branches);
            }
        }
        let value = self.best_value();
        let tags = |places: Vec<usize>| {
            places.iter().enumerate().map(|(s, p)| self.pool.of(s, *p).tag).collect()
        };
        SharedOut {
            bound: self.left.max(value),
            complete: !self.open,
            prices: self.root_prices.clone(),
            asks: self.asks,
            best: self.best.clone().map(|(places, value)| Allotment { tags: tags(places), value }),
        }
    }

    /// Gap that a bound leaves, as a fraction of the best value; infinite without one.
    fn gap(&self, bound: f64) -> f64 {
        self.best.as_ref().map_or(f64::INFINITY, |(_, v)| (bound - v) / v.abs().max(1.0))
    }

    /// Does nothing below this bound matter any more?
    fn is_settled(&self, bound: f64) -> bool {
        bound < self.least
            || match self.aim {
                Aim::Most => self.gap(bound) <= self.pace.closed,
                Aim::AtLeast(enough) => {
                    bound < enough || self.best.as_ref().is_some_and(|b| b.1 >= enough)
                }
            }
    }

    /// Is there nothing left to do, or no more work allowed?
    pub(super) fn ends(&mut self, bound: f64) -> bool {
        if self.aim == Aim::Most && self.gap(bound) <= self.pace.proof {
            self.proven_at.get_or_insert(self.asks);
        }
        let past = self.proven_at.is_some_and(|n| self.asks >= n + self.pace.asks_past_proof);
        let spent = past || self.asks >= self.pace.asks || self.pace.watch.is_stopped();
        self.is_settled(bound) || spent
    }

    /// Takes a choice as the best if it keeps the rows and is better.
    pub(super) fn offer(&mut self, places: &[usize]) -> bool {
        let mut used = vec![0.0; self.limits.len()];
        let mut value = 0.0;
        for (site, &place) in places.iter().enumerate() {
            let offer = self.pool.of(site, place);
            value += offer.value;
            offer.uses.iter().for_each(|&(r, a)| used[r] += a);
        }
        let kept = used.iter().zip(&self.limits).all(|(u, b)| *u <= b + slack(*b));
        let better = kept && self.best.as_ref().is_none_or(|b| value > b.1);
        if better {
            self.best = Some((places.to_vec(), value));
        }
        better
    }

    /// Asks some sites at some prices.
    pub(super) fn ask(
        &mut self,
        sites: impl Iterator<Item = (usize, Vec<Span>)>,
        prices: &[f64],
    ) -> Vec<Reply> {
        let scale = self.best.as_ref().map_or(0.0, |b| b.1.abs());
        let tolerance = INEXACT * self.pace.closed * scale / self.pool.n_sites().max(1) as f64;
        let asks: Vec<Ask> = sites
            .map(|(site, spans)| {
                let mut known: Vec<usize> = self.pool.within(site, &spans, 0).collect();
                let at = |place: &usize| priced(self.pool.of(site, *place), prices);
                known.sort_by(|a, b| at(b).total_cmp(&at(a)).then(a.cmp(b)));
                known.truncate(REMINDED);
                let known = known.iter().map(|p| self.pool.of(site, *p).tag).collect();
                Ask { site, prices: prices.to_vec(), spans, known, tolerance }
            })
            .collect();
        self.asks += asks.len();
        self.sites.ask(&asks)
    }

    fn work(&mut self, mut node: Node, others: f64) -> Worked {
        let n_sites = self.pool.n_sites();
        let mut prices = node.prices.clone();
        let mut center: Option<Center> = None;
        let mut keep = 0.0;
        // A bound has to be lower than this to be worth lists.
        let mut lists_at = f64::INFINITY;
        let mut program: Option<Shares> = None;
        // Of each column of the program its site and place, and how many of each site were seen.
        let mut columns: Vec<(usize, usize)> = Vec::new();
        let mut seen = vec![0; n_sites];
        for round in 1..=self.pace.rounds {
            let asked: Vec<f64> = match &center {
                Some(center) => mixed(&center.prices, &prices, keep),
                None => prices.clone(),
            };
            let every = (0..n_sites).map(|s| (s, node.spans_of(s))).collect::<Vec<_>>();
            let replies = self.ask(every.into_iter(), &asked);
            let at_prices: f64 = asked.iter().zip(&self.limits).map(|(y, b)| y * b).sum();
            let bound = at_prices + replies.iter().map(|r| r.bound).sum::<f64>();
            node.bound = node.bound.min(bound);
            if center.as_ref().is_none_or(|best| bound < best.bound) {
                let tops = replies.iter().map(|r| r.bound).collect();
                center = Some(Center { bound, prices: asked.clone(), tops });
            }
            for (site, reply) in replies.iter().enumerate() {
                reply.offers.iter().for_each(|offer| {
                    self.pool.add(site, offer);
                });
            }
            let program = match &mut program {
                Some(program) => program,
                empty => empty.insert(self.begin(&node, &mut columns, &mut seen)),
            };
            let n_before = if round == 1 { 0 } else { columns.len() };
            self.widen(&node, program, &mut columns, &mut seen);
            let changed = columns.len() > n_before;
            program.climb(PIVOTS_EACH * (self.rows.len() + n_sites));
            prices = program.prices();
            let value = program.value();
            let ends = self.converged(node.bound, value) || (!changed && keep == 0.0);
            if ends || round.is_power_of_two() {
                self.seek_whole(&node, program, &columns);
            }
            let near = node.bound - value <= NEAR * value.abs().max(1.0);
            if let Some(center) =
                center.as_ref().filter(|c| node.spans.is_empty() && c.bound < lists_at)
                && (near || ends)
            {
                lists_at = center.bound - AGAIN * center.bound.abs();
                self.close_by_lists(&mut node, &center.prices, &center.tops);
            }
            self.pace.watch.reached(self.best_value(), node.bound);
            let top = node.bound.max(others).max(self.left);
            if self.is_settled(node.bound) || self.ends(top) || ends || round == self.pace.rounds {
                return self.close(node, prices, &parts(program, &columns));
            }
            // Prices that brought nothing new are left at once.
            keep = if changed && node.bound.is_finite() { KEEP } else { 0.0 };
        }
        self.close(node, prices, &[])
    }

    /// Is the bound as low as the linear program lets it be?
    fn converged(&self, bound: f64, value: f64) -> bool {
        bound - value <= 0.5 * self.pace.closed * value.abs().max(1.0)
    }

    fn close(&mut self, mut node: Node, prices: Vec<f64>, parts: &[Part]) -> Worked {
        if node.spans.is_empty() {
            self.root_prices.clone_from(&prices);
        }
        if self.is_settled(node.bound) {
            self.left = self.left.max(node.bound);
            return Worked::Done;
        }
        node.prices = prices;
        match node.branches(parts, &self.pool, self.rows) {
            Some(branches) => Worked::Branches(branches),
            None => {
                self.left = self.left.max(node.bound);
                self.open = true;
                Worked::Done
            }
        }
    }

    fn share(&self, site: usize, place: usize) -> Share {
        let offer = self.pool.of(site, place);
        Share { site, value: offer.value, uses: offer.uses.clone() }
    }

    /// A linear program with one configuration of each site.
    fn begin(&self, node: &Node, columns: &mut Vec<(usize, usize)>, seen: &mut [usize]) -> Shares {
        let n_sites = self.pool.n_sites();
        let most = (0..n_sites).flat_map(|s| self.pool.all(s)).map(|o| o.value.abs());
        let fence = FENCE * most.fold(1.0, f64::max) * n_sites as f64;
        let mut first = Vec::with_capacity(n_sites);
        for (site, seen) in seen.iter_mut().enumerate() {
            let place = self.pool.within(site, &node.spans_of(site), 0).next();
            // A site for which nothing is known yet is as good as a row not met.
            first.push(place.map_or(Share { site, value: -fence, uses: Vec::new() }, |place| {
                self.share(site, place)
            }));
            columns.push((site, place.unwrap_or(NOTHING)));
            *seen = place.map_or(0, |p| p + 1);
        }
        Shares::new(self.limits.clone(), first, fence)
    }

    /// Adds what has come to be known within a node to its linear program.
    fn widen(
        &self,
        node: &Node,
        program: &mut Shares,
        columns: &mut Vec<(usize, usize)>,
        seen: &mut [usize],
    ) {
        for (site, seen) in seen.iter_mut().enumerate() {
            for place in self.pool.within(site, &node.spans_of(site), *seen) {
                program.add(self.share(site, place));
                columns.push((site, place));
            }
            *seen = self.pool.all(site).len();
        }
    }

    pub(super) fn best_value(&self) -> f64 {
        self.best.as_ref().map_or(f64::NEG_INFINITY, |b| b.1)
    }
}

/// Index of the node with the highest bound; of equals the first.
fn highest(nodes: &[Node]) -> Option<usize> {
    (0..nodes.len()).reduce(|a, b| if nodes[b].bound > nodes[a].bound { b } else { a })
}

fn mixed(center: &[f64], prices: &[f64], keep: f64) -> Vec<f64> {
    center.iter().zip(prices).map(|(c, y)| keep * c + (1.0 - keep) * y).collect()
}

/// The configurations that have a share, by site.
pub(super) fn parts(program: &Shares, columns: &[(usize, usize)]) -> Vec<Part> {
    let known = |&(j, share): &(usize, f64)| {
        let (site, place) = columns[j];
        (place != NOTHING).then_some(Part { site, place, share })
    };
    let mut parts: Vec<Part> = program.shares().iter().filter_map(known).collect();
    parts.sort_by_key(|p| (p.site, p.place));
    parts
}
