//! What was assumed because a label did not say it, and what must be asked for.

use std::collections::{BTreeMap, BTreeSet};

use super::words::join_words;
use super::{CheckRule, Outcome, State};
use crate::electrical::{Assumed, DEFAULT_NOCT, cold_factor};
use crate::energy::{USUAL_EFFICIENCY, light_of, usual_losses};
use crate::model::{InputWiring, Installation, Kind, KindIdx, Output};

/// What stands in for figures that labels and the file do not give, one sentence each.
///
/// Kinds with the same gaps share a line; only those in `wiring` are spoken of.
#[must_use]
pub fn assumed(installation: &Installation, wiring: &[InputWiring]) -> Vec<String> {
    let used: BTreeSet<KindIdx> = wiring.iter().flat_map(|w| w.array.panels()).collect();
    let mut lines = Vec::new();
    for (figures, ids) in fold(installation, &used, assumed_figures) {
        lines.push(format!("{ids}: {figures} (not on the label)"));
    }
    for (estimate, ids) in fold(installation, &used, estimated) {
        lines.push(format!("{ids}: {estimate}"));
    }
    let coldest = installation.site.coldest;
    let table = |kind: &Kind| {
        kind.v_oc_coefficient.is_none().then(|| {
            format!(
                "voltage on the coldest morning by the code's table of factors, {:.2} at {} °C \
                 (no coefficient on the label)",
                cold_factor(coldest),
                coldest.celsius()
            )
        })
    };
    for (by_table, ids) in fold(installation, &used, table) {
        lines.push(format!("{ids}: {by_table}"));
    }
    for (c, controller) in installation.controllers.iter().enumerate() {
        let in_use = wiring.iter().any(|w| w.at.controller == c && !w.array.strings.is_empty());
        if in_use
            && let Output::Battery(bank) = controller.output
            && bank.charge.is_none()
        {
            lines.push(format!(
                "{}: charging voltage {:.1} V, 1.2 × the nominal {} V (not given)",
                controller.id,
                bank.charging_voltage().volts(),
                bank.nominal.volts()
            ));
        }
    }
    lines.extend(assumed_of_energy(installation, wiring));
    lines
}

/// What a year of sun is reckoned with beyond the file; nothing where it is not reckoned.
fn assumed_of_energy(installation: &Installation, wiring: &[InputWiring]) -> Vec<String> {
    let sun = &installation.site.sun;
    if light_of(sun).is_none() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    if sun.losses.is_none() {
        let usual = usual_losses();
        let each = usual.iter().map(|l| format!("{} {:.0} %", l.id, 100.0 * l.share));
        lines.push(format!(
            "lost over the year before the controller: {} (no `losses` given)",
            each.collect::<Vec<_>>().join(", ")
        ));
    }
    let silent = installation.controllers.iter().enumerate().filter(|(c, controller)| {
        let in_use = |w: &InputWiring| w.at.controller == *c && !w.array.strings.is_empty();
        controller.efficiency.is_none() && wiring.iter().any(in_use)
    });
    let ids: Vec<String> = silent.map(|(_, controller)| controller.id.clone()).collect();
    if !ids.is_empty() {
        lines.push(format!(
            "{}: {:.0} % of the array's power comes out over the year (not given)",
            join_words(ids),
            100.0 * USUAL_EFFICIENCY
        ));
    }
    lines
}

/// Kinds folded by what a function says of them, in order of the first kind of each group.
fn fold(
    installation: &Installation,
    used: &BTreeSet<KindIdx>,
    say: impl Fn(&Kind) -> Option<String>,
) -> Vec<(String, String)> {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for kind in used.iter().map(|k| installation.kind(*k)) {
        let Some(said) = say(kind) else { continue };
        match groups.iter_mut().find(|(other, _)| *other == said) {
            Some((_, ids)) if ids.iter().any(|id| id == kind.label_id()) => {}
            Some((_, ids)) => ids.push(kind.label_id().to_owned()),
            None => groups.push((said, vec![kind.label_id().to_owned()])),
        }
    }
    groups.into_iter().map(|(said, ids)| (said, join_words(ids))).collect()
}

