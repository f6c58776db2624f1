//! The single-diode equation at one condition, whole panel, without bypass diodes.
//!
//! Everything is a function of the junction voltage `x`, where the equation is explicit:
//! `I = IL − I0·(e^(x/a) − 1) − G·x`, `V = x − I·Rs` (J.W. Bishop, Solar Cells 25(1), 1988,
//! doi:10.1016/0379-6787(88)90059-2). Current falls along `x` and bends down, voltage rises and
//! bends up, so a Newton step from the far side of a root never crosses it: the searches below are
//! short and cannot fail.

/// More steps than any of the searches takes; a Newton step from far off costs one `a` a step.
const STEPS: usize = 2000;
/// A Newton step this short, in units of `a`, leaves an error of about its square.
const NEWTON_END: f64 = 1e-8;
/// A bisection step this short, in units of `a`, leaves as much again.
const BISECTION_END: f64 = 1e-13;
/// A shunt conducts at least this where more than the photocurrent is drawn: else nothing would. \[S\]
const LEAST_SHUNT: f64 = 1e-12;

/// Single-diode parameters at one condition, whole panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SingleDiode {
    /// Light-generated current. \[A\]
    pub photocurrent: f64,
    /// Diode saturation current. \[A\]
    pub saturation_current: f64,
    /// Series resistance. \[Ω\]
    pub resistance_series: f64,
    /// Shunt conductance, the inverse of the shunt resistance. \[S\]
    pub conductance_shunt: f64,
    /// Ideality × cells × thermal voltage. \[V\]
    pub a: f64,
}

impl SingleDiode {
    /// Current at a junction voltage, explicit form. \[A\]
    ///
    /// J.W. Bishop, Solar Cells 25(1), 1988, doi:10.1016/0379-6787(88)90059-2.
    #[must_use]
    pub fn current_at_junction(&self, x: f64) -> f64 {
        self.photocurrent
            - self.saturation_current * (x / self.a).exp_m1()
            - self.conductance_shunt * x
    }

    /// Terminal voltage and current at a junction voltage. \[V\], \[A\]
    #[must_use]
    pub fn point_at_junction(&self, x: f64) -> (f64, f64) {
        let i = self.current_at_junction(x);
        (x - i * self.resistance_series, i)
    }

    /// Current at a junction voltage \[A\] and its change with it \[S\], by one exponential.
    pub(super) fn current_and_slope(&self, x: f64) -> (f64, f64) {
        let grown = self.saturation_current * (x / self.a).exp();
        let current =
            self.photocurrent + self.saturation_current - grown - self.conductance_shunt * x;
        (current, -grown / self.a - self.conductance_shunt)
    }

    /// Junction voltage at which the panel carries a current. \[V\]
    #[must_use]
    pub fn junction_at_current(&self, i: f64) -> f64 {
        let (i0, a) = (self.saturation_current, self.a);
        let mut g = self.conductance_shunt;
        let rest = self.photocurrent - i;
        // Both right of the root: what the diode alone, and the shunt alone, would need (never, if
        // it is zero, plus or minus).
        let start = if rest > 0.0 {
            (a * ((i0 + rest).ln() - i0.ln())).min(rest / g.abs())
        } else {
            g = g.max(LEAST_SHUNT);
            0.0
        };
        falling_from_right(start, self.a, |x| {
            let e = (x / a).exp_m1();
            (rest - i0 * e - g * x, i0 * (e + 1.0) / a + g)
        })
    }

    /// Junction voltage at which the panel stands at a terminal voltage. \[V\]
    #[must_use]
    pub fn junction_at_voltage(&self, v: f64) -> f64 {
        let (i0, a, g, rs) =
            (self.saturation_current, self.a, self.conductance_shunt, self.resistance_series);
        let most = v + rs * (self.photocurrent + i0);
        // Both right of the root: without the diode, and without all but the diode.
        let mut start = most / (1.0 + rs * g);
        if most > rs * i0 && rs > 0.0 {
            start = start.min(a * (most.ln() - (rs * i0).ln()));
        }
        falling_from_right(start, self.a, |x| {
            let e = i0 * (x / a).exp();
            (most - (1.0 + rs * g) * x - rs * e, 1.0 + rs * (g + e / a))
        })
    }

