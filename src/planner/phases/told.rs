//! What was assumed of the phases, and what is to be known of the answer.

use super::orders::{Chosen, Search};
use super::{JOINT_MINUTES, PANEL_MINUTES};
use crate::model::{Installation, LAST_PHASE_MONTHS, Phase};
use crate::plan::PhaseStep;

/// What was assumed of the phases.
pub(super) fn own_assumptions(installation: &Installation, tells_energy: bool) -> Vec<String> {
    let mut told = Vec::new();
    let part = |p: &Phase| (p.years() - p.years().round()).abs() > 1e-9;
    if tells_energy && installation.phases.iter().any(part) {
        told.push(
            "energy: a phase brings its share of a whole year by its length, whichever months it \
             lasts"
                .to_owned(),
        );
    }
    if let Some(last) = installation.phases.last().filter(|p| p.months.is_none()) {
        told.push(format!(
            "{}: the state that it reaches counts for {:.0} years (`months` is not given)",
            last.name,
            LAST_PHASE_MONTHS / 12.0
        ));
    }
    if installation.phases.iter().any(|p| p.hours.is_some()) {
        told.push(format!(
            "work: {JOINT_MINUTES:.0} minutes for each joint opened or made, {PANEL_MINUTES:.0} for \
             each panel put up or taken down (common practice, no source)"
        ));
    }
    told
}

/// How far the search went, where that is not all.
fn search_notes(search: &Search, chosen: &Chosen) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(when) = search.options.plan.effort.watch.stopped() {
        notes.push(format!(
            "Stopped {when}, before the search had ended: the plan is the best found by then, and its \
             bound holds; other ways, and what if, were not worked out. Another run may find others."
        ));
        return notes;
    }
    if !chosen.compared {
        notes
            .push("Very many ways lead through the wirings met: not all were compared.".to_owned());
    }
    if chosen.n_unsearched > 0 {
        notes.push(format!(
            "The controllers can come into use in more orders than are worked out: {} were left out.",
            chosen.n_unsearched
        ));
    }
    notes
}

/// How far the search went, and what is to be known where watts are sought.
pub(super) fn notes(search: &Search, chosen: &Chosen, steps: &[PhaseStep]) -> Vec<String> {
    let mut notes = search_notes(search, chosen);
    if search.basis.is_some() {
        return notes;
    }
    if !chosen.used.is_empty() {
        notes.push(
            "Panels are chosen by watts before the controllers' output limits, controllers by what \
             passes them."
                .to_owned(),
        );
    }
    let clips = |s: &&PhaseStep| s.plan().state.clipped().is_some();
    if let Some(step) = steps.iter().find(clips) {
        notes.push(format!(
            "From {} on an output holds back part of the watts: what is shown is behind the outputs, but \
             panels are chosen by the watts before, since those count in weak sun. Another way can have \
             more behind them.",
            step.name
        ));
    }
    notes
}
