//! The largest x·f(x) of a falling f, with proof: nothing between the points looked at can hide a larger one.

/// Where and how much.
#[derive(Debug, Clone, Copy)]
pub(super) struct Largest {
    pub(super) x: f64,
    pub(super) product: f64,
}

/// Intervals to start with, so that a good product is known before the long work.
const FIRST: usize = 24;

/// The largest `x·f(x)` on `[lo, hi]`, `0 ≤ lo`, for a falling `f`, or `seed` if none is larger.
///
/// The true largest is at most `product · (1 + slack)`: since `f` falls, no point of `[a, b]` gives
/// more than `b·f(a)`, and intervals are halved until that is small enough.
pub(super) fn largest_product(
    (lo, hi): (f64, f64),
    seed: Largest,
    slack: f64,
    f: impl Fn(f64) -> f64,
) -> Largest {
    let mut best = seed;
    let mut look = |x: f64| {
        let y = f(x);
        if x * y > best.product {
            best = Largest { x, product: x * y };
        }
        ((x, y), best.product)
    };
    let mut enough = 0.0;
    let mut grid = Vec::with_capacity(FIRST + 1);
    for n in 0..=FIRST {
        let (point, product) = look(lo + (hi - lo) * n as f64 / FIRST as f64);
        grid.push(point);
        enough = product * (1.0 + slack);
    }
    let mut open: Vec<_> = grid.windows(2).map(|pair| (pair[0], pair[1])).collect();
    while let Some((a, b)) = open.pop() {
        // Below a billionth of the range nothing is left to tell apart.
        if b.0 * a.1 <= enough || b.0 - a.0 <= 1e-9 * hi {
            continue;
        }
        let (mid, product) = look(0.5 * (a.0 + b.0));
        enough = product * (1.0 + slack);
        open.extend([(a, mid), (mid, b)]);
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTHING: Largest = Largest { x: 0.0, product: 0.0 };

    #[test]
    fn a_straight_line_has_its_largest_product_in_the_middle() {
        let best = largest_product((0.0, 10.0), NOTHING, 1e-6, |x| 5.0 - 0.5 * x);
        assert!((best.product - 12.5).abs() < 1e-4, "{}", best.product);
    }

    #[test]
    fn the_edge_of_a_step_between_the_first_points_is_found() {
        let step = |x: f64| match x {
            x if x <= 1.999 => 5.0,
            x if x <= 4.321 => 3.0,
            _ => 0.0,
        };
        let best = largest_product((0.0, 10.0), NOTHING, 1e-5, step);
        assert!((best.product - 3.0 * 4.321).abs() < 1e-3, "{}", best.product);
    }
}