/// That a kind's figures are no label's, and how far they may be off; `None` for a label.
fn estimated(kind: &Kind) -> Option<String> {
    if !kind.estimated {
        return None;
    }
    let voltage = kind.v_oc_tolerance_percent.map(|p| format!(", open voltage by {p} %"));
    let off = match (kind.tolerance_percent, voltage) {
        (Some(p), voltage) => format!("may be off by {p} %{}", voltage.unwrap_or_default()),
        (None, _) => "by how much they may be off is not given".to_owned(),
    };
    Some(format!("all figures estimated from meter readings, no maker's label; {off}"))
}

/// What a kind's curve was drawn with beyond its label; `None` if the label says all.
fn assumed_figures(kind: &Kind) -> Option<String> {
    let used = Assumed::for_kind(kind);
    let mut figures = Vec::new();
    if kind.bypass_diodes.is_none() {
        figures.push(format!("bypass diodes {}", used.bypass_diodes));
    }
    if kind.v_oc_coefficient.is_none() {
        figures.push(format!("voltage {} %/°C", used.v_oc_coefficient.percent_per_c()));
    }
    if kind.i_sc_coefficient.is_none() {
        figures.push(format!("current {} %/°C", used.i_sc_coefficient.percent_per_c()));
    }
    if kind.p_mp_coefficient.is_none() {
        figures.push(format!("power {:.2} %/°C", used.p_mp_coefficient.percent_per_c()));
    }
    if kind.noct.is_none() {
        figures.push(format!("NOCT {} °C", DEFAULT_NOCT.celsius()));
    }
    (!figures.is_empty()).then(|| figures.join(", "))
}

/// Figures that a check could not do without, folded by figure: `max_fuse_a of creek-90 and shed-160`.
#[must_use]
pub fn ask(installation: &Installation, state: &State) -> Vec<String> {
    let mut of_kinds: BTreeMap<&'static str, BTreeSet<KindIdx>> = BTreeMap::new();
    let mut of_controllers: BTreeSet<usize> = BTreeSet::new();
    for check in state.checks.iter().filter(|c| c.outcome == Outcome::Unknown) {
        let wired = state.inputs.iter().filter(|i| i.at == check.at);
        let panels = wired.flat_map(|i| &i.strings).flat_map(|s| s.wiring.panels());
        let need = |figure, lacks: fn(&Kind) -> bool| {
            let silent = panels.filter(|k| lacks(installation.kind(*k)));
            of_kinds.entry(figure).or_default().extend(silent);
        };
        match check.rule {
            CheckRule::SystemVoltage => need("max_system_v", |k| k.max_system.is_none()),
            CheckRule::IdleReverseCurrent
            | CheckRule::FaultReverseCurrent
            | CheckRule::StringFuse => need("max_fuse_a", |k| k.max_fuse.is_none()),
            CheckRule::InputCurrent => {
                of_controllers.insert(check.at.controller);
            }
            // The other rules rest on figures that every file must give.
            CheckRule::ColdVoc
            | CheckRule::HotWindow
            | CheckRule::StartVoltage
            | CheckRule::InputPower
            | CheckRule::StringPorts
            | CheckRule::ChargeLimit
            | CheckRule::BatteryCharge => {}
        }
    }
    let kinds = of_kinds.into_iter().map(|(figure, kinds)| {
        let mut ids: Vec<String> =
            kinds.into_iter().map(|k| installation.kind(k).label_id().to_owned()).collect();
        // Panels of one label on several planes stand next to each other.
        ids.dedup();
        format!("{figure} of {}", join_words(ids))
    });
    let controllers = (!of_controllers.is_empty()).then(|| {
        let ids = of_controllers.into_iter().map(|c| installation.controllers[c].id.clone());
        format!("max_pv_a of {}", join_words(ids))
    });
    kinds.chain(controllers).collect()
}
