//! Fuzz: the fit holds on every legal label, however odd, and its curves are sound.
//!
//! Legal is Voc/2 < Vmp < Voc and Isc/2 < Imp < Isc. Much of what is drawn here no silicon panel
//! could be; someone will type it in all the same.

#[path = "support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;
#[path = "support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;

use random::Random;
use sungraft::electrical::{Assumed, Condition, FitError, PanelModel, fit_label, stc};
use sungraft::model::Kind;
use sungraft::units::{Celsius, Irradiance, PercentPerC, Volts};

/// From a cold dawn in the dark to a hot roof under a bright cloud.
const CONDITIONS: [(f64, f64); 7] = [
    (1000.0, 25.0),
    (1000.0, -50.0),
    (1000.0, 90.0),
    (20.0, -20.0),
    (1400.0, 60.0),
    (1.0, 10.0),
    (0.0, 5.0),
];

/// A label from the whole legal range, with coefficients to the edges of what is plausible.
fn any_legal_kind(random: &mut Random) -> Kind {
    let (v_oc, i_sc) = (random.between_log(0.3, 1500.0), random.between_log(0.005, 100.0));
    // A third of all stands at the very edges.
    let share = |random: &mut Random| match random.below(6) {
        0 => random.between(0.5001, 0.52),
        1 => random.between(0.98, 0.9999),
        _ => random.between(0.51, 0.99),
    };
    let (v_share, i_share) = (share(random), share(random));
    let maybe = |random: &mut Random, lo: f64, hi: f64| {
        random.chance(0.7).then(|| PercentPerC(random.between(lo, hi)))
    };
    Kind {
        i_sc_coefficient: maybe(random, -0.05, 0.2),
        v_oc_coefficient: maybe(random, -0.7, -0.05),
        p_mp_coefficient: maybe(random, -1.0, 0.05),
        bypass_diodes: Some(random.below(5)),
        ..panels::kind("any", v_oc * v_share, i_sc * i_share, v_oc, i_sc)
    }
}

/// What is wrong with the fit of a label, if anything.
fn find_fault(kind: &Kind) -> Result<(), String> {
    let label = &kind.label;
    let model = fit_label(label, &Assumed::for_kind(kind)).map_err(|error| format!("{error:?}"))?;
    let r = model.reference;
    let finite = [r.photocurrent, r.saturation_current, r.resistance_series, r.a, model.alpha];
    let sound = finite.iter().all(|x| x.is_finite())
        && r.photocurrent > 0.0
        && r.saturation_current > 0.0
        && r.resistance_series >= 0.0
        && (0.0..f64::INFINITY).contains(&r.conductance_shunt)
        && r.a > 0.0;
    if !sound {
        return Err(format!("parameters {r:?}"));
    }
    let off = |is: f64, should_be: f64| is / should_be - 1.0;
    let (v, i) = r.max_power();
    let at_peak = [off(v, label.v_mp.volts()), off(i, label.i_mp.amps())];
    // Power is flat at its peak, and the more so the worse the panel: where it stands is less sure.
    if at_peak.iter().any(|x| x.abs() > 1e-5) || off(v * i, label.p_mp.watts()).abs() > 1e-8 {
        return Err(format!("peak {at_peak:?}"));
    }
    let voltage = off(r.v_oc(), label.v_oc.volts());
    let current = off(r.current_at_voltage(0.0), label.i_sc.amps());
    if !(-0.0957..0.1047).contains(&voltage) || !(-1e-8..0.1047).contains(&current) {
        return Err(format!("Voc moved by {voltage}, Isc by {current}"));
    }
    // Voc is moved only where no silicon panel is.
    let square = label.v_mp.volts() / label.v_oc.volts();
    if voltage.abs() > 1e-8 && (0.55..0.95).contains(&square) {
        return Err(format!("Voc moved by {voltage}"));
    }
    CONDITIONS.iter().try_for_each(|at| find_fault_in_curve(kind, &model, *at))
}

