//! One kind: its label, its coefficients, and what else the label says.

use super::codes::LABEL_ODD;
use super::coefficient::{Figure, read_coefficient};
use super::doubts;
use super::fields::{Fields, Typed};
use super::findings::Findings;
use super::label::read_label;
use crate::model::Kind;
use crate::units::{Amps, Celsius, PercentPerC, Volts};

/// One kind; `None` if a finding says why not.
pub(super) fn read_kind(fields: &Fields, findings: &mut Findings) -> Option<Kind> {
    let id = fields.text("id", findings);
    let label = read_label(fields, findings);
    let v_oc_coefficient =
        read_coefficient(fields, Figure::OpenCircuitVoltage, label.v_oc, findings);
    let i_sc_coefficient =
        read_coefficient(fields, Figure::ShortCircuitCurrent, label.i_sc, findings);
    let p_mp_coefficient = read_coefficient(fields, Figure::Power, label.p_mp, findings);
    let cells = fields.count("cells", findings);
    let bypass_diodes = fields.count("bypass_diodes", findings).map(|n| n.value);
    let noct = fields.number("noct_c", findings).map(|t| Celsius(t.value));
    let max_fuse = fields.number("max_fuse_a", findings);
    let max_system = fields.number("max_system_v", findings);
    let tolerance_percent = fields.number("tolerance_percent", findings).map(|t| t.value);
    let age_years = fields.number("age_years", findings).map(|t| t.value);
    let v_oc_tolerance_percent = fields.number("voc_tolerance_percent", findings).map(|t| t.value);
    let estimated = fields.switch("estimated", findings).unwrap_or(false);
    warn_below(max_fuse.as_ref(), "max_fuse_a", label.i_sc, "isc_a", findings);
    warn_below(max_system.as_ref(), "max_system_v", label.v_oc, "voc_v", findings);
    if let (Some(cells), Some(v_oc)) = (&cells, label.v_oc) {
        doubts::cells(cells, v_oc, findings);
    }
    if let (Some(v_oc), Some(p_mp)) = (&v_oc_coefficient, &p_mp_coefficient) {
        doubts::coefficients(v_oc, p_mp, findings);
    }
    let value = |typed: Option<Typed<f64>>| typed.map(|x| PercentPerC(x.value));
    Some(Kind {
        id: id?.value,
        label: label.complete()?,
        v_oc_coefficient: value(v_oc_coefficient),
        i_sc_coefficient: value(i_sc_coefficient),
        p_mp_coefficient: value(p_mp_coefficient),
        cells: cells.map(|n| n.value),
        bypass_diodes,
        noct,
        max_fuse: max_fuse.map(|x| Amps(x.value)),
        max_system: max_system.map(|x| Volts(x.value)),
        tolerance_percent,
        age_years,
        v_oc_tolerance_percent,
        estimated,
        placed: None,
    })
}

/// A rating that its own panel already exceeds is another panel's, or mistyped.
fn warn_below(
    rating: Option<&Typed<f64>>,
    key: &str,
    figure: Option<f64>,
    figure_key: &str,
    findings: &mut Findings,
) {
    let (Some(rating), Some(figure)) = (rating, figure) else { return };
    if rating.value < figure {
        let message = format!(
            "`{key}` is below this panel's own `{figure_key}` ({} is below {figure})",
            rating.as_typed
        );
        let help = "look the rating up again on the label; if it is not there, leave the key out";
        findings.warning(LABEL_ODD, rating.at, message, help);
    }
}
