//! Least squares by normal equations: small, dense, positive definite.

/// A row of a linearised problem: how a residual changes with each unknown.
pub(super) type Row = Vec<f64>;

/// `JᵀWJ`, factored as `LLᵀ` (Cholesky).
#[derive(Debug, Clone)]
pub(super) struct Factored(Vec<Row>);

impl Factored {
    /// `None` if some unknown is not determined by any row.
    pub(super) fn new(rows: &[Row], weights: &[f64]) -> Option<Self> {
        let n = rows.first()?.len();
        let mut l = vec![vec![0.0; n]; n];
        for (row, w) in rows.iter().zip(weights) {
            for i in (0..n).filter(|i| row[*i] != 0.0) {
                for j in 0..=i {
                    l[i][j] += w * row[i] * row[j];
                }
            }
        }
        for j in 0..n {
            let pivot = l[j][j] - l[j][..j].iter().map(|x| x * x).sum::<f64>();
            if pivot.is_nan() || pivot <= 0.0 {
                return None;
            }
            l[j][j] = pivot.sqrt();
            for i in j + 1..n {
                let inner: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
                l[i][j] = (l[i][j] - inner) / l[j][j];
            }
        }
        Some(Self(l))
    }

    /// The solution of `JᵀWJ x = b`.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let (l, n) = (&self.0, b.len());
        let mut x = b.to_vec();
        for i in 0..n {
            let known: f64 = (0..i).map(|k| l[i][k] * x[k]).sum();
            x[i] = (x[i] - known) / l[i][i];
        }
        for i in (0..n).rev() {
            let known: f64 = (i + 1..n).map(|k| l[k][i] * x[k]).sum();
            x[i] = (x[i] - known) / l[i][i];
        }
        x
    }
}

/// `Jᵀ W r`.
pub(super) fn weighted_sum(rows: &[Row], weights: &[f64], residuals: &[f64]) -> Vec<f64> {
    let n = rows.first().map_or(0, Vec::len);
    let mut sum = vec![0.0; n];
    for ((row, w), r) in rows.iter().zip(weights).zip(residuals) {
        for (s, x) in sum.iter_mut().zip(row) {
            *s += w * r * x;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_three_points_is_the_textbook_one() {
        // y = a + b·x through (0, 1), (1, 2), (2, 4): b = 3/2, a = 5/6 by hand.
        let rows = vec![vec![1.0, 0.0], vec![1.0, 1.0], vec![1.0, 2.0]];
        let weights = [1.0; 3];
        let factored = Factored::new(&rows, &weights).expect("determined");
        let x = factored.solve(&weighted_sum(&rows, &weights, &[1.0, 2.0, 4.0]));
        assert!((x[0] - 5.0 / 6.0).abs() < 1e-12 && (x[1] - 1.5).abs() < 1e-12, "{x:?}");
    }

    #[test]
    fn an_unknown_that_no_row_touches_is_refused() {
        assert!(Factored::new(&[vec![1.0, 0.0]], &[1.0]).is_none());
    }
}
