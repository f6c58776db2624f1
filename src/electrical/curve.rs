//! Piecewise-linear I-V curves: series adds voltages, parallel adds currents.
//!
//! Both merge the union of the knots of their parts, so that adding loses nothing; a common grid
//! would cost blocks about one percent of their power.

use crate::units::{Amps, Volts, Watts};

/// The shallowest dip between two peaks, as a share of the lower one: the chords' tolerance.
const LEAST_DIP: f64 = 2.0e-5;

/// A point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Voltage. \[V\]
    pub v: Volts,
    /// Current, positive out of the plus terminal. \[A\]
    pub i: Amps,
}

impl Point {
    /// Power. \[W\]
    #[must_use]
    pub fn power(self) -> Watts {
        self.v * self.i
    }
}

/// A falling I-V curve, straight between knots and beyond its ends.
///
/// Knots ascend in voltage and fall in current. The first knots may share a voltage (a conducting
/// bypass diode carries any current there).
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    knots: Vec<Point>,
}

impl Curve {
    /// A curve through knots that ascend in voltage and do not rise in current.
    ///
    /// # Panics
    /// With fewer than two knots.
    #[must_use]
    pub fn from_knots(knots: Vec<Point>) -> Self {
        assert!(knots.len() >= 2, "a curve has at least two knots");
        debug_assert!(knots.windows(2).all(|k| k[0].v <= k[1].v && k[0].i >= k[1].i));
        Self { knots }
    }

    /// The knots, ascending in voltage.
    #[must_use]
    pub fn knots(&self) -> &[Point] {
        &self.knots
    }

    /// Current at a voltage. \[A\]
    #[must_use]
    pub fn current_at(&self, v: Volts) -> Amps {
        let at = self.knots.partition_point(|k| k.v.0 <= v.0);
        let at = at.clamp(1, self.knots.len() - 1);
        let (a, b) = (self.knots[at - 1], self.knots[at]);
        if a.v == b.v {
            return if v.0 < a.v.0 { a.i } else { b.i };
        }
        Amps(a.i.0 + (b.i.0 - a.i.0) * (v.0 - a.v.0) / (b.v.0 - a.v.0))
    }

    /// Voltage at a current; the lowest where the curve is flat. \[V\]
    #[must_use]
    pub fn voltage_at(&self, i: Amps) -> Volts {
        let at = self.knots.partition_point(|k| k.i.0 > i.0);
        let at = at.clamp(1, self.knots.len() - 1);
        let (a, b) = (self.knots[at - 1], self.knots[at]);
        if a.i == b.i {
            return if i.0 < a.i.0 { b.v } else { a.v };
        }
        Volts(a.v.0 + (b.v.0 - a.v.0) * (i.0 - a.i.0) / (b.i.0 - a.i.0))
    }

    /// Open-circuit voltage: the lowest at which no current flows out. \[V\]
    #[must_use]
    pub fn v_oc(&self) -> Volts {
        // Behind a blocking diode none flows at any higher voltage either.
        let at = self.knots.partition_point(|k| k.i.0 > 0.0).clamp(1, self.knots.len() - 1);
        let (a, b) = (self.knots[at - 1], self.knots[at]);
        if a.i == b.i {
            return a.v;
        }
        Volts(a.v.0 + (b.v.0 - a.v.0) * a.i.0 / (a.i.0 - b.i.0))
    }

    /// Short-circuit current. \[A\]
    #[must_use]
    pub fn i_sc(&self) -> Amps {
        self.current_at(Volts(0.0))
    }

    /// Curves in series: voltages add at equal current.
    ///
    /// # Panics
    /// If `parts` is empty.
    #[must_use]
    pub fn in_series(parts: &[&Curve]) -> Curve {
        let currents = |c: &Curve| c.knots.iter().map(|k| k.i.0).collect::<Vec<f64>>();
        let levels = merged(parts, currents, |a, b| a > b);
        let mut sums = vec![0.0; levels.len()];
        for part in parts {
            let mut at = 1;
            for (level, sum) in levels.iter().zip(&mut sums) {
                while at + 1 < part.knots.len() && part.knots[at].i.0 > *level {
                    at += 1;
                }
                let (a, b) = (part.knots[at - 1], part.knots[at]);
                *sum += if a.i == b.i {
                    b.v.0
                } else {
                    a.v.0 + (b.v.0 - a.v.0) * (level - a.i.0) / (b.i.0 - a.i.0)
                };
            }
        }
        rising(levels.iter().zip(&sums).map(|(i, v)| Point { v: Volts(*v), i: Amps(*i) }))
    }

