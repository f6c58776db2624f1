//! Whole choices among the configurations met so far: one of each site, depth first.
//!
//! At the prices of the linear program a choice is worth at most the program's value less what each
//! configuration falls short of its site's best, so a branch ends where that is not enough. Sites
//! whose share is whole come first; where steps run out, what is left open is a few sites' choice.

use super::pool::{Pool, priced};

/// What is searched.
pub(super) struct Whole<'a> {
    pub pool: &'a Pool,
    pub limits: &'a [f64],
    /// Places of the configurations allowed, for each site.
    pub allowed: &'a [Vec<usize>],
    pub prices: &'a [f64],
    /// Sites in the order in which they are decided.
    pub order: &'a [usize],
}

/// One candidate of a site.
struct Candidate {
    place: usize,
    /// How far below the site's best at the prices, at most zero.
    short: f64,
}

struct Walk<'a, 'b> {
    whole: &'a Whole<'b>,
    /// By the depth at which a site is decided.
    candidates: Vec<Vec<Candidate>>,
    /// Least use of each row by all sites from a depth on.
    least_use: Vec<Vec<f64>>,
    used: Vec<f64>,
    taken: Vec<usize>,
    threshold: f64,
    steps: usize,
    best: Option<Vec<usize>>,
}

impl Whole<'_> {
    /// The best choice worth more than the threshold that was found, places in order of the sites.
    pub(super) fn best_above(&self, threshold: f64, steps: usize) -> Option<Vec<usize>> {
        let mut bound: f64 = self.prices.iter().zip(self.limits).map(|(y, b)| y * b).sum();
        let mut candidates = Vec::with_capacity(self.order.len());
        for &site in self.order {
            let at = |place: &usize| (priced(self.pool.of(site, *place), self.prices), *place);
            let mut list: Vec<(f64, usize)> = self.allowed[site].iter().map(at).collect();
            list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            let top = list.first()?.0;
            bound += top;
            candidates
                .push(list.iter().map(|&(v, place)| Candidate { place, short: v - top }).collect());
        }
        let mut walk = Walk {
            whole: self,
            least_use: self.least_use(),
            candidates,
            used: vec![0.0; self.limits.len()],
            taken: Vec::with_capacity(self.order.len()),
            threshold,
            steps,
            best: None,
        };
        walk.descend(bound, 0.0);
        walk.best.map(|taken| {
            let mut by_site = vec![0; self.order.len()];
            self.order.iter().zip(taken).for_each(|(&site, place)| by_site[site] = place);
            by_site
        })
    }

    fn least_use(&self) -> Vec<Vec<f64>> {
        let mut sums = vec![vec![0.0; self.limits.len()]];
        for &site in self.order.iter().rev() {
            let mut least = vec![f64::INFINITY; self.limits.len()];
            for &place in &self.allowed[site] {
                let mut used = vec![0.0; self.limits.len()];
                self.pool.of(site, place).uses.iter().for_each(|&(r, a)| used[r] = a);
                least.iter_mut().zip(used).for_each(|(l, a)| *l = a.min(*l));
            }
            let after = &sums[sums.len() - 1];
            let sum = least.iter().zip(after).map(|(l, s)| l + s).collect();
            sums.push(sum);
        }
        sums.reverse();
        sums
    }
}

impl Walk<'_, '_> {
    fn descend(&mut self, bound: f64, value: f64) {
        let depth = self.taken.len();
        if depth == self.candidates.len() {
            if value > self.threshold {
                self.threshold = value;
                self.best = Some(self.taken.clone());
            }
            return;
        }
        let site = self.whole.order[depth];
        for c in 0..self.candidates[depth].len() {
            let Candidate { place, short } = self.candidates[depth][c];
            if self.steps == 0 || bound + short <= self.threshold {
                return;
            }
            self.steps -= 1;
            let offer = self.whole.pool.of(site, place);
            offer.uses.iter().for_each(|&(r, a)| self.used[r] += a);
            let later = &self.least_use[depth + 1];
            let kept = self
                .used
                .iter()
                .zip(later)
                .zip(self.whole.limits)
                .all(|((u, l), b)| u + l <= b + slack(*b));
            if kept {
                self.taken.push(place);
                self.descend(bound + short, value + offer.value);
                self.taken.pop();
            }
            offer.uses.iter().for_each(|&(r, a)| self.used[r] -= a);
        }
    }
}

/// Rounding allowed on a row.
pub(super) fn slack(limit: f64) -> f64 {
    1e-9 * (1.0 + limit.abs())
}
