//! One node: how much of which row each site may take, and on what to branch.

use super::pool::{Pool, use_of};
use super::{Measure, SharedRow, Span};

/// What branching has fixed.
#[derive(Debug, Clone)]
pub(super) struct Node {
    /// Site and span, ascending by site and row.
    pub spans: Vec<(usize, Span)>,
    /// No choice in this node is worth more.
    pub bound: f64,
    /// Prices of the node around this one.
    pub prices: Vec<f64>,
}

/// A configuration with a share in the linear program.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub site: usize,
    pub place: usize,
    pub share: f64,
}

impl Node {
    /// Nothing fixed; prices that are not given are zero.
    pub(super) fn root(n_rows: usize, prices: &[f64]) -> Self {
        let price = |r: usize| prices.get(r).copied().filter(|y| *y > 0.0).unwrap_or(0.0);
        let prices = (0..n_rows).map(price).collect();
        Self { spans: Vec::new(), bound: f64::INFINITY, prices }
    }

    pub(super) fn spans_of(&self, site: usize) -> Vec<Span> {
        self.spans.iter().filter(|(s, _)| *s == site).map(|(_, span)| *span).collect()
    }

    fn tightened(&self, site: usize, tighter: Span) -> Self {
        let mut node = self.clone();
        match node.spans.iter_mut().find(|(s, span)| *s == site && span.row == tighter.row) {
            Some((_, span)) => {
                span.least = span.least.max(tighter.least);
                span.most = span.most.min(tighter.most);
            }
            None => node.spans.push((site, tighter)),
        }
        node.spans.sort_by_key(|(s, span)| (*s, span.row));
        node
    }

    /// Both sides of a branch that cuts the linear program's shares off; `None` if no row that is
    /// counted in whole numbers tells the shares of any site apart.
    pub(super) fn branches(
        &self,
        parts: &[Part],
        pool: &Pool,
        rows: &[SharedRow],
    ) -> Option<[Self; 2]> {
        let mut best: Option<(f64, usize, usize, f64)> = None;
        for of_site in parts.chunk_by(|a, b| a.site == b.site).filter(|p| p.len() > 1) {
            let site = of_site[0].site;
            for row in (0..rows.len()).filter(|r| rows[*r].measure == Measure::Whole) {
                let uses =
                    || of_site.iter().map(|p| (p.share, use_of(pool.of(site, p.place), row)));
                let least = uses().map(|u| u.1).fold(f64::INFINITY, f64::min);
                let most = uses().map(|u| u.1).fold(f64::NEG_INFINITY, f64::max);
                if most - least < 0.5 {
                    continue;
                }
                let whole: f64 = of_site.iter().map(|p| p.share).sum();
                let mean = uses().map(|(z, u)| z * u).sum::<f64>() / whole;
                // A cut strictly inside: both sides lose a configuration that has a share.
                let cut = mean.floor().clamp(least, most - 1.0);
                let part = (mean - mean.floor()).min(mean.ceil() - mean);
                let score = part + 1e-3 * (most - least);
                if best.is_none_or(|(top, ..)| score > top + 1e-9) {
                    best = Some((score, site, row, cut));
                }
            }
        }
        let (_, site, row, cut) = best?;
        let span = |least, most| Span { row, least, most };
        Some([
            self.tightened(site, span(f64::NEG_INFINITY, cut)),
            self.tightened(site, span(cut + 1.0, f64::INFINITY)),
        ])
    }
}