    /// Terminal voltage at a current. \[V\]
    #[must_use]
    pub fn voltage_at_current(&self, i: f64) -> f64 {
        self.junction_at_current(i) - i * self.resistance_series
    }

    /// Current at a terminal voltage. \[A\]
    #[must_use]
    pub fn current_at_voltage(&self, v: f64) -> f64 {
        self.current_at_junction(self.junction_at_voltage(v))
    }

    /// Open-circuit voltage. \[V\]
    #[must_use]
    pub fn v_oc(&self) -> f64 {
        self.junction_at_current(0.0)
    }

    /// Maximum power point. \[V\], \[A\]
    ///
    /// Along the junction voltage the slope of `V·I` is zero where `I·(1 + 2·Rs·s) = s·x` with
    /// `s = −dI/dx`. `I` over `V` bends down, so there is exactly one such point between 0 and open
    /// circuit. Newton steps find it; one that leaves the bracket, or is not half as long as the
    /// step before, gives way to bisection. Without light it is (0, 0).
    #[must_use]
    pub fn max_power(&self) -> (f64, f64) {
        let (i0, a, g, rs) =
            (self.saturation_current, self.a, self.conductance_shunt, self.resistance_series);
        if self.photocurrent <= 0.0 {
            return (0.0, 0.0);
        }
        let (total, per_a) = (self.photocurrent + i0, 1.0 / a);
        let (mut lo, mut hi) = (0.0, a * (total / i0).ln());
        let mut x = self.estimate_max_power_junction(hi);
        let mut last = hi - lo;
        for _ in 0..STEPS {
            let e = i0 * (x * per_a).exp();
            let (i, s) = (total - e - g * x, e * per_a + g);
            let gain = i * (1.0 + 2.0 * rs * s) - s * x;
            if gain > 0.0 {
                lo = x
            } else {
                hi = x
            }
            let slope = e * per_a * per_a * (2.0 * rs * i - x) - 2.0 * s * (1.0 + rs * s);
            let newton = x - gain / slope;
            let step = (newton - x).abs();
            if lo <= newton && newton <= hi && step <= 0.5 * last {
                if step <= NEWTON_END * a {
                    // So short a step needs no new exponential.
                    let i = i - s * (newton - x);
                    return (newton - i * rs, i);
                }
                (x, last) = (newton, step);
            } else {
                last = 0.5 * (hi - lo);
                x = lo + last;
                if last <= BISECTION_END * a {
                    break;
                }
            }
        }
        self.point_at_junction(x)
    }

    /// Junction voltage of maximum power, to about a tenth of `a`. \[V\]
    ///
    /// Without resistances it is `a·(W(e^(1 + x_oc/a)) − 1)`, W Lambert's function, here by its
    /// asymptotic series; the series resistance then moves it up by a logarithm.
    fn estimate_max_power_junction(&self, x_oc: f64) -> f64 {
        let l = 1.0 + x_oc / self.a;
        let w = l - l.ln() * (1.0 - 1.0 / l);
        let x = (self.a * (w - 1.0)).clamp(0.0, x_oc);
        let drop = self.photocurrent * self.resistance_series;
        if 4.0 * drop < x { x - self.a * (1.0 - 2.0 * drop / x).ln() } else { 0.5 * (x + x_oc) }
            .min(x_oc)
    }
}

/// Root of a falling function that bends down within about `a`, from a start right of it.
///
/// The tangent lies above the function, so each Newton step stays right of the root, and the steps
/// end. `f` gives the value and the *fall* (the slope's negative) at a point.
fn falling_from_right(start: f64, a: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    let mut x = start;
    for _ in 0..STEPS {
        let (value, fall) = f(x);
        let step = -value / fall;
        // Left of the root only by rounding: nothing is left to gain.
        if step <= 0.0 || step.is_nan() {
            break;
        }
        x -= step;
        if step <= NEWTON_END * a {
            break;
        }
    }
    x
}