    /// Curves in parallel: currents add at equal voltage, negative ones included.
    ///
    /// # Panics
    /// If `parts` is empty.
    #[must_use]
    pub fn in_parallel(parts: &[&Curve]) -> Curve {
        let left = parts.iter().map(|c| c.knots[0].v.0).fold(f64::NEG_INFINITY, f64::max);
        let top: f64 = parts.iter().map(|c| c.knots[0].i.0).fold(0.0, f64::max);
        let voltages = |c: &Curve| c.knots.iter().map(|k| k.v.0).collect::<Vec<f64>>();
        let mut levels = merged(parts, voltages, |a, b| a < b);
        let n_below = levels.partition_point(|v| *v <= left);
        levels.splice(..n_below, [left]);
        let mut sums = vec![0.0; levels.len()];
        for part in parts {
            let mut at = 1;
            for (level, sum) in levels.iter().zip(&mut sums) {
                while at + 1 < part.knots.len() && part.knots[at].v.0 <= *level {
                    at += 1;
                }
                let (a, b) = (part.knots[at - 1], part.knots[at]);
                *sum += if a.v == b.v {
                    b.i.0
                } else {
                    a.i.0 + (b.i.0 - a.i.0) * (level - a.v.0) / (b.v.0 - a.v.0)
                };
            }
        }
        let first = Point { v: Volts(left), i: Amps(top.max(sums[0])) };
        let rest = levels.iter().zip(&sums).map(|(v, i)| Point { v: Volts(*v), i: Amps(*i) });
        rising(std::iter::once(first).chain(rest))
    }

    /// The same curve behind a blocking diode: a drop, and no current backwards.
    #[must_use]
    pub fn behind_diode(&self, drop: Volts) -> Curve {
        let v_oc = self.v_oc();
        let mut knots: Vec<Point> = self
            .knots
            .iter()
            .take_while(|k| k.i.0 > 0.0)
            .map(|k| Point { v: k.v - drop, i: k.i })
            .collect();
        knots.push(Point { v: v_oc - drop, i: Amps(0.0) });
        knots.push(Point { v: v_oc + Volts(1.0e5), i: Amps(0.0) });
        Curve { knots }
    }

    /// The point of highest power between two voltages.
    #[must_use]
    pub fn max_power(&self, lo: Volts, hi: Volts) -> Point {
        self.candidates(lo, hi)
            .into_iter()
            .reduce(|best, p| if p.power() > best.power() { p } else { best })
            .expect("the two ends are always candidates")
    }

    /// Every local maximum of power between two voltages, by ascending voltage; the ends count too.
    ///
    /// Two maxima are one, the higher, unless power dips between them by more than the chords of
    /// the curve can make up.
    #[must_use]
    pub fn peaks(&self, lo: Volts, hi: Volts) -> Vec<Point> {
        let mut peaks: Vec<Point> = Vec::new();
        // The lowest power since the last peak; the first rise needs no dip before it.
        let mut dip = f64::NEG_INFINITY;
        for point in self.candidates(lo, hi) {
            let power = point.power().watts();
            let deep = |than: f64| dip < than * (1.0 - LEAST_DIP);
            match peaks.last_mut() {
                Some(last) if !(deep(last.power().watts()) && deep(power)) => {
                    if power > last.power().watts() {
                        (*last, dip) = (point, power);
                    }
                }
                _ if power <= 0.0 => {}
                _ => {
                    peaks.push(point);
                    dip = power;
                }
            }
            dip = dip.min(power);
        }
        peaks
    }

    /// Both ends, the knots between, and the vertex of power inside each straight piece.
    fn candidates(&self, lo: Volts, hi: Volts) -> Vec<Point> {
        let at = |v: f64| Point { v: Volts(v), i: self.current_at(Volts(v)) };
        let mut points = vec![at(lo.0)];
        for pair in self.knots.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if b.v.0 <= lo.0 || a.v.0 >= hi.0 || b.v.0 <= a.v.0 {
                continue;
            }
            let slope = (b.i.0 - a.i.0) / (b.v.0 - a.v.0);
            if slope < 0.0 {
                let vertex = 0.5 * (a.v.0 - a.i.0 / slope);
                if vertex > a.v.0.max(lo.0) && vertex < b.v.0.min(hi.0) {
                    points.push(Point {
                        v: Volts(vertex),
                        i: Amps(a.i.0 + slope * (vertex - a.v.0)),
                    });
                }
            }
            if b.v.0 < hi.0 {
                points.push(b);
            }
        }
        if hi.0 > lo.0 {
            points.push(at(hi.0));
        }
        points
    }
}

/// Levels of several curves, each in order by itself, in one order and each once.
fn merged(
    parts: &[&Curve],
    levels: impl Fn(&Curve) -> Vec<f64>,
    before: impl Fn(f64, f64) -> bool,
) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    for (p, part) in parts.iter().enumerate() {
        // Panels of one kind bring the same levels.
        if parts[..p].iter().any(|other| std::ptr::eq(*other, *part)) {
            continue;
        }
        let own = levels(part);
        let room = Vec::with_capacity(own.len() + all.len());
        let known = std::mem::replace(&mut all, room);
        let (mut a, mut b) = (known.into_iter().peekable(), own.into_iter().peekable());
        loop {
            let next = match (a.peek(), b.peek()) {
                (Some(x), Some(y)) if before(*y, *x) => b.next(),
                (Some(_), _) => a.next(),
                (None, _) => b.next(),
            };
            match next {
                Some(level) if all.last() != Some(&level) => all.push(level),
                Some(_) => {}
                None => break,
            }
        }
    }
    all
}

