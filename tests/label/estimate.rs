//! The estimate itself: exact readings, outliers, fading.

use sungraft::electrical::readings::{
    CELL_ABOVE_BACK, Doubt, FadeVerdict, NextReading, Outlier, Prior, Source, estimate_fade,
    estimate_label,
};
use sungraft::electrical::{Assumed, Condition, fit_label};
use sungraft::model::{Accuracy, Kind, Label, MeasuredPanel, PanelReading};
use sungraft::units::{Amps, Celsius, Irradiance, PercentPerC, Volts};

use crate::random::Random;

pub(crate) fn kind(v_mp: f64, i_mp: f64, v_oc: f64, i_sc: f64) -> Kind {
    Kind {
        id: "porch-90".into(),
        label: Label {
            p_mp: Volts(v_mp) * Amps(i_mp),
            v_mp: Volts(v_mp),
            i_mp: Amps(i_mp),
            v_oc: Volts(v_oc),
            i_sc: Amps(i_sc),
        },
        v_oc_coefficient: Some(PercentPerC(-0.33)),
        i_sc_coefficient: Some(PercentPerC(0.05)),
        p_mp_coefficient: Some(PercentPerC(-0.45)),
        cells: Some(36),
        bypass_diodes: Some(2),
        noct: None,
        max_fuse: None,
        max_system: None,
        tolerance_percent: None,
        age_years: None,
        v_oc_tolerance_percent: None,
        estimated: false,
        placed: None,
    }
}

/// What a perfect meter shows on a panel of a kind; with a loaded point at its maximum power.
fn reading(kind: &Kind, irradiance: f64, temp_cell: f64) -> PanelReading {
    let model = fit_label(&kind.label, &Assumed::for_kind(kind)).expect("a legal label");
    let diode =
        model.at(Condition { irradiance: Irradiance(irradiance), temp_cell: Celsius(temp_cell) });
    let (v, i) = diode.max_power();
    PanelReading {
        name: format!("{irradiance} W/m²"),
        v_oc: Volts(diode.v_oc()),
        i_sc: Amps(diode.current_at_voltage(0.0)),
        irradiance: Some(Irradiance(irradiance)),
        twin_i_sc: None,
        temp_back: Celsius(temp_cell - CELL_ABOVE_BACK * irradiance / 1000.0),
        load: Some((Volts(v), Amps(i))),
    }
}

fn panel(readings: Vec<PanelReading>) -> MeasuredPanel {
    MeasuredPanel {
        readings,
        accuracy: Accuracy::default(),
        cells: Some(36),
        twin_label_i_sc: None,
    }
}

#[test]
fn exact_readings_of_a_panel_whose_habits_are_known_give_back_its_label() {
    // The condition that the round trip is asked for: 640 W/m², 38 °C.
    let mut random = Random::seeded(11);
    let mut n_tried = 0;
    for _ in 0..80 {
        let (v_oc, i_sc) = (random.between(15.0, 60.0), random.between(2.0, 15.0));
        let v_mp = v_oc * random.between(0.78, 0.84);
        let known = kind(v_mp, i_sc * random.between(0.91, 0.96), v_oc, i_sc);
        // Where no curve has the label's coefficients the fit raises Isc of the curve, and a meter on that
        // curve would not show the label's.
        let model = fit_label(&known.label, &Assumed::for_kind(&known)).expect("a legal label");
        if (model.reference.current_at_voltage(0.0) / i_sc - 1.0).abs() > 1e-4 {
            continue;
        }
        n_tried += 1;
        let estimate =
            estimate_label(&panel(vec![reading(&known, 640.0, 38.0)]), &Prior::of_worn(&known))
                .expect("a label");
        let (got, true_label) = (estimate.label, known.label);
        // The model itself is the same; what is left is α, by which Isc of the curve bends.
        let close = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 2e-3, "{a} for {b}");
        close(got.v_oc.volts(), true_label.v_oc.volts());
        close(got.i_sc.amps(), true_label.i_sc.amps());
        close(got.v_mp.volts(), true_label.v_mp.volts());
        close(got.i_mp.amps(), true_label.i_mp.amps());
    }
    assert!(n_tried >= 20, "{n_tried}");
}

