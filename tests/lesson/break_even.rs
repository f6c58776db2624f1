//! Break-even charts against figures from outside.

use sungraft::electrical::Catalog;
use sungraft::model::{Kind, KindIdx, Label};
use sungraft::plan::{LARGEST_GROUP, break_even_chart};
use sungraft::units::{Amps, PercentPerC, Volts, Watts};

/// A generic 60-cell label (Isc/Voc/Imp/Vmp 8.9/37.8/8.3/30.1).
fn generic() -> Kind {
    Kind {
        id: "generic".into(),
        label: Label {
            p_mp: Watts(30.1 * 8.3),
            v_mp: Volts(30.1),
            i_mp: Amps(8.3),
            v_oc: Volts(37.8),
            i_sc: Amps(8.9),
        },
        v_oc_coefficient: Some(PercentPerC(-0.33)),
        i_sc_coefficient: Some(PercentPerC(0.05)),
        p_mp_coefficient: Some(PercentPerC(-0.43)),
        cells: Some(60),
        bypass_diodes: Some(3),
        noct: None,
        max_fuse: None,
        max_system: None,
        tolerance_percent: None,
        age_years: None,
        estimated: false,
        placed: None,
        v_oc_tolerance_percent: None,
    }
}

/// Computed for this project by an independent model of piecewise-linear curves.
#[test]
fn the_chart_of_a_generic_panel_is_that_of_an_independent_model() {
    let catalog = Catalog::fit(&[generic()]).expect("a legal label");
    let chart = break_even_chart(&catalog, KindIdx(0));
    assert_eq!(chart.rows.len(), LARGEST_GROUP);
    let series = [(1, 0.46), (2, 0.59), (3, 0.67), (4, 0.71), (8, 0.79)];
    let parallel = [(1, 0.48), (2, 0.62), (3, 0.68), (4, 0.72), (10, 0.77)];
    for (n, ratio) in series {
        let found = chart.rows[n - 1].in_series.by_curve;
        assert!((found - ratio).abs() <= 0.011, "{n} in series: {found}");
    }
    for (n, ratio) in parallel {
        let found = chart.rows[n - 1].in_parallel.by_curve;
        assert!((found - ratio).abs() <= 0.011, "{n} in parallel: {found}");
    }
}

#[test]
fn the_more_panels_there_are_the_less_weak_the_next_may_be_and_the_rule_is_the_stricter() {
    let catalog = Catalog::fit(&[generic()]).expect("a legal label");
    let chart = break_even_chart(&catalog, KindIdx(0));
    for pair in chart.rows.windows(2) {
        assert!(pair[0].in_series.by_curve < pair[1].in_series.by_curve);
        assert!(pair[0].in_parallel.by_curve < pair[1].in_parallel.by_curve);
    }
    for row in &chart.rows {
        let n = row.n_panels as f64;
        for at in [row.in_series, row.in_parallel] {
            assert!((at.by_rule - n / (n + 1.0)).abs() < 1e-12);
            assert!(at.by_curve < at.by_rule, "{row:?}");
        }
    }
}
