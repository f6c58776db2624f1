//! The five label figures, each alone and against the others.

use super::codes::{CURRENTS, LABEL_ODD, LABEL_POWER, LABEL_POWER_OFF, VOLTAGES};
use super::doubts;
use super::fields::{Fields, Typed};
use super::findings::{Findings, rounded};
use crate::model::Label;
use crate::units::{Amps, Volts, Watts};

/// Share of `vmp_v` × `imp_a` that `pmax_w` may be off before it is a mistake, and before it is worth a word.
///
/// In the open CEC module table (file `sam-library-cec-modules-2019-03-05.csv` of pvlib 0.16.1) the watts
/// in a module's name are within 1.5 % of its Vmp × Imp for 97.3 % of 20,384 modules, and within 5 % for 99.6 %.
const POWER_WRONG: f64 = 0.05;
const POWER_OFF: f64 = 0.015;
/// Fill factors outside are worth a word: the same table has 0.51 to 0.83.
const FILL_FACTORS: (f64, f64) = (0.50, 0.85);

/// The label figures that could be read, in the units of their keys.
#[derive(Default)]
pub(super) struct LabelRead {
    pub(super) p_mp: Option<f64>,
    pub(super) v_mp: Option<f64>,
    pub(super) i_mp: Option<f64>,
    pub(super) v_oc: Option<f64>,
    pub(super) i_sc: Option<f64>,
}

impl LabelRead {
    /// The label, if every figure could be read.
    pub(super) fn complete(&self) -> Option<Label> {
        Some(Label {
            p_mp: Watts(self.p_mp?),
            v_mp: Volts(self.v_mp?),
            i_mp: Amps(self.i_mp?),
            v_oc: Volts(self.v_oc?),
            i_sc: Amps(self.i_sc?),
        })
    }
}

/// Reads the five figures and reports what cannot be on one label.
pub(super) fn read_label(fields: &Fields, findings: &mut Findings) -> LabelRead {
    let mut number = |key| fields.number(key, findings);
    let p_mp = number("pmax_w");
    let (v_mp, i_mp) = (number("vmp_v"), number("imp_a"));
    let (v_oc, i_sc) = (number("voc_v"), number("isc_a"));
    let before = findings.n_errors();
    if let (Some(v_mp), Some(v_oc)) = (&v_mp, &v_oc) {
        check_pair(VOLTAGES, ("vmp_v", v_mp), ("voc_v", v_oc), "0.70 to 0.85", findings);
    }
    if let (Some(i_mp), Some(i_sc)) = (&i_mp, &i_sc) {
        check_pair(CURRENTS, ("imp_a", i_mp), ("isc_a", i_sc), "0.80 to 0.98", findings);
    }
    // A mistake above makes the sums below wrong too; they would only repeat it.
    let sound = findings.n_errors() == before;
    if let (Some(p_mp), Some(v_mp), Some(i_mp), true) = (&p_mp, &v_mp, &i_mp, sound) {
        check_power(p_mp, v_mp, i_mp, findings);
        if let (Some(v_oc), Some(i_sc)) = (&v_oc, &i_sc) {
            check_fill_factor(v_mp, i_mp, v_oc, i_sc, findings);
            doubts::current_pair(i_mp, i_sc, findings);
        }
    }
    let value = |typed: Option<Typed<f64>>| typed.map(|x| x.value);
    LabelRead {
        p_mp: value(p_mp),
        v_mp: value(v_mp),
        i_mp: value(i_mp),
        v_oc: value(v_oc),
        i_sc: value(i_sc),
    }
}

/// A figure at maximum power lies between half of its open or short figure and that figure.
/// `usual` is the share that the same table has for 99 of 100 modules.
fn check_pair(
    code: &'static str,
    (mp_key, mp): (&str, &Typed<f64>),
    (end_key, end): (&str, &Typed<f64>),
    usual: &str,
    findings: &mut Findings,
) {
    let fits = |mp: f64, end: f64| end / 2.0 < mp && mp < end;
    if fits(mp.value, end.value) {
        return;
    }
    let (mp_typed, end_typed) = (&mp.as_typed, &end.as_typed);
    let message = if mp.value >= end.value {
        format!("`{mp_key}` must be below `{end_key}` ({mp_typed} is not below {end_typed})")
    } else {
        let half = rounded(end.value / 2.0, 3);
        format!(
            "`{mp_key}` must be above half of `{end_key}` ({mp_typed} is not above {half}, half of {end_typed})"
        )
    };
    let slipped = |value: f64, factor: f64| rounded(value * factor, 4);
    let help = if fits(end.value, mp.value) {
        "the two label values may be swapped".to_owned()
    } else if let Some(factor) =
        [0.1, 0.01, 10.0, 100.0].into_iter().find(|f| fits(mp.value * f, end.value))
    {
        let other = slipped(end.value, 1.0 / factor);
        let own = slipped(mp.value, factor);
        format!(
            "is a decimal point misplaced? `{mp_key}: {own}` would fit, or `{end_key}: {other}`"
        )
    } else {
        format!("look both up again: on most labels `{mp_key}` is {usual} of `{end_key}`")
    };
    findings.error(code, mp.at, message, help);
}

fn check_power(p_mp: &Typed<f64>, v_mp: &Typed<f64>, i_mp: &Typed<f64>, findings: &mut Findings) {
    let product = v_mp.value * i_mp.value;
    let off = (p_mp.value - product).abs() / product;
    if off <= POWER_OFF {
        return;
    }
    let sum = format!(
        "{} against {} × {} = {}, {} % off",
        p_mp.as_typed,
        v_mp.as_typed,
        i_mp.as_typed,
        rounded(product, 1),
        rounded(off * 100.0, 1)
    );
    if off > POWER_WRONG {
        let message = format!("`pmax_w` must be `vmp_v` × `imp_a` within 5 % ({sum})");
        let help = format!(
            "one of the three is mistyped or from another panel: `pmax_w: {}`, `vmp_v: {}` or `imp_a: {}` would fit",
            rounded(product, 1),
            rounded(p_mp.value / i_mp.value, 2),
            rounded(p_mp.value / v_mp.value, 2)
        );
        findings.error(LABEL_POWER, p_mp.at, message, help);
    } else {
        let message = format!("`pmax_w` is not quite `vmp_v` × `imp_a` ({sum})");
        let help = "rounding on a label makes up to about 1.5 %; look the three figures up again";
        findings.warning(LABEL_POWER_OFF, p_mp.at, message, help);
    }
}

/// Fill factor: how much of Voc × Isc the panel gives at its best.
fn check_fill_factor(
    v_mp: &Typed<f64>,
    i_mp: &Typed<f64>,
    v_oc: &Typed<f64>,
    i_sc: &Typed<f64>,
    findings: &mut Findings,
) {
    let fill = (v_mp.value * i_mp.value) / (v_oc.value * i_sc.value);
    let (lo, hi) = FILL_FACTORS;
    if lo <= fill && fill <= hi {
        return;
    }
    let message = format!(
        "`vmp_v` × `imp_a` is {} of `voc_v` × `isc_a` ({} × {} against {} × {})",
        rounded(fill, 2),
        v_mp.as_typed,
        i_mp.as_typed,
        v_oc.as_typed,
        i_sc.as_typed
    );
    let help = format!(
        "panels have {lo} to {hi}; look the four figures up again: one may be from another panel or another condition"
    );
    findings.warning(LABEL_ODD, v_mp.at, message, help);
}
