//! The linear program over the configurations met so far: shares of them at each site.
//!
//! ```text
//! most of   Σ value·z       Σ_c z_sc = 1 for each site,   Σ use_r·z ≤ limit_r,   z ≥ 0
//! ```
//!
//! A thousand sites are a thousand rows of the first sort, so those are kept out of the basis: one
//! configuration of each site is its *key* and takes what the others leave (generalized upper
//! bounding: G.B. Dantzig & R.M. Van Slyke, Journal of Computer and System Sciences 1(3), 1967,
//! doi:10.1016/S0022-0000(67)80015-0). The inverse is only as large as there are shared rows.
//! Rounding may make the prices poor, never a bound wrong: see the module above.

/// Below this, in parts of the largest value, a reduced cost counts as zero.
const NO_GAIN: f64 = 1e-10;
/// Below this an entry is no pivot.
const NO_PIVOT: f64 = 1e-9;
/// Pivots without progress after which the first gain is taken (R.G. Bland, Mathematics of
/// Operations Research 2(2), 1977, doi:10.1287/moor.2.2.103).
const STALLED: usize = 50;

/// A column: a configuration of a site.
#[derive(Debug, Clone)]
pub(super) struct Share {
    pub site: usize,
    pub value: f64,
    pub uses: Vec<(usize, f64)>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Basic {
    Column(usize),
    /// What is left of a row.
    Left(usize),
    /// What a row lacks, at a high price.
    Short(usize),
}

/// What leaves the basis.
#[derive(Clone, Copy)]
enum Leaving {
    Row(usize),
    Key(usize),
}

/// The linear program, with its basis.
#[derive(Debug, Clone)]
pub(super) struct Shares {
    limits: Vec<f64>,
    /// What a unit that a row lacks costs.
    fence: f64,
    columns: Vec<Share>,
    keys: Vec<usize>,
    at_key: Vec<f64>,
    basis: Vec<Basic>,
    at: Vec<f64>,
    /// Row by row.
    inverse: Vec<f64>,
    prices: Vec<f64>,
    scale: f64,
}

impl Shares {
    /// One column for each site to begin with: the first of each site, in order of the sites.
    pub(super) fn new(limits: Vec<f64>, first: Vec<Share>, fence: f64) -> Self {
        let m = limits.len();
        let mut left = limits.clone();
        first.iter().flat_map(|c| &c.uses).for_each(|&(r, a)| left[r] -= a);
        let mut inverse = vec![0.0; m * m];
        let mut basis = Vec::with_capacity(m);
        for (r, b) in left.iter().enumerate() {
            basis.push(if *b >= 0.0 { Basic::Left(r) } else { Basic::Short(r) });
            inverse[r * m + r] = if *b >= 0.0 { 1.0 } else { -1.0 };
        }
        let scale = first.iter().map(|c| c.value.abs()).fold(1e-300, f64::max);
        Self {
            fence,
            keys: (0..first.len()).collect(),
            at_key: vec![1.0; first.len()],
            columns: first,
            basis,
            at: left.iter().map(|b| b.abs()).collect(),
            inverse,
            prices: vec![0.0; m],
            scale,
            limits,
        }
    }

    pub(super) fn add(&mut self, column: Share) {
        self.scale = self.scale.max(column.value.abs());
        self.columns.push(column);
    }

    /// Makes all other columns of a column's site as dear as a row not met; what they were worth.
    pub(super) fn forbid_others(&mut self, column: usize) -> Vec<(usize, f64)> {
        let site = self.columns[column].site;
        let mut before = Vec::new();
        for (j, other) in self.columns.iter_mut().enumerate() {
            if other.site == site && j != column {
                before.push((j, std::mem::replace(&mut other.value, -self.fence)));
            }
        }
        before
    }

    /// Gives columns the values that they had.
    pub(super) fn allow(&mut self, columns: &[(usize, f64)]) {
        columns.iter().for_each(|&(j, value)| self.columns[j].value = value);
    }

    /// Makes a column as dear as a row not met.
    pub(super) fn forbid(&mut self, column: usize) {
        self.columns[column].value = -self.fence;
    }

    /// Is a row short of what the columns in the basis use, or forced to be met?
    pub(super) fn lacks(&self) -> bool {
        let short = |(basic, x): (&Basic, &f64)| matches!(basic, Basic::Short(_)) && *x > 1e-7;
        let dear = |(j, z): (usize, f64)| z > 1e-6 && self.columns[j].value <= -self.fence;
        self.basis.iter().zip(&self.at).any(short) || self.shares().into_iter().any(dear)
    }

