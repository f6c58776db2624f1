//! How weak a panel may be before adding it adds nothing.

use super::{Condition, Curve, PanelModel, SingleDiode};
use crate::units::Volts;

/// How one more panel joins equal ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joined {
    /// In series with n equal panels; it is weaker in current.
    InSeries,
    /// In parallel to n equal panels; it is lower in voltage.
    InParallel,
}

/// The lowest ratio, of current or of voltage, at which one more panel adds anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakEven {
    /// By the curves.
    pub by_curve: f64,
    /// By the nameplate rule: n/(n + 1) either way.
    pub by_rule: f64,
}

/// Below which ratio one more panel of the same make adds nothing to `n` equal ones.
///
/// The added panel has the same curve with its currents (in series) or its voltages (in parallel)
/// scaled. The maximum is taken over all voltages: no window.
///
/// # Panics
/// If `n` is zero.
#[must_use]
pub fn break_even(model: &PanelModel, condition: Condition, n: usize, joined: Joined) -> BreakEven {
    assert!(n > 0, "there is something to add to");
    let one = model.curve(condition);
    let equal: Vec<&Curve> = std::iter::repeat_n(&one, n).collect();
    let base = match joined {
        Joined::InSeries => Curve::in_series(&equal),
        Joined::InParallel => Curve::in_parallel(&equal),
    };
    let before = most(&base);
    let gains = |ratio: f64| {
        let weaker = scaled(model, joined, ratio).curve(condition);
        let both = match joined {
            Joined::InSeries => Curve::in_series(&[&base, &weaker]),
            Joined::InParallel => Curve::in_parallel(&[&base, &weaker]),
        };
        most(&both) > before
    };
    // Gain rises with the ratio from below zero to a whole panel's worth.
    let (mut lo, mut hi) = (0.05, 1.0);
    for _ in 0..30 {
        let mid = 0.5 * (lo + hi);
        if gains(mid) { hi = mid } else { lo = mid }
    }
    BreakEven { by_curve: hi, by_rule: n as f64 / (n + 1) as f64 }
}

fn most(curve: &Curve) -> f64 {
    curve.max_power(Volts(0.0), curve.v_oc()).power().watts()
}

/// The same panel with its currents or its voltages scaled.
fn scaled(model: &PanelModel, joined: Joined, ratio: f64) -> PanelModel {
    let r = model.reference;
    let (current, voltage) = match joined {
        Joined::InSeries => (ratio, 1.0),
        Joined::InParallel => (1.0, ratio),
    };
    PanelModel {
        reference: SingleDiode {
            photocurrent: r.photocurrent * current,
            saturation_current: r.saturation_current * current,
            resistance_series: r.resistance_series * voltage / current,
            conductance_shunt: r.conductance_shunt * current / voltage,
            a: r.a * voltage,
        },
        alpha: model.alpha * current,
        bypass_diodes: model.bypass_diodes,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrical::{Assumed, fit_label, stc};
    use crate::model::Label;
    use crate::units::{Amps, PercentPerC, Watts};

    /// A generic 60-cell label (Isc/Voc/Imp/Vmp 8.9/37.8/8.3/30.1).
    fn generic() -> PanelModel {
        let label = Label {
            p_mp: Watts(30.1 * 8.3),
            v_mp: Volts(30.1),
            i_mp: Amps(8.3),
            v_oc: Volts(37.8),
            i_sc: Amps(8.9),
        };
        let assumed = Assumed {
            i_sc_coefficient: PercentPerC(0.05),
            v_oc_coefficient: PercentPerC(-0.33),
            p_mp_coefficient: PercentPerC(-0.43),
            bypass_diodes: 3,
        };
        fit_label(&label, &assumed).expect("a legal label")
    }

    /// Computed for this project by an independent model of piecewise-linear curves.
    #[test]
    fn break_even_ratios_equal_an_independent_models() {
        let model = generic();
        let series = [(1, 0.46), (2, 0.59), (3, 0.67), (4, 0.71), (8, 0.79)];
        let parallel = [(1, 0.48), (2, 0.62), (3, 0.68), (4, 0.72), (10, 0.77)];
        for (cases, joined) in [(series, Joined::InSeries), (parallel, Joined::InParallel)] {
            for (n, ratio) in cases {
                let found = break_even(&model, stc(), n, joined).by_curve;
                assert!((found - ratio).abs() <= 0.011, "{joined:?} {n}: {found} not {ratio}");
            }
        }
    }
}