#[test]
fn the_parts_of_a_band_make_all_of_it() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let mut one = reading(&known, 640.0, 38.0);
    one.load = None;
    let estimate = estimate_label(&panel(vec![one]), &Prior::of_silicon()).expect("a label");
    let sum = |f: fn(&sungraft::electrical::readings::Share) -> f64| -> f64 {
        estimate.shares.iter().map(f).sum()
    };
    for total in [sum(|s| s.of_p_mp), sum(|s| s.of_v_oc), sum(|s| s.of_i_sc)] {
        assert!((total - 1.0).abs() < 1e-9, "{total}");
    }
    // By hand: Isc is amperes over light, so 5 %² of 5 %² + 1 %² + (α·2 K)² + α's own part.
    let light = estimate.shares.iter().find(|s| s.source == Source::Irradiance);
    let light = light.expect("there is a meter").of_i_sc;
    assert!((light - 25.0 / 26.1).abs() < 0.01, "{light}");
}

#[test]
fn the_band_of_short_amperes_is_the_one_that_hand_arithmetic_gives() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let estimate = estimate_label(&panel(vec![reading(&known, 640.0, 38.0)]), &Prior::of_silicon())
        .expect("a label");
    // 2.2 · √(5² + 1² + (13 · 0.0235)² + (2 · 0.054)²) % = 11.24 %, as a factor e^0.1124 − 1 = 11.9 %.
    let percent = estimate.bands.i_sc.percent();
    assert!((percent - 11.9).abs() < 0.2, "{percent}");
}

#[test]
fn a_twin_in_place_of_an_irradiance_meter_gives_the_same_label() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let by_meter = reading(&known, 800.0, 45.0);
    let twin = 8.0 * 0.8 * (1.0 + 0.0005 * 20.0);
    let mut by_twin = by_meter.clone();
    (by_twin.irradiance, by_twin.twin_i_sc) = (None, Some(Amps(twin)));
    let mut with_twin = panel(vec![by_twin]);
    with_twin.twin_label_i_sc = Some(Amps(8.0));
    let prior = Prior::of_silicon();
    let a = estimate_label(&panel(vec![by_meter]), &prior).expect("a label");
    let b = estimate_label(&with_twin, &prior).expect("a label");
    assert!((a.label.i_sc.amps() / b.label.i_sc.amps() - 1.0).abs() < 3e-3);
    assert!((a.label.v_oc.volts() / b.label.v_oc.volts() - 1.0).abs() < 1e-3);
    // The same meter reads both panels, so its own error cancels: about 3 % instead of 5 %.
    assert!(b.bands.i_sc.percent() < 0.7 * a.bands.i_sc.percent());
}

#[test]
fn a_reading_that_is_off_is_named_kept_and_pulls_little() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let mut readings: Vec<PanelReading> = [600.0, 700.0, 800.0, 900.0, 950.0]
        .into_iter()
        .map(|g| reading(&known, g, 20.0 + 0.03 * g))
        .collect();
    readings[2].i_sc = readings[2].i_sc * 0.6;
    readings[2].load = None;
    let estimate = estimate_label(&panel(readings), &Prior::of_silicon()).expect("a label");
    let named: Vec<_> =
        estimate.agreement.iter().filter_map(|a| Some((a.name.clone(), a.stands_out?))).collect();
    assert_eq!(named, [("800 W/m²".to_owned(), Outlier::Current)]);
    assert!(estimate.doubts.contains(&Doubt::StandOut(vec!["800 W/m²".into()])));
    // The mean of five would be 8 % low.
    let off = estimate.label.i_sc.amps() / 5.3 - 1.0;
    assert!(-0.04 < off && off < 0.0, "{off}");
    assert!(estimate.bands.i_sc.holds(5.3));
}

