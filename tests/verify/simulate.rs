//! Arrays that are not what they should be, by bisection on the diode equation: none of the program's
//! curve algebra, so that what it evaluates is held against something else.

use sungraft::electrical::{Condition, PanelModel, SingleDiode};
use sungraft::model::KindIdx;

/// A blocking diode's drop, as the documents say. \[V\]
const BLOCKING_DROP: f64 = 0.5;
/// How a bypass diode's voltage rises with its current, more than the program takes. \[Ω\]
const BYPASS_RESISTANCE: f64 = 0.015;
const STEPS: usize = 32;

/// A panel as it really is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RealPanel {
    pub(crate) kind: KindIdx,
    /// Share of the light.
    pub(crate) light: f64,
    /// Share of its sections that still give volts.
    pub(crate) sections: f64,
    pub(crate) reversed: bool,
    /// How its volts and amps differ from the label.
    pub(crate) scatter: (f64, f64),
}

/// A string as it really is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RealString {
    pub(crate) elements: Vec<Vec<RealPanel>>,
    pub(crate) reversed: bool,
    pub(crate) open: bool,
    /// Index of the input that it is joined to.
    pub(crate) on: Option<usize>,
}

impl RealPanel {
    pub(crate) fn sound(kind: KindIdx) -> Self {
        Self { kind, light: 1.0, sections: 1.0, reversed: false, scatter: (1.0, 1.0) }
    }
}

/// A panel at one condition.
#[derive(Clone, Copy)]
struct Lit {
    diode: SingleDiode,
    clamp: f64,
    volts: f64,
    amps: f64,
    reversed: bool,
}

impl Lit {
    fn new(panel: &RealPanel, models: &[PanelModel], sky: Condition) -> Self {
        let model = &models[panel.kind.0];
        let irradiance = sky.irradiance * panel.light;
        Self {
            diode: model.at(Condition { irradiance, ..sky }),
            clamp: model.clamp_voltage().unwrap_or(-3000.0),
            volts: panel.sections * panel.scatter.0,
            amps: panel.scatter.1,
            reversed: panel.reversed,
        }
    }

    fn volts_at(&self, i: f64) -> f64 {
        if self.reversed {
            return -Self { reversed: false, ..*self }.volts_at(-i);
        }
        let at_clamp = self.diode.current_at_voltage(self.clamp) * self.amps;
        let v = if i > at_clamp {
            self.clamp - BYPASS_RESISTANCE * (i - at_clamp)
        } else {
            self.diode.voltage_at_current(i / self.amps)
        };
        v * self.volts
    }

    fn amps_at(&self, v: f64) -> f64 {
        if self.reversed {
            return -Self { reversed: false, ..*self }.amps_at(-v);
        }
        let v = v / self.volts;
        let past = (self.clamp - v).max(0.0) / BYPASS_RESISTANCE;
        self.diode.current_at_voltage(v.max(self.clamp)) * self.amps + past
    }
}

/// The argument at which a falling function takes a value.
fn solve(f: impl Fn(f64) -> f64, value: f64, lo: f64, hi: f64) -> f64 {
    let (mut lo, mut hi) = (lo, hi);
    for _ in 0..STEPS {
        let mid = 0.5 * (lo + hi);
        if f(mid) > value { lo = mid } else { hi = mid }
    }
    0.5 * (lo + hi)
}

/// A string at one condition, by itself.
pub(crate) struct LitString {
    /// Elements, equal ones counted.
    elements: Vec<(Vec<Lit>, f64)>,
    reversed: bool,
    most_amps: f64,
    most_volts: f64,
}

impl LitString {
    pub(crate) fn new(string: &RealString, models: &[PanelModel], sky: Condition) -> Option<Self> {
        if string.open || string.elements.is_empty() {
            return None;
        }
        let mut counted: Vec<(&Vec<RealPanel>, f64)> = Vec::new();
        for element in &string.elements {
            match counted.iter_mut().find(|(e, _)| *e == element) {
                Some((_, n)) => *n += 1.0,
                None => counted.push((element, 1.0)),
            }
        }
        let elements: Vec<(Vec<Lit>, f64)> = counted
            .into_iter()
            .map(|(e, n)| (e.iter().map(|p| Lit::new(p, models, sky)).collect(), n))
            .collect();
        let panels = || elements.iter().flat_map(|(e, n)| e.iter().map(move |p| (p, n)));
        let most_amps = panels().map(|(p, _)| p.diode.photocurrent).sum::<f64>() * 3.0 + 1.0;
        let most_volts = panels().map(|(p, n)| n * p.diode.v_oc().abs() * 1.6).sum::<f64>() + 2.0;
        Some(Self { elements, reversed: string.reversed, most_amps, most_volts })
    }

