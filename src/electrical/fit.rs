//! Five parameters from a label: the curve passes through Isc, Voc and (Vmp, Imp) and is flat in power there.
//!
//! Nested searches between brackets only, so that it cannot fail on a legal label. The equations
//! are those of the six-parameter model: De Soto, Klein, Beckman, Solar Energy 80, 2006, and
//! A. Dobos, J. Solar Energy Eng. 134, 2012, doi:10.1115/1.4005759.

use super::root::bracketed_root;
use super::{Assumed, Condition, PanelModel, SingleDiode};
use crate::model::Label;
use crate::units::{Celsius, Irradiance, whole_power};

/// How often a figure may be moved by 1 % where no curve passes through the label.
const RELAXATIONS: i32 = 10;
/// Width at which a search for `a` or a resistance ends, in units of its upper end.
const WIDTH: f64 = 1e-13;
/// Range of `a` in units of Voc: the CEC table's silicon rows lie in 0.03 … 0.06.
const LEAST_A: f64 = 0.015;
const MOST_A: f64 = 0.20;
/// The least `a` where even that is too much, for labels that no silicon panel has: below it the
/// saturation current, e^(−Voc/a) of the photocurrent, would leave the range of a double in the cold.
const UTTERLY_LEAST_A: f64 = 1.0 / 600.0;

/// A label through which no single-diode curve passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitError {
    /// Voltages must satisfy Voc/2 < Vmp < Voc.
    Voltages,
    /// Currents must satisfy Isc/2 < Imp < Isc.
    Currents,
    /// No parameters found even with relaxed figures.
    NoCurve,
}

/// Fits a label with its (or assumed) temperature coefficients.
///
/// Maximum power is always the label's Vmp × Imp. Where no curve passes through all points, the
/// short-circuit current of the *curve* is raised by 1 % at a time; where none has the label's
/// power coefficient, the nearest is taken; and where the label is no silicon panel's (Vmp almost
/// Voc, or almost half of it), the open-circuit voltage of the curve is moved too. Limits always
/// use the label's own figures.
///
/// # Errors
/// [`FitError`] if the label is not legal.
pub fn fit_label(label: &Label, assumed: &Assumed) -> Result<PanelModel, FitError> {
    let l = Numbers {
        v_mp: label.v_mp.volts(),
        i_mp: label.i_mp.amps(),
        v_oc: label.v_oc.volts(),
        i_sc: label.i_sc.amps(),
    };
    if !(l.v_mp < l.v_oc && l.v_mp > 0.5 * l.v_oc) {
        return Err(FitError::Voltages);
    }
    if !(l.i_mp < l.i_sc && l.i_mp > 0.5 * l.i_sc) {
        return Err(FitError::Currents);
    }
    let demands = [
        Demand { coefficient: Coefficient::Exact, least_a: LEAST_A, voltage_steps: 0 },
        Demand { coefficient: Coefficient::Nearest, least_a: LEAST_A, voltage_steps: 0 },
        Demand {
            coefficient: Coefficient::Nearest,
            least_a: UTTERLY_LEAST_A,
            voltage_steps: RELAXATIONS,
        },
    ];
    demands.iter().find_map(|d| fit_demand(&l, assumed, d)).ok_or(FitError::NoCurve)
}

/// What a fit must fulfil.
struct Demand {
    coefficient: Coefficient,
    /// Least `a` in units of Voc.
    least_a: f64,
    /// How often Voc may be moved by 1 %.
    voltage_steps: i32,
}

/// Must the fitted curve have the label's power coefficient?
#[derive(Clone, Copy, PartialEq)]
enum Coefficient {
    /// Yes.
    Exact,
    /// As near as the other figures allow.
    Nearest,
}

/// A label as bare numbers. \[V\], \[A\]
#[derive(Clone, Copy)]
struct Numbers {
    v_mp: f64,
    i_mp: f64,
    v_oc: f64,
    i_sc: f64,
}

/// The first fit that fulfils a demand, moving figures as little as possible.
fn fit_demand(l: &Numbers, assumed: &Assumed, demand: &Demand) -> Option<PanelModel> {
    // Away from the nearer of the two ends that Vmp must keep clear of.
    let voltage_step: f64 = if l.v_mp > 0.75 * l.v_oc { 1.01 } else { 0.99 };
    (0..=demand.voltage_steps).find_map(|m| {
        (0..=RELAXATIONS).find_map(|k| {
            let v_oc = l.v_oc * whole_power(voltage_step, m);
            let moved = Numbers { v_oc, i_sc: l.i_sc * whole_power(1.01, k), ..*l };
            fit_moved(&moved, assumed, demand)
        })
    })
}

fn fit_moved(l: &Numbers, assumed: &Assumed, demand: &Demand) -> Option<PanelModel> {
    let alpha_relative = assumed.i_sc_coefficient.fraction_per_k();
    let beta = assumed.v_oc_coefficient.fraction_per_k();
    let gamma = assumed.p_mp_coefficient.fraction_per_k();
    let lowest = demand.least_a * l.v_oc;
    let highest = largest_a(l, lowest, MOST_A * l.v_oc)?;
    let alpha = alpha_relative * l.i_sc;
    let mut adjust = 0.0;
    let mut model = None;
    // Adjust and ideality depend on each other: a few fixed-point passes, as Dobos does.
    for _ in 0..4 {
        let adjusted_alpha = alpha * (1.0 - adjust / 100.0);
        let a = search_a(l, adjusted_alpha, gamma, (lowest, highest), demand.coefficient)?;
        let reference = parameters(l, a)?;
        model = Some(PanelModel {
            reference,
            alpha: adjusted_alpha,
            bypass_diodes: assumed.bypass_diodes,
        });
        adjust = voltage_adjust(l, &reference, alpha, beta);
    }
    model
}

