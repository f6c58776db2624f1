//! Currents backwards once more: with the controller idle, and into a fault.

use super::AuditedInput;
use super::exact::ExactArray;
use super::limits::{Judged, ROUNDING};
use crate::electrical::{Catalog, Condition, ExactString, standard_fuse, stc};
use crate::model::{Element, Installation, KindIdx, PanelString};
use crate::units::{Amps, Irradiance};

/// Current into each string while the bus floats, at full sun or on the coldest morning, with full sun
/// on all planes or on one of them, whichever is most; none for a string alone.
pub(super) fn idle(
    installation: &Installation,
    catalog: &Catalog,
    input: &AuditedInput,
) -> Vec<Judged> {
    let strings = &input.array.strings;
    if strings.len() < 2 {
        return Vec::new();
    }
    let diodes = input.controller.blocking_diodes;
    let planes = &installation.site.sun.planes;
    let into = |temp_cell, lit: Option<usize>| -> Vec<f64> {
        let light = |k: KindIdx| match (lit, &installation.kind(k).placed) {
            (Some(lit), Some(own)) => planes[own.plane.0].at_square[lit],
            _ => Irradiance(1000.0),
        };
        let condition = |k| Condition { irradiance: light(k), temp_cell };
        let exact: Vec<ExactString> =
            strings.iter().map(|s| ExactString::new(s, catalog, condition, false)).collect();
        let array = ExactArray::new(exact);
        array.currents(array.floating_voltage()).iter().map(|i| (-i).max(0.0)).collect()
    };
    let mut most = vec![0.0_f64; strings.len()];
    let skies = std::iter::once(None).chain((0..planes.len()).map(Some)).filter(|_| !diodes);
    for lit in skies {
        for temp_cell in [stc().temp_cell, installation.site.coldest] {
            most.iter_mut().zip(into(temp_cell, lit)).for_each(|(m, i)| *m = m.max(i));
        }
    }
    let judge = |(s, string): (usize, &PanelString)| {
        let value = most[s];
        let borne = |e: &Element| {
            let ratings = || e.members().iter().map(|k| installation.kind(*k).max_fuse);
            let lowest = ratings().flatten().map(Amps::amps).reduce(f64::min);
            lowest.map(|lowest| lowest * e.members().len() as f64)
        };
        let limit = string.elements().iter().filter_map(borne).reduce(f64::min);
        let silent = string.panels().any(|k| installation.kind(k).max_fuse.is_none());
        let judged = Judged::at_most(Some(s), value, limit, 0.005 * value + 0.02);
        Judged { lacking: silent && !diodes, ..judged }
    };
    strings.iter().enumerate().map(judge).collect()
}

/// What the audit finds under the two rules on faults.
pub(super) struct Faults {
    pub(super) feeds: Vec<Judged>,
    pub(super) fuses: Vec<Judged>,
}

/// Panel by panel: what feeds a short in it, and is there a fuse where that is too much?
pub(super) fn faults(installation: &Installation, input: &AuditedInput) -> Faults {
    let strings = &input.array.strings;
    let mut found = Faults { feeds: Vec::new(), fuses: Vec::new() };
    let blocks = strings.iter().any(|s| s.elements().iter().any(Element::is_block));
    if strings.len() == 1 && !blocks {
        return found;
    }
    let rating = |k: KindIdx| installation.kind(k).max_fuse.map(Amps::amps);
    let own = |k: KindIdx| unsafe_i_sc(installation, k);
    for (s, string) in strings.iter().enumerate() {
        let others: f64 = strings
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != s)
            .map(|(_, other)| 1.25 * i_sc(other, installation))
            .sum();
        let singles = || string.elements().iter().filter(|e| !e.is_block());
        let weakest = singles().filter_map(|e| rating(e.members()[0])).reduce(f64::min);
        for element in string.elements() {
            for (m, k) in element.members().iter().enumerate() {
                let mates: f64 = element
                    .members()
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != m)
                    .map(|(_, other)| 1.25 * own(*other))
                    .sum();
                let feed = others + mates;
                // A string's fuse protects its single panels, only its own one a block's panel.
                let (need, most) = if element.is_block() {
                    (1.56 * own(*k), rating(*k))
                } else {
                    (1.56 * i_sc(string, installation), weakest)
                };
                let endangered = rating(*k).is_some_and(|r| feed > r * (1.0 + ROUNDING));
                let fuse = most.is_some_and(|most| {
                    let (need, most) = (need * (1.0 - ROUNDING), most * (1.0 + ROUNDING));
                    standard_fuse(Amps(need), Amps(most)).is_some()
                });
                let breach = endangered && !fuse;
                let lacking = rating(*k).is_none() && feed > 0.0;
                let judged = |value, limit| Judged {
                    string: Some(s),
                    value,
                    limit,
                    breach,
                    lacking,
                    tolerance: ROUNDING * feed,
                };
                found.feeds.push(judged(Some(feed), rating(*k)));
                found.fuses.push(judged(None, most));
            }
        }
    }
    found
}

/// Short-circuit current of a string: its strongest element, members of a block adding up. \[A\]
pub(super) fn i_sc(string: &PanelString, installation: &Installation) -> f64 {
    let element =
        |e: &Element| -> f64 { e.members().iter().map(|k| unsafe_i_sc(installation, *k)).sum() };
    string.elements().iter().map(element).fold(0.0, f64::max)
}

/// Label Isc at the unsafe end of the label's tolerance. \[A\]
fn unsafe_i_sc(installation: &Installation, kind: KindIdx) -> f64 {
    let kind = installation.kind(kind);
    kind.label.i_sc.amps() * (1.0 + kind.tolerance_percent.unwrap_or(0.0) / 100.0)
}