    /// Pivots until nothing gains, or the limit is reached.
    pub(super) fn climb(&mut self, most_pivots: usize) {
        let mut stalled = 0;
        for _ in 0..most_pivots {
            self.set_prices();
            let Some(entering) = self.entering(stalled > STALLED) else { return };
            let direction = self.direction(entering);
            let Some((leaving, step)) = self.leaving(entering, &direction) else { return };
            stalled = if step > 1e-12 { 0 } else { stalled + 1 };
            self.exchange(entering, direction, leaving, step);
        }
        self.set_prices();
    }

    /// Prices of the rows, at least zero.
    pub(super) fn prices(&self) -> Vec<f64> {
        self.prices.iter().map(|y| if y.is_finite() { y.max(0.0) } else { 0.0 }).collect()
    }

    /// What the program's own value is, rows that lack something included at their cost.
    pub(super) fn value(&self) -> f64 {
        let keys: f64 =
            self.keys.iter().zip(&self.at_key).map(|(&j, z)| self.columns[j].value * z).sum();
        let basics: f64 = self
            .basis
            .iter()
            .zip(&self.at)
            .map(|(basic, x)| match basic {
                Basic::Column(j) => self.columns[*j].value * x,
                Basic::Left(_) => 0.0,
                Basic::Short(_) => -self.fence * x,
            })
            .sum();
        keys + basics
    }

    /// Columns with a share, ascending, and their shares.
    pub(super) fn shares(&self) -> Vec<(usize, f64)> {
        let keys = self.keys.iter().copied().zip(self.at_key.iter().copied());
        let basics = self.basis.iter().zip(&self.at).filter_map(|(basic, x)| match basic {
            Basic::Column(j) => Some((*j, *x)),
            _ => None,
        });
        let mut shares: Vec<(usize, f64)> = keys.chain(basics).filter(|(_, z)| *z > 1e-9).collect();
        shares.sort_unstable_by_key(|s| s.0);
        shares
    }

    /// Value of a column less what it pays for its uses.
    fn priced(&self, column: &Share) -> f64 {
        column.value - column.uses.iter().map(|&(r, a)| a * self.prices[r]).sum::<f64>()
    }

    fn set_prices(&mut self) {
        let m = self.limits.len();
        let mut prices = vec![0.0; m];
        for (r, basic) in self.basis.iter().enumerate() {
            let worth = match basic {
                Basic::Column(j) => {
                    let column = &self.columns[*j];
                    column.value - self.columns[self.keys[column.site]].value
                }
                Basic::Left(_) => continue,
                Basic::Short(_) => -self.fence,
            };
            let row = &self.inverse[r * m..(r + 1) * m];
            prices.iter_mut().zip(row).for_each(|(y, b)| *y += worth * b);
        }
        self.prices = prices;
    }

    fn entering(&self, first: bool) -> Option<Basic> {
        let site_prices: Vec<f64> =
            self.keys.iter().map(|&j| self.priced(&self.columns[j])).collect();
        let mut best = NO_GAIN * self.scale;
        let mut entering = None;
        for (r, y) in self.prices.iter().enumerate() {
            if -y > best {
                (best, entering) = (-y, Some(Basic::Left(r)));
                if first {
                    return entering;
                }
            }
        }
        for (j, column) in self.columns.iter().enumerate() {
            let gain = self.priced(column) - site_prices[column.site];
            if gain > best {
                (best, entering) = (gain, Some(Basic::Column(j)));
                if first {
                    return entering;
                }
            }
        }
        entering
    }

    fn direction(&self, entering: Basic) -> Vec<f64> {
        let m = self.limits.len();
        let mut used = vec![0.0; m];
        match entering {
            Basic::Column(j) => {
                let column = &self.columns[j];
                column.uses.iter().for_each(|&(r, a)| used[r] += a);
                let key = &self.columns[self.keys[column.site]];
                key.uses.iter().for_each(|&(r, a)| used[r] -= a);
            }
            Basic::Left(r) => used[r] = 1.0,
            Basic::Short(r) => used[r] = -1.0,
        }
        let dot = |row: &[f64]| row.iter().zip(&used).map(|(b, a)| b * a).sum();
        self.inverse.chunks_exact(m.max(1)).take(m).map(dot).collect()
    }