fn find_fault_in_curve(
    kind: &Kind,
    model: &PanelModel,
    (irradiance, temp_cell): (f64, f64),
) -> Result<(), String> {
    let condition = Condition { irradiance: Irradiance(irradiance), temp_cell: Celsius(temp_cell) };
    let curve = model.curve(condition);
    let knots = curve.knots();
    if !knots.iter().all(|k| k.v.volts().is_finite() && k.i.amps().is_finite()) {
        return Err(format!("a knot at {irradiance} W/m², {temp_cell} °C is not finite"));
    }
    if !knots.windows(2).all(|k| k[0].v <= k[1].v && k[0].i >= k[1].i) {
        return Err(format!("the curve at {irradiance} W/m², {temp_cell} °C rises"));
    }
    let diode = model.at(condition);
    let (v, i) = diode.max_power();
    let best = curve.max_power(Volts(0.0), kind.label.v_oc * 2.0).power().watts();
    // A chord lies within 2e-5 of Voc and of Isc (of `a` and of one percent of full sun's, where a
    // panel in the dark or utterly run down by heat has less).
    let label = &kind.label;
    let scale =
        curve.v_oc().volts().max(diode.a) * curve.i_sc().amps().max(0.01 * label.i_sc.amps());
    if !(v * i).is_finite() || (best - v * i).abs() > 5e-5 * scale {
        return Err(format!("{best} W by curve, {} at {irradiance} W/m², {temp_cell} °C", v * i));
    }
    Ok(())
}

fn hunt(seed: u64, n: usize) {
    let mut random = Random::seeded(seed);
    for n in 0..n {
        let kind = any_legal_kind(&mut random);
        if let Err(fault) = find_fault(&kind) {
            panic!("label {n} of seed {seed}: {fault}\n{kind:#?}");
        }
    }
}

#[test]
fn three_thousand_odd_labels_are_fitted_without_fault() {
    hunt(1, 3_000);
}

#[test]
#[ignore = "takes some minutes: cargo test --test fit_never_fails -- --ignored"]
fn a_million_odd_labels_are_fitted_without_fault() {
    hunt(2, 1_000_000);
}

#[test]
fn labels_that_are_not_legal_are_refused_by_name() {
    let refused = |v_mp: f64, i_mp: f64, v_oc: f64, i_sc: f64| {
        let kind = panels::kind("odd", v_mp, i_mp, v_oc, i_sc);
        fit_label(&kind.label, &Assumed::for_kind(&kind)).err()
    };
    assert_eq!(refused(23.0, 5.56, 22.3, 5.9), Some(FitError::Voltages));
    assert_eq!(refused(11.0, 5.56, 22.3, 5.9), Some(FitError::Voltages));
    assert_eq!(refused(18.0, 6.0, 22.3, 5.9), Some(FitError::Currents));
    assert_eq!(refused(18.0, 2.9, 22.3, 5.9), Some(FitError::Currents));
    assert_eq!(refused(f64::NAN, 5.56, 22.3, 5.9), Some(FitError::Voltages));
    assert_eq!(refused(18.0, 5.56, 22.3, f64::NAN), Some(FitError::Currents));
    assert_eq!(refused(18.0, 5.56, 22.3, 5.9), None);
}

#[test]
fn a_label_squarer_than_silicon_raises_voltage_no_more_than_it_must() {
    // Vmp/Voc 0.99 and Imp/Isc 0.99: a fill factor of 0.98, where silicon ends at about 0.87.
    let square = panels::kind("square", 0.99 * 40.0, 0.99 * 10.0, 40.0, 10.0);
    let model = fit_label(&square.label, &Assumed::for_kind(&square)).expect("legal");
    let (v, i) = model.at(stc()).max_power();
    assert!((v * i - square.label.p_mp.watts()).abs() < 1e-6);
    let raised = model.reference.v_oc() / 40.0 - 1.0;
    assert!((0.005..0.05).contains(&raised), "{raised}");
}
