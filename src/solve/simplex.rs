//! A linear program of few rows by the primal simplex method, its basis inverse kept dense.
//!
//! G.B. Dantzig, Linear Programming and Extensions, 1963, chapter 9 (from memory, check your edition).
//! A search asks for thousands of these with a dozen rows, and wants the prices of the rows. They
//! need not be exact: whoever uses them bounds by what any prices prove (see `linear`).

use super::problem::Sense;

/// Below this a reduced cost, scaled by the largest value, counts as zero.
const NO_GAIN: f64 = 1e-9;
/// Below this an entry is no pivot.
const NO_PIVOT: f64 = 1e-9;
/// Pivots without progress after which the first column that gains is taken instead of the best
/// (R.G. Bland, Mathematics of Operations Research 2(2), 1977, doi:10.1287/moor.2.2.103).
const STALLED: usize = 40;

/// What stands in the basis at a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Basic {
    Column(usize),
    Slack(usize),
    /// What a soft row is exceeded by, at a price of one.
    Over(usize),
    /// Stands for "the row is not met yet", at a high price.
    Missing,
}

/// `max Σ value·x, rows, x ≥ 0`. One row must bound `Σ x`.
#[derive(Debug, Clone)]
pub(super) struct Simplex {
    senses: Vec<Sense>,
    /// What a unit of a row not met costs.
    fence: f64,
    /// Values of the columns.
    values: Vec<f64>,
    /// Coefficients, one run of `m` a column.
    dense: Vec<f64>,
    /// Basis inverse, row by row.
    inverse: Vec<f64>,
    basis: Vec<Basic>,
    at: Vec<f64>,
    prices: Vec<f64>,
    direction: Vec<f64>,
}

impl Simplex {
    /// No columns yet.
    pub(super) fn new(senses: Vec<Sense>, fence: f64) -> Self {
        let m = senses.len();
        Self {
            senses,
            fence,
            values: Vec::new(),
            dense: Vec::new(),
            inverse: vec![0.0; m * m],
            basis: vec![Basic::Missing; m],
            at: vec![0.0; m],
            prices: vec![0.0; m],
            direction: vec![0.0; m],
        }
    }

    fn m(&self) -> usize {
        self.senses.len()
    }

    /// Adds a column with one coefficient a row.
    pub(super) fn add(&mut self, value: f64, coefficients: &[f64]) {
        debug_assert_eq!(coefficients.len(), self.m());
        self.values.push(value);
        self.dense.extend_from_slice(coefficients);
    }

    pub(super) fn column(&self, j: usize) -> &[f64] {
        &self.dense[j * self.m()..(j + 1) * self.m()]
    }

    /// Starts anew from slacks for other right-hand sides.
    pub(super) fn start(&mut self, rhs: &[f64]) {
        let m = self.m();
        self.inverse.fill(0.0);
        for (i, &b) in rhs.iter().enumerate() {
            self.basis[i] = match self.senses[i] {
                Sense::AtMost | Sense::Soft if b >= 0.0 => Basic::Slack(i),
                Sense::Soft => Basic::Over(i),
                Sense::AtMost | Sense::Exactly => Basic::Missing,
            };
            self.inverse[i * m + i] = if b < 0.0 { -1.0 } else { 1.0 };
            self.at[i] = b.abs();
        }
    }

    /// Pivots until none of the active columns gains, or the limit is reached. Returns pivots made.
    pub(super) fn climb(&mut self, active: &[usize], most_pivots: usize) -> usize {
        let mut scale = active.iter().map(|&j| self.values[j].abs()).fold(1e-300, f64::max);
        if self.senses.contains(&Sense::Soft) {
            // Prices of such a row lie between nothing and one, whatever the values are.
            scale = scale.min(1.0);
        }
        let mut stalled = 0;
        for pivot in 0..most_pivots {
            self.set_prices();
            let Some(entering) = self.entering(active, NO_GAIN * scale, stalled > STALLED) else {
                return pivot;
            };
            self.set_direction(entering);
            let Some((row, step)) = self.leaving() else { return pivot };
            stalled = if step > 1e-12 { 0 } else { stalled + 1 };
            self.exchange(entering, row, step);
        }
        self.set_prices();
        most_pivots
    }

    /// Prices of the rows at the basis reached.
    pub(super) fn prices(&self) -> &[f64] {
        &self.prices
    }

    /// Makes prices of ceilings at least zero whatever rounding says, and all of them finite.
    pub(super) fn mend_prices(&self, prices: &mut [f64]) {
        for (y, sense) in prices.iter_mut().zip(&self.senses) {
            if !y.is_finite() || (*sense != Sense::Exactly && *y < 0.0) {
                *y = 0.0;
            }
            if *sense == Sense::Soft {
                *y = y.min(1.0);
            }
        }
    }

    /// Amounts of the columns in the basis, ascending rows.
    pub(super) fn amounts(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.basis.iter().zip(&self.at).filter_map(|(basic, at)| match basic {
            Basic::Column(j) => Some((*j, *at)),
            _ => None,
        })
    }

    pub(super) fn reduced(&self, j: usize, prices: &[f64]) -> f64 {
        self.values[j] - self.column(j).iter().zip(prices).map(|(a, y)| a * y).sum::<f64>()
    }

    fn set_prices(&mut self) {
        let m = self.m();
        self.prices.fill(0.0);
        for r in 0..m {
            let worth = match self.basis[r] {
                Basic::Column(j) => self.values[j],
                Basic::Slack(_) => continue,
                Basic::Over(_) => -1.0,
                Basic::Missing => -self.fence,
            };
            let row = &self.inverse[r * m..(r + 1) * m];
            self.prices.iter_mut().zip(row).for_each(|(y, b)| *y += worth * b);
        }
    }