    /// Keys that a step moves, and by how much each falls.
    fn falling_keys(&self, entering: Basic, direction: &[f64]) -> Vec<(usize, f64)> {
        let mut falls: Vec<(usize, f64)> = Vec::new();
        let mut add = |site: usize, by: f64| match falls.iter_mut().find(|(s, _)| *s == site) {
            Some((_, fall)) => *fall += by,
            None => falls.push((site, by)),
        };
        if let Basic::Column(j) = entering {
            add(self.columns[j].site, 1.0);
        }
        for (basic, d) in self.basis.iter().zip(direction) {
            if let Basic::Column(j) = basic {
                add(self.columns[*j].site, -d);
            }
        }
        falls
    }

    /// What leaves, and the step; of equals the largest pivot.
    fn leaving(&self, entering: Basic, direction: &[f64]) -> Option<(Leaving, f64)> {
        let rows = direction.iter().enumerate().map(|(r, d)| (Leaving::Row(r), self.at[r], *d));
        let keys = self.falling_keys(entering, direction);
        let keys = keys.iter().map(|(s, d)| (Leaving::Key(*s), self.at_key[*s], *d));
        let mut best: Option<(Leaving, f64, f64)> = None;
        for (leaving, at, fall) in rows.chain(keys).filter(|(_, _, fall)| *fall > NO_PIVOT) {
            let step = at.max(0.0) / fall;
            let better = best.is_none_or(|(_, least, pivot)| {
                step < least - 1e-12 || (step <= least + 1e-12 && fall > pivot)
            });
            if better {
                best = Some((leaving, step, fall));
            }
        }
        best.map(|(leaving, step, _)| (leaving, step))
    }

    fn exchange(&mut self, entering: Basic, mut direction: Vec<f64>, leaving: Leaving, step: f64) {
        for (site, fall) in self.falling_keys(entering, &direction) {
            self.at_key[site] -= fall * step;
        }
        self.at.iter_mut().zip(&direction).for_each(|(x, d)| *x -= d * step);
        let row = match leaving {
            Leaving::Row(row) => row,
            Leaving::Key(site) => {
                let of_site: Vec<usize> =
                    (0..self.basis.len()).filter(|&r| self.is_of(r, site)).collect();
                let Some(&row) =
                    of_site.iter().max_by(|a, b| self.at[**a].total_cmp(&self.at[**b]))
                else {
                    // The site's only column makes way for the one that enters.
                    if let Basic::Column(j) = entering {
                        self.keys[site] = j;
                        self.at_key[site] = step;
                    }
                    return;
                };
                direction[row] = self.swap_key(site, row, &of_site, entering, &direction);
                row
            }
        };
        self.pivot(row, &direction);
        self.basis[row] = entering;
        self.at[row] = step;
    }

    /// Is the basic variable of a row a configuration of this site?
    fn is_of(&self, row: usize, site: usize) -> bool {
        matches!(self.basis[row], Basic::Column(j) if self.columns[j].site == site)
    }

    /// Makes the column of a row its site's key, and the key the row's column; the row's new entry
    /// of the direction.
    fn swap_key(
        &mut self,
        site: usize,
        row: usize,
        of_site: &[usize],
        entering: Basic,
        direction: &[f64],
    ) -> f64 {
        let m = self.limits.len();
        let mut swapped = vec![0.0; m];
        for &r in of_site {
            for (to, b) in swapped.iter_mut().zip(&self.inverse[r * m..(r + 1) * m]) {
                *to -= b;
            }
        }
        self.inverse[row * m..(row + 1) * m].copy_from_slice(&swapped);
        if let Basic::Column(j) = self.basis[row] {
            self.basis[row] = Basic::Column(self.keys[site]);
            self.keys[site] = j;
            self.at_key[site] = self.at[row];
        }
        let enters_here = matches!(entering, Basic::Column(j) if self.columns[j].site == site);
        let own = if enters_here { 1.0 } else { 0.0 };
        own - of_site.iter().map(|&r| direction[r]).sum::<f64>()
    }

    fn pivot(&mut self, row: usize, direction: &[f64]) {
        let m = self.limits.len();
        let by = direction[row];
        for b in &mut self.inverse[row * m..(row + 1) * m] {
            *b /= by;
        }
        let pivot: Vec<f64> = self.inverse[row * m..(row + 1) * m].to_vec();
        for (r, d) in direction.iter().enumerate().filter(|(r, d)| *r != row && **d != 0.0) {
            let target = &mut self.inverse[r * m..(r + 1) * m];
            target.iter_mut().zip(&pivot).for_each(|(b, p)| *b -= d * p);
        }
    }
}

mod batches;
#[cfg(test)]
mod tests;
