//! Whole choices among the configurations met, and better ones around them.

use super::Span;
use super::dive::dive;
use super::node::Node;
use super::search::{NOTHING, PIVOTS_EACH, Search, parts};
use super::shares::Shares;
use super::whole::Whole;

impl Search<'_> {
    /// Seeks a better whole choice among what is known, and asks sites again around it.
    pub(super) fn seek_whole(&mut self, node: &Node, program: &Shares, columns: &[(usize, usize)]) {
        let n_sites = self.pool.n_sites();
        let parts = parts(program, columns);
        let mut order: Vec<usize> = (0..n_sites).collect();
        let n_parts = |s: usize| parts.iter().filter(|p| p.site == s).count();
        order.sort_by_cached_key(|&s| (n_parts(s), s));
        let before = self.best_value();
        let pivots = PIVOTS_EACH * (self.rows.len() + n_sites);
        if let Some(choice) = dive(program, before, pivots) {
            let mut places = vec![NOTHING; n_sites];
            choice.iter().for_each(|&j| places[columns[j].0] = columns[j].1);
            if !places.contains(&NOTHING) {
                self.offer(&places);
            }
        }
        let whole = Whole {
            pool: &self.pool,
            limits: &self.limits,
            allowed: &(0..n_sites)
                .map(|s| self.pool.within(s, &node.spans_of(s), 0).collect())
                .collect::<Vec<_>>(),
            prices: &program.prices(),
            order: &order,
        };
        if let Some(found) = whole.best_above(self.best_value(), self.pace.steps) {
            self.offer(&found);
        }
        if self.best_value() > before {
            order.reverse();
            order.truncate(self.pace.polished);
            self.polish(&order);
        }
    }

    /// Asks sites, one after the other, for their best within what the others leave, until none
    /// finds better.
    fn polish(&mut self, order: &[usize]) {
        let prices = vec![0.0; self.limits.len()];
        let mut unchanged = 0;
        for &site in order.iter().cycle() {
            let spent = self.asks >= self.pace.asks || self.pace.watch.is_stopped();
            if unchanged >= order.len() || spent {
                return;
            }
            unchanged += 1;
            let Some((places, _)) = self.best.clone() else { return };
            let mut left = self.limits.clone();
            for (other, &place) in places.iter().enumerate().filter(|(s, _)| *s != site) {
                self.pool.of(other, place).uses.iter().for_each(|&(r, a)| left[r] -= a);
            }
            let spans = left
                .iter()
                .enumerate()
                .map(|(row, most)| Span { row, least: f64::NEG_INFINITY, most: *most })
                .collect();
            let replies = self.ask(std::iter::once((site, spans)), &prices);
            for offer in replies.iter().flat_map(|r| &r.offers) {
                let mut better = places.clone();
                better[site] = self.pool.add(site, offer);
                if self.offer(&better) {
                    unchanged = 0;
                }
            }
        }
    }
}
