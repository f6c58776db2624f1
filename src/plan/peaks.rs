//! Local peaks of power on which a tracker that only climbs may stay.

use super::Peak;
use crate::electrical::{Curve, Point};
use crate::units::Volts;

/// Power must fall by this part of a peak on both sides before it rises above it: smaller humps no
/// tracker stays on, and the knots' own ripple is far smaller.
const PROMINENCE: f64 = 0.01;

/// Peaks between two voltages other than the operating point, by ascending voltage.
///
/// An end of the range counts as a slope downwards: a tracker cannot leave by it.
#[must_use]
pub(super) fn other_peaks(curve: &Curve, lo: Volts, hi: Volts, operating: Point) -> Vec<Peak> {
    if hi <= lo {
        return Vec::new();
    }
    let peaks = curve.peaks(lo, hi);
    // Between two peaks power is lowest at a knot: each straight piece bends power downwards.
    let valleys = curve.knots().iter().filter(|k| lo < k.v && k.v < hi).copied();
    let mut path: Vec<Point> = peaks.iter().copied().chain(valleys).collect();
    path.sort_by(|a, b| a.v.0.total_cmp(&b.v.0));
    let stands_out = |peak: &Point| {
        let (p, floor) = (peak.power(), peak.power() * (1.0 - PROMINENCE));
        let mut left = path.iter().rev().filter(|q| q.v < peak.v).map(|q| q.power());
        let mut right = path.iter().filter(|q| q.v > peak.v).map(|q| q.power());
        // Of two equal humps close by, the one at the lower voltage stands for both.
        let falls_left = left.find(|q| *q >= p || *q <= floor).is_none_or(|q| q <= floor);
        let falls_right = right.find(|q| *q > p || *q <= floor).is_none_or(|q| q <= floor);
        falls_left && falls_right
    };
    peaks
        .iter()
        .filter(|peak| (peak.v.0 - operating.v.0).abs() > 1e-9 && stands_out(peak))
        .map(|peak| Peak { v: peak.v, power: peak.power() })
        .collect()
}
