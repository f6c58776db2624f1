//! What is lost on the cables whose runs are given, and which of them are too small.

use super::Page;
use crate::model::{CrossSection, Installation, RunPart};
use crate::plan::{ARRAY_DROP, Cable, CableSize, State, cables};
use crate::report::layout::{GLUE, titled};
use crate::report::numbers::{amps, fixed, plain};
use crate::report::parts;
use crate::report::words::listed;
use crate::units::Watts;

/// One paragraph on the losses, one for each caution; empty without runs.
pub(super) fn block(page: Page<'_>, installation: &Installation, state: &State) -> String {
    let runs = cables(installation, state);
    let mut lines: Vec<String> = losses(page, &runs, state).into_iter().collect();
    let replaced =
        |cable: &Cable| cable.replaced(installation, state).and_then(|c| c.cross_section());
    lines.extend(runs.iter().filter_map(|c| too_small(page, c, replaced(c))));
    lines.extend(far(page, &runs));
    titled("Cable", &lines)
}

fn losses(page: Page<'_>, runs: &[Cable], state: &State) -> Option<String> {
    let said: Vec<String> = runs
        .iter()
        .filter_map(|cable| {
            let (loss, size) = (cable.loss?, cable.cross_section()?);
            let proposed = if cable.run.size.is_none() { ", proposed" } else { "" };
            Some(format!(
                "{}{} {}{GLUE}% and {}{GLUE}W ({} of {}{proposed})",
                parts::run(cable.run.part),
                page.names.in_place(cable.run.at, None),
                fixed(loss.percent, 1),
                fixed(loss.watts.watts(), 1),
                parts::length(cable),
                size.name(),
            ))
        })
        .collect();
    let lost: Watts = runs.iter().filter_map(|c| c.loss).map(|l| l.watts).sum();
    (!said.is_empty()).then(|| {
        format!(
            "Lost at full sun: {}; in all {}{GLUE}W of {}. The watts on this page are at the panels' \
             terminals, before these losses.",
            said.join(", "),
            fixed(lost.watts(), 1),
            page.scale.watts(state.watts())
        )
    })
}

/// The verdict's line on cables that are too small.
pub(super) fn verdict(page: Page<'_>, state: &State) -> Option<String> {
    let runs = cables(page.names.0, state);
    let small: Vec<String> = runs
        .iter()
        .filter(|c| c.is_too_small())
        .map(|c| format!("{}{}", parts::run(c.run.part), page.names.in_place(c.run.at, None)))
        .collect();
    (!small.is_empty()).then(|| {
        format!(
            "The cable is too small for this wiring: {}; both currents stand under Cable.",
            listed(&small)
        )
    })
}

fn too_small(page: Page<'_>, cable: &Cable, larger: Option<CrossSection>) -> Option<String> {
    let place = page.names.in_place(cable.run.at, None);
    let run = parts::run(cable.run.part);
    if cable.size == CableSize::NoneServes {
        return Some(format!(
            "caution: {run}{place}: no listed size carries {} and keeps the drop low over {}.",
            amps(cable.need),
            parts::length(cable)
        ));
    }
    let (carries, size) = (cable.carries?, cable.cross_section()?);
    let serves = larger.map_or_else(String::new, |s| format!("; {} would serve", s.name()));
    cable.is_too_small().then(|| {
        format!(
            "caution: {run}{place}: {} may carry {} in air at {}{GLUE}°C and must carry {}: too small{serves}.",
            size.name(),
            amps(carries.allowed),
            plain(cable.air.celsius(), 1),
            amps(cable.need)
        )
    })
}

/// Inputs that lose more before the controller than is usual.
fn far(page: Page<'_>, runs: &[Cable]) -> Vec<String> {
    let before = |c: &&Cable| c.run.part != RunPart::Battery;
    let mut inputs: Vec<_> = runs.iter().filter(before).map(|c| c.run.at).collect();
    inputs.dedup();
    let percent = |at| -> f64 {
        let its = runs.iter().filter(before).filter(|c| c.run.at == at);
        its.filter_map(|c| c.loss).map(|l| l.percent).sum()
    };
    inputs
        .into_iter()
        .filter(|at| percent(*at) > 100.0 * ARRAY_DROP)
        .map(|at| {
            format!(
                "caution: {}{GLUE}% is lost before the controller{}, more than the usual {}{GLUE}%.",
                fixed(percent(at), 1),
                page.names.in_place(at, None),
                plain(100.0 * ARRAY_DROP, 1)
            )
        })
        .collect()
}