    fn element_volts(members: &[Lit], i: f64, most: f64) -> f64 {
        match members {
            [one] => one.volts_at(i),
            _ => solve(|v| members.iter().map(|m| m.amps_at(v)).sum(), i, -most, most),
        }
    }

    fn volts_at(&self, i: f64) -> f64 {
        let i = if self.reversed { -i } else { i };
        let each = self.elements.iter();
        let sum: f64 = each.map(|(e, n)| n * Self::element_volts(e, i, self.most_volts)).sum();
        if self.reversed { -sum } else { sum }
    }

    pub(crate) fn v_oc(&self) -> f64 {
        self.volts_at(0.0)
    }

    pub(crate) fn amps_at(&self, v: f64) -> f64 {
        solve(|i| self.volts_at(i), v, -20.0 * self.most_amps, self.most_amps)
    }
}

/// Strings on one input.
pub(crate) struct LitBus {
    pub(crate) strings: Vec<LitString>,
    pub(crate) diodes: bool,
}

impl LitBus {
    pub(crate) fn string_amps(&self, string: &LitString, v: f64) -> f64 {
        if self.diodes { string.amps_at(v + BLOCKING_DROP).max(0.0) } else { string.amps_at(v) }
    }

    pub(crate) fn amps_at(&self, v: f64) -> f64 {
        self.strings.iter().map(|s| self.string_amps(s, v)).sum()
    }

    pub(crate) fn v_oc(&self) -> f64 {
        let each: Vec<f64> = self.strings.iter().map(LitString::v_oc).collect();
        let hi = each.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let lo = each.iter().copied().fold(f64::INFINITY, f64::min);
        if self.diodes { hi - BLOCKING_DROP } else { solve(|v| self.amps_at(v), 0.0, lo, hi) }
    }

    /// Peaks of power: volts and watts, by volts.
    pub(crate) fn peaks(&self, lo: f64, hi: f64) -> Vec<(f64, f64)> {
        const SCAN: usize = 48;
        let hi = hi.min(self.v_oc());
        if hi <= lo {
            return Vec::new();
        }
        let power = |v: f64| v * self.amps_at(v);
        let at = |k: usize| lo + (hi - lo) * k as f64 / SCAN as f64;
        let p: Vec<f64> = (0..=SCAN).map(|k| power(at(k))).collect();
        let mut peaks: Vec<(f64, f64)> = Vec::new();
        for k in 0..=SCAN {
            let left = k == 0 || p[k - 1] < p[k];
            let right = k == SCAN || p[k + 1] <= p[k];
            if !(left && right && p[k] > 0.0) {
                continue;
            }
            let (mut a, mut b) = (at(k.saturating_sub(1)), at((k + 1).min(SCAN)));
            for _ in 0..13 {
                let (c, d) = (a + 0.382 * (b - a), a + 0.618 * (b - a));
                if power(c) < power(d) { a = c } else { b = d }
            }
            let v = 0.5 * (a + b);
            peaks.push((v, power(v)));
        }
        // A dip of less than two percent holds no tracker.
        let mut kept: Vec<(f64, f64)> = Vec::new();
        for peak in peaks {
            let Some(last) = kept.last().copied() else {
                kept.push(peak);
                continue;
            };
            let dip = (0..=8)
                .map(|k| power(last.0 + (peak.0 - last.0) * f64::from(k) / 8.0))
                .fold(f64::INFINITY, f64::min);
            if dip < 0.98 * last.1.min(peak.1) {
                kept.push(peak);
            } else if peak.1 > last.1 {
                *kept.last_mut().expect("there is one") = peak;
            }
        }
        kept
    }
}