/// Collects knots, putting right what rounding turned by its last bits.
fn rising(points: impl Iterator<Item = Point>) -> Curve {
    let mut knots: Vec<Point> = Vec::new();
    for mut p in points {
        if let Some(last) = knots.last() {
            p.v = p.v.max(last.v);
            p.i = p.i.min(last.i);
            if p == *last {
                continue;
            }
        }
        knots.push(p);
    }
    Curve::from_knots(knots)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(v_oc: f64, i_sc: f64) -> Curve {
        Curve::from_knots(vec![
            Point { v: Volts(0.0), i: Amps(i_sc) },
            Point { v: Volts(v_oc), i: Amps(0.0) },
        ])
    }

    #[test]
    fn straight_lines_add_as_on_paper() {
        let (a, b) = (line(10.0, 5.0), line(20.0, 5.0));
        let series = Curve::in_series(&[&a, &b]);
        assert!((series.voltage_at(Amps(2.0)).0 - 18.0).abs() < 1e-12);
        let parallel = Curve::in_parallel(&[&a, &b]);
        assert!((parallel.current_at(Volts(10.0)).0 - 2.5).abs() < 1e-12);
        // Beyond its open-circuit voltage the lower one is a load.
        assert!((parallel.current_at(Volts(12.0)).0 - (2.0 - 1.0)).abs() < 1e-12);
    }

    #[test]
    fn a_straight_line_peaks_in_its_middle() {
        let best = line(10.0, 5.0).max_power(Volts(0.0), Volts(10.0));
        assert!((best.v.0 - 5.0).abs() < 1e-12 && (best.power().0 - 12.5).abs() < 1e-12);
    }

    #[test]
    fn peaks_are_told_apart_by_a_dip_between_them() {
        let at = |v, i| Point { v: Volts(v), i: Amps(i) };
        // 10 V × 10 A, then 30 V × 4 A: 100 W and 120 W with a dip to about 50 W between.
        let staircase = |dip| {
            Curve::from_knots(vec![
                at(0.0, 10.1),
                at(10.0, 10.0),
                at(10.0 + dip, 4.1),
                at(30.0, 4.0),
                at(31.0, 0.0),
            ])
        };
        let peaks = staircase(2.0).peaks(Volts(0.0), Volts(31.0));
        let watts: Vec<f64> = peaks.iter().map(|p| p.power().0.round()).collect();
        assert_eq!(watts, [100.0, 120.0]);
        // A window that begins beyond the first peak begins on its far slope.
        let peaks = staircase(2.0).peaks(Volts(10.5), Volts(29.0));
        assert_eq!(peaks.iter().map(|p| p.v.0).collect::<Vec<_>>(), [10.5, 29.0]);
        // A tooth no deeper than the chords' tolerance is no peak.
        let tooth = Curve::from_knots(vec![
            at(0.0, 10.0),
            at(10.0, 10.0),
            at(10.0001, 9.9998),
            at(10.002, 9.9998),
            at(12.0, 0.0),
        ]);
        assert_eq!(tooth.peaks(Volts(5.0), Volts(12.0)).len(), 1);
    }

    #[test]
    fn an_array_behind_diodes_is_open_at_its_highest_string() {
        let (a, b) = (line(10.0, 5.0), line(20.0, 5.0));
        let (a, b) = (a.behind_diode(Volts(0.5)), b.behind_diode(Volts(0.5)));
        assert!((Curve::in_parallel(&[&a, &b]).v_oc().0 - 19.5).abs() < 1e-9);
        assert!((Curve::in_parallel(&[&a, &a]).v_oc().0 - 9.5).abs() < 1e-9);
        assert_eq!(a.current_at(Volts(15.0)), Amps(0.0));
    }

    #[test]
    fn a_blocking_diode_costs_its_drop_at_open_circuit() {
        let behind = line(10.0, 5.0).behind_diode(Volts(0.5));
        assert!((behind.v_oc().0 - 9.5).abs() < 1e-12);
        assert!((line(10.0, 5.0).v_oc().0 - 10.0).abs() < 1e-12);
        let both = Curve::in_parallel(&[&behind, &line(20.0, 5.0).behind_diode(Volts(0.5))]);
        assert!((both.v_oc().0 - 19.5).abs() < 1e-12);
        assert_eq!(both.current_at(Volts(25.0)), Amps(0.0));
    }

    #[test]
    fn a_window_holds_the_peak_at_its_edge() {
        let best = line(10.0, 5.0).max_power(Volts(7.0), Volts(9.0));
        assert_eq!(best.v, Volts(7.0));
    }
}
