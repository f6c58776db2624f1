//! Where an input works: the peaks of a sum of strings, found by scanning it.

use std::rc::Rc;

use crate::electrical::{BLOCKING_DIODE_DROP, Curve};
use crate::units::Volts;

/// Steps in which a sum of strings is scanned for peaks; two peaks are further apart than one step.
const SCAN: usize = 80;
/// Power must fall by this share on both sides of a peak on which a tracker could stay.
const PROMINENCE: f64 = 0.01;
/// Golden section: share of an interval that is kept.
const KEPT: f64 = 0.618_033_988_749_895;
/// Steps of a bisection: enough for a millionth of the range.
const STEPS: usize = 24;
/// Steps of a golden section: enough for a ten-thousandth of two steps of the scan.
const GOLDEN_STEPS: usize = 18;
/// How far a peak moves under a slightly other sky, as a share of its voltage.
const NEAR: f64 = 0.05;

/// Strings on one bus; equal ones are counted.
pub(super) struct Bus {
    strings: Vec<(Rc<Curve>, f64)>,
    blocked: Blocking,
}

/// Does each string have a blocking diode?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Blocking {
    Diodes,
    None,
}

impl Blocking {
    /// Current of a string at the voltage of its bus. \[A\]
    pub(super) fn current(self, curve: &Curve, v: f64) -> f64 {
        match self {
            Self::Diodes => curve.current_at(Volts(v) + BLOCKING_DIODE_DROP).amps().max(0.0),
            Self::None => curve.current_at(Volts(v)).amps(),
        }
    }
}

impl Bus {
    pub(super) fn new(curves: impl Iterator<Item = Rc<Curve>>, blocked: Blocking) -> Self {
        let mut strings: Vec<(Rc<Curve>, f64)> = Vec::new();
        for curve in curves {
            match strings.iter_mut().find(|(known, _)| Rc::ptr_eq(known, &curve)) {
                Some((_, n)) => *n += 1.0,
                None => strings.push((curve, 1.0)),
            }
        }
        Self { strings, blocked }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.strings.is_empty()
    }

    /// Current of all strings at a voltage. \[A\]
    pub(super) fn current(&self, v: f64) -> f64 {
        self.strings.iter().map(|(curve, n)| n * self.blocked.current(curve, v)).sum()
    }

    /// Voltage at which nothing flows out; the highest string's behind blocking diodes. \[V\]
    pub(super) fn v_oc(&self) -> f64 {
        let drop = match self.blocked {
            Blocking::Diodes => BLOCKING_DIODE_DROP.volts(),
            Blocking::None => 0.0,
        };
        let each = || self.strings.iter().map(|(curve, _)| curve.v_oc().volts() - drop);
        let (lo, hi) =
            (each().fold(f64::INFINITY, f64::min), each().fold(f64::NEG_INFINITY, f64::max));
        match self.blocked {
            Blocking::Diodes => hi,
            Blocking::None => self.voltage_at(0.0, lo, hi),
        }
    }

    /// The voltage between two at which a current flows. \[V\]
    pub(super) fn voltage_at(&self, amps: f64, lo: f64, hi: f64) -> f64 {
        let (mut lo, mut hi) = (lo, hi);
        for _ in 0..STEPS {
            let mid = 0.5 * (lo + hi);
            if self.current(mid) > amps { lo = mid } else { hi = mid }
        }
        0.5 * (lo + hi)
    }

    /// The voltage of most power near another, not leaving two voltages. \[V\]
    pub(super) fn peak_near(&self, v: f64, lo: f64, hi: f64) -> f64 {
        let (a, b) = ((v * (1.0 - NEAR)).max(lo), (v * (1.0 + NEAR)).min(hi));
        if b <= a { v.clamp(lo, hi) } else { highest(|v| v * self.current(v), a, b) }
    }

    /// Voltages of the peaks of power between two voltages, the best first, the others by ascending voltage.
    ///
    /// None where the array gives nothing.
    pub(super) fn peaks(&self, lo: f64, hi: f64) -> Vec<f64> {
        let hi = hi.min(self.v_oc());
        let power = |v: f64| v * self.current(v);
        if hi <= lo {
            return Vec::new();
        }
        let at = |k: usize| lo + (hi - lo) * k as f64 / SCAN as f64;
        let scanned: Vec<f64> = (0..=SCAN).map(|k| power(at(k))).collect();
        let mut peaks: Vec<(f64, f64)> = (0..=SCAN)
            .filter(|k| stands_out(&scanned, *k))
            .map(|k| {
                let v = highest(power, at(k.saturating_sub(1)), at((k + 1).min(SCAN)));
                (v, power(v))
            })
            .collect();
        let best = (0..peaks.len()).max_by(|a, b| peaks[*a].1.total_cmp(&peaks[*b].1));
        let Some(best) = best else { return Vec::new() };
        let best = peaks.remove(best);
        std::iter::once(best).chain(peaks).map(|(v, _)| v).collect()
    }
}

/// Is a scanned point a peak from which power falls on both sides before it rises above it?
fn stands_out(scanned: &[f64], k: usize) -> bool {
    let peak = scanned[k];
    let floor = peak * (1.0 - PROMINENCE);
    let mut left = scanned[..k].iter().rev();
    let mut right = scanned[k + 1..].iter();
    peak > 0.0
        && left.find(|p| **p >= peak || **p <= floor).is_none_or(|p| *p <= floor)
        && right.find(|p| **p > peak || **p <= floor).is_none_or(|p| *p <= floor)
}

/// Where a function with one peak is highest.
fn highest(f: impl Fn(f64) -> f64, lo: f64, hi: f64) -> f64 {
    let (mut lo, mut hi) = (lo, hi);
    let (mut a, mut b) = (hi - KEPT * (hi - lo), lo + KEPT * (hi - lo));
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..GOLDEN_STEPS {
        if fa < fb {
            (lo, a, fa) = (a, b, fb);
            b = lo + KEPT * (hi - lo);
            fb = f(b);
        } else {
            (hi, b, fb) = (b, a, fa);
            a = hi - KEPT * (hi - lo);
            fa = f(a);
        }
    }
    0.5 * (lo + hi)
}
