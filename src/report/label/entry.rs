//! The `kinds:` entry to paste into a site file.

use super::LabelAnswer;
use crate::electrical::readings::FadeVerdict;
use crate::report::numbers::{plain, rounded};

/// The widest tolerance that a site file takes. \[%\]
const WIDEST: f64 = 20.0;

/// The entry, indented as it stands below `kinds:`.
pub(super) fn entry(answer: &LabelAnswer<'_>) -> String {
    let bands = answer.bands();
    let (v_mp, i_mp) = (rounded(bands.v_mp.value, 1), rounded(bands.i_mp.value, 2));
    let tolerance = tolerance(answer);
    let mut lines = vec![
        format!("  - id: {}", quoted(answer.id)),
        // The product of the rounded figures, so that the three agree when they are read again.
        format!("    pmax_w: {}", plain(v_mp * i_mp, 1)),
        format!("    vmp_v: {}", plain(v_mp, 1)),
        format!("    imp_a: {}", plain(i_mp, 2)),
        format!("    voc_v: {}", plain(bands.v_oc.value, 1)),
        format!("    isc_a: {}", plain(bands.i_sc.value, 2)),
    ];
    let kind = answer.fade.map(|(kind, _)| kind);
    let of_label = |key: &str, x: Option<f64>| x.map(|x| format!("    {key}: {x}"));
    if let Some(kind) = kind {
        let percent = |c: Option<crate::units::PercentPerC>| c.map(|c| c.percent_per_c());
        lines.extend(of_label("voc_percent_per_c", percent(kind.v_oc_coefficient)));
        lines.extend(of_label("isc_percent_per_c", percent(kind.i_sc_coefficient)));
        lines.extend(of_label("pmax_percent_per_c", percent(kind.p_mp_coefficient)));
    }
    let cells = answer.measured.cells.or(kind.and_then(|k| k.cells));
    lines.extend(cells.map(|n| format!("    cells: {n}")));
    if let Some(kind) = kind {
        lines.extend(kind.bypass_diodes.map(|n| format!("    bypass_diodes: {n}")));
        lines.extend(of_label("noct_c", kind.noct.map(|t| t.celsius())));
        lines.extend(of_label("max_fuse_a", kind.max_fuse.map(|i| i.amps())));
        lines.extend(of_label("max_system_v", kind.max_system.map(|v| v.volts())));
    }
    lines.push(format!("    tolerance_percent: {}", plain(tolerance, 0)));
    let v_oc = bands.v_oc.percent().ceil().min(tolerance);
    lines.push(format!("    voc_tolerance_percent: {}", plain(v_oc, 0)));
    lines.push("    estimated: true".to_owned());
    lines.join("\n") + "\n"
}

/// The tolerance to write: the wider band of power and short-circuit current, in whole percent.
pub(super) fn tolerance(answer: &LabelAnswer<'_>) -> f64 {
    let bands = answer.bands();
    bands.p_mp.percent().max(bands.i_sc.percent()).ceil().min(WIDEST)
}

/// What to say beside the entry.
pub(super) fn advice(answer: &LabelAnswer<'_>) -> Vec<String> {
    let mut texts = Vec::new();
    let widest = answer.bands().p_mp.percent().max(answer.bands().i_sc.percent());
    if widest > WIDEST {
        texts.push(format!(
            "The band is wider than the {} % that a site file takes: measure again before you plan with it.",
            plain(WIDEST, 0)
        ));
    }
    match answer.fade {
        Some((kind, fade)) => {
            if let (Some(age), Some((_, FadeVerdict::AsUsual))) = (kind.age_years, fade.usual) {
                texts.push(format!(
                    "The readings fit the label after {} years: its own entry with `age_years: {}` will do. \
                     This entry says what was measured:",
                    plain(age, 1),
                    plain(age, 1)
                ));
            } else {
                texts.push("Use this entry in place of the label's:".to_owned());
            }
        }
        None => texts.push(
            "Temperature coefficients are left out on purpose: the cold voltage then goes by the code's table. \
             Fuse and system voltage are unknown, and answers will ask for them."
                .to_owned(),
        ),
    }
    texts
}

/// An id as YAML takes it, whatever a person calls the panel.
fn quoted(id: &str) -> String {
    let plain = id.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'))
        && id.starts_with(|c: char| c.is_ascii_alphabetic())
        && !matches!(
            id.to_lowercase().as_str(),
            "true" | "false" | "null" | "yes" | "no" | "on" | "off" | "y" | "n"
        );
    if plain {
        return id.to_owned();
    }
    serde_json::to_string(id).expect("a text serializes")
}
