//! One root of one function between two ends: inverse quadratic steps, bisection where they would stray.

/// Steps after which only bisection is left, so that the end is certain.
const FAST_STEPS: usize = 40;
/// All steps together: bisection alone needs about 60 from any bracket to the last bits.
const ALL_STEPS: usize = 120;

/// A point and the value of the function there.
type Sample = (f64, f64);

/// Where a function crosses zero between two ends of opposite sign.
///
/// Stops when the bracket is no wider than `width`, in the unit of the ends; a value of zero is a
/// root too.
///
/// T.R. Chandrupatla, Advances in Engineering Software 28(3), 1997,
/// doi:10.1016/S0965-9978(96)00051-8; with bisection alone after 40 steps, so that it cannot crawl.
pub(super) fn bracketed_root(lo: Sample, hi: Sample, width: f64, f: impl Fn(f64) -> f64) -> f64 {
    // `a` is the newest point, `b` the one of opposite sign, `c` the one before.
    let (mut a, mut b) = (lo, hi);
    let mut t = 0.5;
    for step in 0..ALL_STEPS {
        let x = a.0 + t * (b.0 - a.0);
        let new = (x, f(x));
        let c = if (new.1 > 0.0) == (a.1 > 0.0) {
            a
        } else {
            let old = b;
            b = a;
            old
        };
        a = new;
        let best = if a.1.abs() < b.1.abs() { a } else { b };
        let bracket = (b.0 - a.0).abs();
        if best.1 == 0.0 || bracket <= width.max(f64::MIN_POSITIVE) {
            return best.0;
        }
        t = if step < FAST_STEPS { inverse_quadratic(a, b, c) } else { 0.5 };
        let least = (0.5 * width / bracket).min(0.5);
        t = t.clamp(least, 1.0 - least);
    }
    if a.1.abs() < b.1.abs() { a.0 } else { b.0 }
}

/// Share of the way from `a` to `b` at which a parabola through all three points crosses zero; half
/// where the parabola is no guide.
fn inverse_quadratic(a: Sample, b: Sample, c: Sample) -> f64 {
    let xi = (a.0 - b.0) / (c.0 - b.0);
    let phi = (a.1 - b.1) / (c.1 - b.1);
    if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
        a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1)
            + (c.0 - a.0) / (b.0 - a.0) * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1)
    } else {
        0.5
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    fn root(lo: f64, hi: f64, f: impl Fn(f64) -> f64) -> (f64, usize) {
        let calls = Cell::new(0);
        let counted = |x: f64| {
            calls.set(calls.get() + 1);
            f(x)
        };
        (bracketed_root((lo, f(lo)), (hi, f(hi)), 1e-15, counted), calls.get())
    }

    #[test]
    fn a_smooth_root_takes_about_ten_steps() {
        let (x, calls) = root(0.0, 2.0, |x| x * x - 2.0);
        assert!((x - std::f64::consts::SQRT_2).abs() < 1e-14, "{x}");
        assert!(calls <= 14, "{calls} steps");
    }

    #[test]
    fn a_jump_and_a_flat_stretch_end_too() {
        let (x, calls) = root(0.0, 1.0, |x| if x < 0.3 { -1.0 } else { 1.0 });
        assert!((x - 0.3).abs() < 1e-13 && calls <= ALL_STEPS, "{x} after {calls}");
        let (x, calls) = root(-1.0, 4.0, |x| (x - 1.0).powi(9));
        assert!((x - 1.0).abs() < 0.02 && calls <= ALL_STEPS, "{x} after {calls}");
    }

    #[test]
    fn a_nan_never_loops() {
        let (_, calls) = root(0.0, 1.0, |x| if x == 0.0 { -1.0 } else { f64::NAN });
        assert!(calls <= ALL_STEPS);
    }
}
