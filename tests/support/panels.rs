//! Kinds for tests: invented panels, and a short way to write a kind.

use sungraft::model::{Kind, Label};
use sungraft::units::{Amps, PercentPerC, Volts, Watts};

/// A kind from Vmp, Imp, Voc, Isc; everything else the label does not say.
pub(crate) fn kind(id: &str, v_mp: f64, i_mp: f64, v_oc: f64, i_sc: f64) -> Kind {
    let label = Label {
        p_mp: Watts(v_mp * i_mp),
        v_mp: Volts(v_mp),
        i_mp: Amps(i_mp),
        v_oc: Volts(v_oc),
        i_sc: Amps(i_sc),
    };
    Kind::of_label(id.to_owned(), label)
}

/// The kind with its coefficients α, β, γ. [%/°C]
pub(crate) fn with_coefficients(kind: Kind, alpha: f64, beta: f64, gamma: f64) -> Kind {
    Kind {
        i_sc_coefficient: Some(PercentPerC(alpha)),
        v_oc_coefficient: Some(PercentPerC(beta)),
        p_mp_coefficient: Some(PercentPerC(gamma)),
        ..kind
    }
}

/// The kind with its number of cells and bypass diodes.
pub(crate) fn with_cells(kind: Kind, cells: usize, bypass_diodes: usize) -> Kind {
    Kind { cells: Some(cells), bypass_diodes: Some(bypass_diodes), ..kind }
}

/// The six invented panels of `tests/data/golden.json`: P50, P100, P175, P200, P250, P400.
pub(crate) fn invented() -> Vec<Kind> {
    let panel = |id, (v_mp, i_mp, v_oc, i_sc), (beta, gamma), cells, bypass| {
        with_cells(
            with_coefficients(kind(id, v_mp, i_mp, v_oc, i_sc), 0.05, beta, gamma),
            cells,
            bypass,
        )
    };
    vec![
        panel("P50", (17.8, 2.81, 21.8, 3.03), (-0.34, -0.45), 36, 1),
        panel("P100", (18.0, 5.56, 22.3, 5.90), (-0.32, -0.43), 36, 2),
        panel("P175", (35.8, 4.89, 44.2, 5.30), (-0.34, -0.45), 72, 3),
        panel("P200", (20.4, 9.80, 24.3, 10.2), (-0.30, -0.38), 36, 2),
        panel("P250", (30.5, 8.20, 37.6, 8.71), (-0.32, -0.43), 60, 3),
        panel("P400", (31.0, 12.9, 37.1, 13.7), (-0.27, -0.35), 54, 3),
    ]
}