    fn entering(&self, active: &[usize], no_gain: f64, first: bool) -> Option<Basic> {
        let mut best = no_gain;
        let mut entering = None;
        for &j in active {
            let gain = self.reduced(j, &self.prices);
            if gain > best {
                (best, entering) = (gain, Some(Basic::Column(j)));
                if first {
                    return entering;
                }
            }
        }
        for (i, sense) in self.senses.iter().enumerate() {
            if *sense != Sense::Exactly && -self.prices[i] > best {
                (best, entering) = (-self.prices[i], Some(Basic::Slack(i)));
                if first {
                    return entering;
                }
            }
            if *sense == Sense::Soft && self.prices[i] - 1.0 > best {
                (best, entering) = (self.prices[i] - 1.0, Some(Basic::Over(i)));
                if first {
                    return entering;
                }
            }
        }
        entering
    }

    fn set_direction(&mut self, entering: Basic) {
        let m = self.m();
        for r in 0..m {
            let row = &self.inverse[r * m..(r + 1) * m];
            self.direction[r] = match entering {
                Basic::Column(j) => {
                    row.iter().zip(&self.dense[j * m..(j + 1) * m]).map(|(b, a)| b * a).sum()
                }
                Basic::Slack(i) => row[i],
                Basic::Over(i) => -row[i],
                Basic::Missing => 0.0,
            };
        }
    }

    /// Row that leaves, and the step; of equals the largest pivot.
    fn leaving(&self) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for (r, &d) in self.direction.iter().enumerate() {
            if d <= NO_PIVOT {
                continue;
            }
            let step = self.at[r].max(0.0) / d;
            let better = best.is_none_or(|(q, least)| {
                step < least - 1e-12 || (step <= least + 1e-12 && d > self.direction[q])
            });
            if better {
                best = Some((r, step));
            }
        }
        best
    }

    fn exchange(&mut self, entering: Basic, row: usize, step: f64) {
        let m = self.m();
        let pivot = self.direction[row];
        for r in 0..m {
            if r != row {
                self.at[r] -= self.direction[r] * step;
            }
        }
        self.at[row] = step;
        self.basis[row] = entering;
        for i in 0..m {
            self.inverse[row * m + i] /= pivot;
        }
        for r in (0..m).filter(|r| *r != row) {
            let d = self.direction[r];
            if d != 0.0 {
                for i in 0..m {
                    self.inverse[r * m + i] -= d * self.inverse[row * m + i];
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solved(senses: &[Sense], rhs: &[f64], columns: &[(f64, Vec<f64>)]) -> Simplex {
        let mut simplex = Simplex::new(senses.to_vec(), 1e6);
        columns.iter().for_each(|(value, a)| simplex.add(*value, a));
        simplex.start(rhs);
        simplex.climb(&(0..columns.len()).collect::<Vec<_>>(), 100);
        simplex
    }

    #[test]
    fn a_textbook_program_has_the_textbook_answer() {
        // max 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18: x = 2, y = 6, prices 0, 1.5, 1
        // (Hillier & Lieberman's first example, from memory, check your edition).
        let columns = [(3.0, vec![1.0, 0.0, 3.0]), (5.0, vec![0.0, 2.0, 2.0])];
        let simplex = solved(&[Sense::AtMost; 3], &[4.0, 12.0, 18.0], &columns);
        let mut amounts: Vec<_> = simplex.amounts().collect();
        amounts.sort_by_key(|a| a.0);
        assert_eq!(amounts, [(0, 2.0), (1, 6.0)]);
        assert_eq!(simplex.prices(), [0.0, 1.5, 1.0]);
    }

    #[test]
    fn a_soft_ceiling_is_exceeded_where_that_is_worth_its_price() {
        // max 6x + 9y, 10x + 10y at most 25 or one for each unit above, x + y at most 4: y = 4 costs
        // 15 of 36; y alone beats x, and one more of it brings 9 where 10 are paid: y = 2.5.
        let columns = [(6.0, vec![10.0, 1.0]), (9.0, vec![10.0, 1.0])];
        let senses = [Sense::Soft, Sense::AtMost];
        let simplex = solved(&senses, &[25.0, 4.0], &columns);
        assert_eq!(simplex.amounts().collect::<Vec<_>>(), [(1, 2.5)]);
        assert_eq!(simplex.prices(), [0.9, 0.0]);
        // Where one more brings more than is paid for it, the ceiling is exceeded.
        let simplex = solved(&senses, &[-5.0, 4.0], &[(11.0, vec![10.0, 1.0])]);
        assert_eq!(simplex.amounts().collect::<Vec<_>>(), [(0, 4.0)]);
        assert_eq!(simplex.prices(), [1.0, 1.0]);
    }

    #[test]
    fn equalities_and_floors_are_met_though_they_cost() {
        // max -x - 2y with x + y = 3, y at least 1: x = 2, y = 1.
        let columns = [(-1.0, vec![1.0, 0.0, 1.0]), (-2.0, vec![1.0, -1.0, 1.0])];
        let senses = [Sense::Exactly, Sense::AtMost, Sense::AtMost];
        let simplex = solved(&senses, &[3.0, -1.0, 9.0], &columns);
        let mut amounts: Vec<_> = simplex.amounts().collect();
        amounts.sort_by_key(|a| a.0);
        assert_eq!(amounts, [(0, 2.0), (1, 1.0)]);
    }
}
