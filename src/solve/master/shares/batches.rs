//! The same program where there are very many columns: most of them are looked at seldom.

use super::{Basic, NO_GAIN, STALLED, Shares};

/// Pivots after which the inverse is worked out anew: each adds its rounding.
const FRESH: usize = 200;
/// Most columns in a batch.
const BATCH: usize = 300;

impl Shares {
    /// Pivots until nothing gains, or the limit is reached: the best column of each site is noted,
    /// and those are worked through before all are looked at again.
    pub(in crate::solve::master) fn climb_in_batches(&mut self, most_pivots: usize) {
        let mut pivots = 0;
        self.refresh();
        loop {
            self.set_prices();
            let batch = self.improving();
            let before = pivots;
            let mut stalled = 0;
            while pivots < most_pivots {
                self.set_prices();
                let Some(entering) = self.best_of(&batch, stalled > STALLED) else { break };
                let direction = self.direction(entering);
                let Some((leaving, step)) = self.leaving(entering, &direction) else { break };
                stalled = if step > 1e-12 { 0 } else { stalled + 1 };
                self.exchange(entering, direction, leaving, step);
                pivots += 1;
                if pivots.is_multiple_of(FRESH) {
                    self.refresh();
                }
            }
            if pivots == before || pivots >= most_pivots {
                self.set_prices();
                return;
            }
        }
    }

    /// The best column of each site that gains, best first.
    fn improving(&self) -> Vec<usize> {
        let site_prices: Vec<f64> =
            self.keys.iter().map(|&j| self.priced(&self.columns[j])).collect();
        let mut best: Vec<Option<(f64, usize)>> = vec![None; self.keys.len()];
        for (j, column) in self.columns.iter().enumerate() {
            let gain = self.priced(column) - site_prices[column.site];
            let known = &mut best[column.site];
            if gain > NO_GAIN * self.scale && known.is_none_or(|(most, _)| gain > most) {
                *known = Some((gain, j));
            }
        }
        let mut found: Vec<(f64, usize)> = best.into_iter().flatten().collect();
        found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        found.truncate(BATCH);
        found.into_iter().map(|(_, j)| j).collect()
    }

    /// Of a batch, and of what is left of the rows, what gains most; or the first that gains.
    fn best_of(&self, batch: &[usize], first: bool) -> Option<Basic> {
        let no_gain = NO_GAIN * self.scale;
        let rows = self.prices.iter().enumerate().map(|(r, y)| (-y, Basic::Left(r)));
        let columns = batch.iter().map(|&j| {
            let column = &self.columns[j];
            let key = &self.columns[self.keys[column.site]];
            (self.priced(column) - self.priced(key), Basic::Column(j))
        });
        let mut gaining = rows.chain(columns).filter(|(gain, _)| *gain > no_gain);
        let best = if first {
            gaining.next()
        } else {
            gaining.reduce(|a, b| if b.0 > a.0 { b } else { a })
        };
        best.map(|(_, basic)| basic)
    }

    /// Works the inverse and all amounts out anew from the basis.
    fn refresh(&mut self) {
        let m = self.limits.len();
        let mut work = vec![0.0; m * 2 * m];
        for (r, basic) in self.basis.iter().enumerate() {
            let mut set = |row: usize, a: f64| work[row * 2 * m + r] += a;
            match basic {
                Basic::Column(j) => {
                    let column = &self.columns[*j];
                    column.uses.iter().for_each(|&(row, a)| set(row, a));
                    let key = &self.columns[self.keys[column.site]];
                    key.uses.iter().for_each(|&(row, a)| set(row, -a));
                }
                Basic::Left(row) => set(*row, 1.0),
                Basic::Short(row) => set(*row, -1.0),
            }
        }
        (0..m).for_each(|r| work[r * 2 * m + m + r] = 1.0);
        if !invert(&mut work, m) {
            return;
        }
        for r in 0..m {
            let row = &work[r * 2 * m + m..(r + 1) * 2 * m];
            self.inverse[r * m..(r + 1) * m].copy_from_slice(row);
        }
        let mut left = self.limits.clone();
        for key in &self.keys {
            self.columns[*key].uses.iter().for_each(|&(row, a)| left[row] -= a);
        }
        for r in 0..m {
            let row = &self.inverse[r * m..(r + 1) * m];
            self.at[r] = row.iter().zip(&left).map(|(b, l)| b * l).sum();
        }
        self.at_key.fill(1.0);
        for (basic, x) in self.basis.iter().zip(&self.at) {
            if let Basic::Column(j) = basic {
                self.at_key[self.columns[*j].site] -= x;
            }
        }
    }
}

/// Turns `[B | 1]`, row by row, into `[1 | B⁻¹]` by elimination with row exchanges; false, and the
/// matrix spoiled, if a pivot is too small.
fn invert(work: &mut [f64], m: usize) -> bool {
    let width = 2 * m;
    for c in 0..m {
        let size = |r: &usize| work[r * width + c].abs();
        let best = (c..m).reduce(|a, b| if size(&b) > size(&a) { b } else { a });
        let Some(best) = best.filter(|r| work[r * width + c].abs() > 1e-11) else { return false };
        if best != c {
            (0..width).for_each(|k| work.swap(best * width + k, c * width + k));
        }
        let by = work[c * width + c];
        work[c * width..(c + 1) * width].iter_mut().for_each(|x| *x /= by);
        let pivot: Vec<f64> = work[c * width..(c + 1) * width].to_vec();
        for r in (0..m).filter(|r| *r != c) {
            let factor = work[r * width + c];
            if factor != 0.0 {
                let row = &mut work[r * width..(r + 1) * width];
                row.iter_mut().zip(&pivot).for_each(|(x, p)| *x -= factor * p);
            }
        }
    }
    true
}