#[test]
fn two_readings_that_disagree_are_not_settled() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let (mut a, mut b) = (reading(&known, 700.0, 40.0), reading(&known, 900.0, 45.0));
    (a.load, b.load) = (None, None);
    b.v_oc = b.v_oc * 0.66;
    let estimate = estimate_label(&panel(vec![a, b]), &Prior::of_silicon()).expect("a label");
    assert!(estimate.doubts.contains(&Doubt::TwoDisagree), "{:?}", estimate.doubts);
    assert!(estimate.scatter.wider > 1.5, "{:?}", estimate.scatter);
}

#[test]
fn a_third_of_the_volts_missing_shows_against_the_cells() {
    let mut half_dead = reading(&kind(18.1, 4.97, 22.2, 5.3), 800.0, 45.0);
    half_dead.v_oc = half_dead.v_oc * 0.8;
    half_dead.load = None;
    let estimate = estimate_label(&panel(vec![half_dead]), &Prior::of_silicon()).expect("a label");
    assert!(matches!(estimate.doubts[..], [Doubt::VoltsPerCell(v)] if (v - 0.49).abs() < 0.02));
}

#[test]
fn what_is_said_to_narrow_the_band_does_so_by_as_much() {
    let known = kind(18.1, 4.97, 22.2, 5.3);
    let with_load = reading(&known, 800.0, 45.0);
    let mut without = with_load.clone();
    without.load = None;
    let prior = Prior::of_silicon();
    let before = estimate_label(&panel(vec![without.clone()]), &prior).expect("a label");
    let promised = |next: fn(&NextReading) -> bool| {
        let found = before.narrowings.iter().find(|n| next(&n.next));
        found.expect("it is among those listed").p_mp_percent
    };
    let after = estimate_label(&panel(vec![with_load]), &prior).expect("a label");
    let promise = promised(|n| matches!(n, NextReading::LoadedPoint(_)));
    assert!((after.bands.p_mp.percent() - promise).abs() < 0.6);
    let mut better = panel(vec![without]);
    better.accuracy.irradiance_percent = 2.0;
    let after = estimate_label(&better, &prior).expect("a label");
    let promise = promised(|n| *n == NextReading::BetterLight);
    assert!((after.bands.p_mp.percent() - promise).abs() < 0.3);
    let mut listed: Vec<f64> = before.narrowings.iter().map(|n| n.p_mp_percent).collect();
    assert!(listed.is_sorted() && listed.pop() <= Some(before.bands.p_mp.percent() + 0.1));
}

#[test]
fn a_panel_that_lost_a_tenth_of_its_current_is_found_faded_by_as_much() {
    let mut known = kind(18.1, 4.97, 22.2, 5.3);
    let worn = kind(18.1, 4.97 * 0.9, 22.2, 5.3 * 0.9);
    let measured = panel(vec![reading(&worn, 900.0, 50.0)]);
    known.age_years = Some(20.0);
    let fade = estimate_fade(&measured, &known).expect("a label");
    assert!((fade.i_sc_percent.value - 10.0).abs() < 0.3, "{:?}", fade.i_sc_percent);
    assert!((fade.p_mp_percent.value - 10.0).abs() < 0.5, "{:?}", fade.p_mp_percent);
    assert!(fade.v_oc_percent.value.abs() < 0.3, "{:?}", fade.v_oc_percent);
    // 20 years at 0.5 % a year (Jordan and Kurtz, Prog. Photovoltaics 21, 2013).
    assert_eq!(fade.usual, Some((10.0, FadeVerdict::AsUsual)));
    known.age_years = Some(0.0);
    let mut sharp = measured;
    sharp.accuracy.irradiance_percent = 1.0;
    let fade = estimate_fade(&sharp, &known).expect("a label");
    assert_eq!(fade.usual, Some((0.0, FadeVerdict::Faster)));
}
