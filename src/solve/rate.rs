//! A column's rate over the level: straight pieces, falling.

use std::sync::Arc;

/// Knots `(level, rate)`, ascending in level, not rising in rate.
///
/// The last knot is the highest level at which the column may be used; below the first knot the rate
/// is that of the first knot. Two knots at one level are a jump: at the level itself the earlier and
/// higher one counts, so that the best level is one that can be named.
#[derive(Debug, Clone, PartialEq)]
pub struct Rate {
    knots: Arc<[(f64, f64)]>,
    /// Best level of all: where an interval holds it, no knot needs to be looked at.
    whole: Peak,
}

/// A level and the value reached there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak {
    pub level: f64,
    pub value: f64,
}

impl Rate {
    /// A rate through knots that ascend in level and do not rise.
    ///
    /// # Panics
    /// Without knots.
    #[must_use]
    pub fn new(knots: impl Into<Arc<[(f64, f64)]>>) -> Self {
        let knots = knots.into();
        assert!(!knots.is_empty(), "a rate has at least one knot");
        debug_assert!(knots.windows(2).all(|w| w[0].0 <= w[1].0), "knots ascend in level");
        debug_assert!(knots.iter().all(|k| k.0.is_finite() && k.1.is_finite()), "knots are finite");
        let last = knots[knots.len() - 1].0;
        let mut rate = Self { knots, whole: Peak { level: f64::NAN, value: f64::NAN } };
        rate.whole = rate.peak_by_knots(rate.knots[0].0.min(last), last);
        rate
    }

    /// Highest level at which the column may be used.
    #[must_use]
    pub fn last_level(&self) -> f64 {
        self.knots[self.knots.len() - 1].0
    }

    /// At most so much is `t · (rate − other rate)` for `lo <= t <= hi`; both reach up to `hi`.
    #[must_use]
    pub fn most_above(&self, other: &Self, lo: f64, hi: f64) -> f64 {
        let mut ends = [self, other].map(|r| r.knots.partition_point(|knot| knot.0 <= lo));
        let above =
            |ends: &[usize; 2], t: f64| self.between(ends[0], t) - other.between(ends[1], t);
        let mut from = (lo, above(&ends, lo));
        let mut most = lo * from.1;
        while from.0 < hi {
            let next = |r: &Self, end: usize| r.knots.get(end).map_or(hi, |knot| knot.0);
            let t = next(self, ends[0]).min(next(other, ends[1])).min(hi);
            let to = (t, above(&ends, t));
            // Both are straight in between, so neither factor of the product is larger than here.
            let top = from.1.max(to.1);
            most = most.max(if top > 0.0 { t * top } else { from.0 * top });
            for (end, r) in ends.iter_mut().zip([self, other]) {
                while r.knots.get(*end).is_some_and(|knot| knot.0 <= t) {
                    *end += 1;
                }
            }
            // After a jump the lower rate counts.
            from = (t, above(&ends, t));
        }
        most
    }

    /// Rate at a level up to the last one.
    #[must_use]
    pub fn at(&self, t: f64) -> f64 {
        self.between(self.knots.partition_point(|knot| knot.0 < t), t)
    }

    /// Rate at a level on the piece that the `k`-th knot ends: with the first knot above a level, the
    /// rate just above it, after the jump if there is one.
    pub(super) fn between(&self, k: usize, t: f64) -> f64 {
        match (k.checked_sub(1), self.knots.get(k)) {
            (Some(before), Some(&(t1, r1))) => {
                let (t0, r0) = self.knots[before];
                r0 + (r1 - r0) * (t - t0) / (t1 - t0)
            }
            (None, Some(&(_, r))) => r,
            (_, None) => self.knots[self.knots.len() - 1].1,
        }
    }

    /// The most that `t · rate(t)` reaches for `lo <= t <= hi`; `None` if the column may not be used there.
    #[must_use]
    pub fn most_in(&self, lo: f64, hi: f64) -> Option<f64> {
        self.peak_in(lo, hi).map(|peak| peak.value)
    }

    /// The same with the level; of equals the lowest.
    pub(super) fn peak_in(&self, lo: f64, hi: f64) -> Option<Peak> {
        let hi = hi.min(self.last_level());
        if lo > hi {
            return None;
        }
        // Below the first knot the rate is flat and its value rises: the best level is not there.
        let whole = lo <= self.whole.level && self.whole.level <= hi;
        Some(if whole { self.whole } else { self.peak_by_knots(lo, hi) })
    }

    fn peak_by_knots(&self, lo: f64, hi: f64) -> Peak {
        let mut peak = Peak { level: lo, value: lo * self.at(lo) };
        let first = self.knots.partition_point(|knot| knot.0 <= lo);
        let mut before = (lo, self.between(first, lo));
        for &knot in &self.knots[first..] {
            let end = if knot.0 < hi { knot } else { (hi, self.at(hi)) };
            if let Some(top) = vertex(before, end) {
                peak.raise(top, top * on_line(before, end, top));
            }
            peak.raise(end.0, end.0 * end.1);
            if knot.0 >= hi {
                break;
            }
            before = knot;
        }
        peak
    }

    pub(super) fn knots(&self) -> &[(f64, f64)] {
        &self.knots
    }
}

impl Peak {
    pub(super) fn raise(&mut self, level: f64, value: f64) {
        if value > self.value {
            *self = Self { level, value };
        }
    }
}

/// Level in the open piece between two knots where `t · rate` has its vertex, if it has one there.
pub(super) fn vertex(a: (f64, f64), b: (f64, f64)) -> Option<f64> {
    let (rise, run) = (b.1 - a.1, b.0 - a.0);
    if rise >= 0.0 || run <= 0.0 {
        return None;
    }
    let t = 0.5 * (a.0 - a.1 * run / rise);
    (t > a.0 && t < b.0).then_some(t)
}

/// Rate at a level of the piece between two knots.
pub(super) fn on_line(a: (f64, f64), b: (f64, f64), t: f64) -> f64 {
    a.1 + (b.1 - a.1) * (t - a.0) / (b.0 - a.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_rate_is_worth_most_at_its_vertex() {
        let rate = Rate::new(vec![(0.0, 5.0), (10.0, 0.0)]);
        assert_eq!(rate.most_in(0.0, 10.0), Some(12.5));
        assert_eq!(rate.most_in(6.0, 8.0), Some(12.0));
        assert_eq!(rate.most_in(1.0, 2.0), Some(8.0));
        assert_eq!(rate.peak_in(0.0, 10.0).map(|p| p.level), Some(5.0));
    }

    #[test]
    fn a_level_beyond_the_last_knot_is_not_allowed() {
        assert_eq!(Rate::new(vec![(0.0, 5.0), (10.0, 5.0)]).most_in(11.0, 12.0), None);
        assert_eq!(Rate::new(vec![(3.0, 5.0)]).most_in(1.0, 9.0), Some(15.0));
    }

    #[test]
    fn at_a_jump_the_higher_rate_counts_and_above_it_the_lower() {
        let rate = Rate::new(vec![(0.0, 4.0), (2.0, 4.0), (2.0, 1.0), (10.0, 1.0)]);
        assert_eq!(rate.most_in(2.0, 3.0), Some(8.0));
        assert_eq!(rate.most_in(2.5, 3.0), Some(3.0));
        assert_eq!((rate.at(2.0), rate.between(3, 2.0)), (4.0, 1.0));
    }
}
