//! Counts the joints of a finished layout by the definition, without the search's own figures.

use super::problem::count_joints;
use super::{End, PanelMove, PanelPlace, PanelSource, PortKept};
use crate::model::{InputRef, InputWiring};
use crate::plan::Joints;
use std::collections::BTreeMap;

/// A net: input, string, and how many elements stand before it.
type Net = (InputRef, usize, usize);

/// Joints opened and made if the plan's panels and ports come from today's as stated.
pub(super) fn recount(
    today: &[InputWiring],
    plan: &[InputWiring],
    panels: &[PanelMove],
    ports: &[PortKept],
) -> Joints {
    // For each planned net and each net of today, the terminals they have in common.
    let mut common: BTreeMap<(Net, Net), usize> = BTreeMap::new();
    let mut share = |new: Net, old: Net| *common.entry((new, old)).or_default() += 1;
    let net = |p: PanelPlace, end: End| match end {
        End::Plus => (p.at, p.string, p.element),
        End::Minus => (p.at, p.string, p.element + 1),
    };
    for panel in panels {
        if let PanelSource::Installed(from) = panel.from {
            share(net(panel.to, End::Plus), net(from, End::Plus));
            share(net(panel.to, End::Minus), net(from, End::Minus));
        }
    }
    let end_net = |wiring: &[InputWiring], at: InputRef, string: usize, end: End| {
        let input = wiring.iter().find(|i| i.at == at);
        let strings = &input.expect("ports are on listed inputs").array.strings;
        match end {
            End::Plus => (at, string, 0),
            End::Minus => (at, string, strings[string].elements().len()),
        }
    };
    for port in ports {
        let old = end_net(today, port.at, port.today, port.end);
        share(end_net(plan, port.at, port.plan, port.end), old);
    }
    let kept: usize = common.values().map(|n| n - 1).sum();
    let total = |wiring: &[InputWiring]| -> usize {
        let strings = wiring.iter().flat_map(|i| &i.array.strings);
        strings.map(count_joints).sum()
    };
    Joints { opened: total(today) - kept, made: total(plan) - kept }
}