/// All parameters for a given `a`, if a series and shunt resistance of at least zero exist.
fn parameters(l: &Numbers, a: f64) -> Option<SingleDiode> {
    // How much steeper the curve is at (Vmp, Imp) than a curve whose power is flat there.
    let excess = |rs: f64| {
        let (j0, g) = diode_and_shunt(l, a, rs);
        let e_mp = ((l.v_mp + l.i_mp * rs - l.v_oc) / a).exp();
        j0 * e_mp / a + g - l.i_mp / (l.v_mp - l.i_mp * rs)
    };
    // It grows without bound where Vmp + Imp·Rs reaches Voc; where Imp·Rs reaches Vmp before that,
    // it falls without bound, and there is no root.
    let (lo, hi) = (0.0, (l.v_oc - l.v_mp).min(l.v_mp) / l.i_mp * (1.0 - 1e-9));
    let (at_lo, at_hi) = (excess(lo), excess(hi));
    if !(at_lo < 0.0 && at_hi > 0.0) {
        return None;
    }
    let rs = bracketed_root((lo, at_lo), (hi, at_hi), WIDTH * hi, excess);
    let (j0, g) = diode_and_shunt(l, a, rs);
    let i0 = j0 * (-l.v_oc / a).exp();
    (g >= 0.0 && i0 > 0.0).then(|| SingleDiode {
        photocurrent: -j0 * (-l.v_oc / a).exp_m1() + g * l.v_oc,
        saturation_current: i0,
        resistance_series: rs,
        // A shunt that conducts nothing may come out as minus zero.
        conductance_shunt: g.abs(),
        a,
    })
}

/// Diode current at open circuit \[A\] and shunt conductance \[S\] from the two linear equations.
fn diode_and_shunt(l: &Numbers, a: f64, rs: f64) -> (f64, f64) {
    // How far the junction is below open circuit at short circuit and at maximum power. [V]
    let (d_sc, d_mp) = (l.v_oc - l.i_sc * rs, l.v_oc - l.v_mp - l.i_mp * rs);
    let (s_sc, s_mp) = (-(-d_sc / a).exp_m1(), -(-d_mp / a).exp_m1());
    let det = s_sc * d_mp - d_sc * s_mp;
    ((l.i_sc * d_mp - d_sc * l.i_mp) / det, (s_sc * l.i_mp - s_mp * l.i_sc) / det)
}

/// The largest `a` for which parameters exist. [V]
fn largest_a(l: &Numbers, lowest: f64, highest: f64) -> Option<f64> {
    parameters(l, lowest)?;
    let (mut lo, mut hi) = (lowest, highest);
    if parameters(l, hi).is_some() {
        return Some(hi);
    }
    while hi - lo > WIDTH * hi {
        let mid = 0.5 * (lo + hi);
        if parameters(l, mid).is_some() { lo = mid } else { hi = mid }
    }
    Some(lo)
}

/// The `a` at which the mean power coefficient over −10 … 50 °C is the label's; the nearer end of
/// the range if none is and that is good enough. \[V\]
fn search_a(
    l: &Numbers,
    alpha: f64,
    gamma: f64,
    (lowest, highest): (f64, f64),
    coefficient: Coefficient,
) -> Option<f64> {
    let error = |a: f64| -> Option<f64> {
        let model = PanelModel { reference: parameters(l, a)?, alpha, bypass_diodes: 0 };
        Some(mean_power_coefficient(&model) - gamma)
    };
    let (at_lo, at_hi) = (error(lowest)?, error(highest)?);
    if (at_lo > 0.0) == (at_hi > 0.0) {
        let nearest = if at_lo.abs() < at_hi.abs() { lowest } else { highest };
        return (coefficient == Coefficient::Nearest).then_some(nearest);
    }
    // Between two feasible ends all is feasible; were it not, the search would end beside the gap.
    let infeasible = at_hi;
    let root = bracketed_root((lowest, at_lo), (highest, at_hi), WIDTH * highest, |a| {
        error(a).unwrap_or(infeasible)
    });
    Some(root)
}

/// Mean of the relative change of power per kelvin against 25 °C, over −10 … 50 °C in steps of 10 K. \[1/K\]
fn mean_power_coefficient(model: &PanelModel) -> f64 {
    let power = |t: f64| {
        let (v, i) = model
            .at(Condition { irradiance: Irradiance(1000.0), temp_cell: Celsius(t) })
            .max_power();
        v * i
    };
    let reference = power(25.0);
    let temps = [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0, 50.0];
    temps.iter().map(|t| (power(*t) / reference - 1.0) / (t - 25.0)).sum::<f64>()
        / temps.len() as f64
}

/// Percent by which α must be lowered and β raised so that Voc at 27 °C agrees with the coefficient.
fn voltage_adjust(l: &Numbers, reference: &SingleDiode, alpha: f64, beta: f64) -> f64 {
    let residual = |adjust: f64| {
        let model = PanelModel {
            reference: *reference,
            alpha: alpha * (1.0 - adjust / 100.0),
            bypass_diodes: 0,
        };
        let warm = model.at(Condition { irradiance: Irradiance(1000.0), temp_cell: Celsius(27.0) });
        warm.v_oc() - l.v_oc * (1.0 + 2.0 * beta * (1.0 + adjust / 100.0))
    };
    let (lo, hi) = ((-100.0, residual(-100.0)), (100.0, residual(100.0)));
    if (lo.1 > 0.0) == (hi.1 > 0.0) {
        // A coefficient that no adjusting meets: leave the current's as the label has it.
        return 0.0;
    }
    bracketed_root(lo, hi, 1e-9, residual)
}
