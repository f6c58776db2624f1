//! Which terminals of a plan hang on the conductor that they hang on today.

use std::collections::{BTreeMap, BTreeSet};

use super::scene::Terminal;
use crate::model::{InputRef, InputWiring};
use crate::plan::{End, PanelPlace, PanelSource, Rewiring};

/// Is a joint there already?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    /// It is there today and stays.
    Today,
    /// It is to be made.
    New,
}

/// Where panels meet: input, string, and how many elements stand before it.
type Net = (InputRef, usize, usize);

/// Terminals of the planned input whose joint with another is kept.
///
/// Of the terminals that meet in the plan, those stay joined that met in one place today; where
/// there are several such groups, the largest.
pub(super) fn terminals_that_stand(
    today: &[InputWiring],
    rewiring: &Rewiring,
    planned: InputRef,
) -> BTreeSet<Terminal> {
    let n_elements = |wiring: &[InputWiring], at: InputRef, string: usize| {
        let input = wiring.iter().find(|w| w.at == at);
        input.map_or(0, |w| w.array.strings[string].elements().len())
    };
    // For each net of the plan: its terminals, with the net in which each is today.
    let mut nets: BTreeMap<Net, Vec<(Terminal, Net)>> = BTreeMap::new();
    let mut add = |net: Net, terminal, old: Net| {
        nets.entry(net).or_default().push((terminal, old));
    };
    let plus = |p: PanelPlace| (p.at, p.string, p.element);
    let minus = |p: PanelPlace| (p.at, p.string, p.element + 1);
    for panel in rewiring.panels.iter().filter(|p| p.to.at == planned) {
        if let PanelSource::Installed(from) = panel.from {
            add(plus(panel.to), Terminal::Plus(panel.to), plus(from));
            add(minus(panel.to), Terminal::Minus(panel.to), minus(from));
        }
    }
    for port in rewiring.ports.iter().filter(|p| p.at == planned) {
        let (at, to, from) = (port.at, port.plan, port.today);
        match port.end {
            End::Plus => add((at, to, 0), Terminal::PlusPort(to), (at, from, 0)),
            End::Minus => {
                let old = (at, from, n_elements(today, at, from));
                let new = (at, to, n_elements(&rewiring.inputs, at, to));
                add(new, Terminal::MinusPort(to), old);
            }
        }
    }
    nets.into_values().flat_map(largest_group).collect()
}

fn largest_group(terminals: Vec<(Terminal, Net)>) -> Vec<Terminal> {
    let mut groups: BTreeMap<Net, Vec<Terminal>> = BTreeMap::new();
    for (terminal, old) in terminals {
        groups.entry(old).or_default().push(terminal);
    }
    let largest = groups.into_values().rev().max_by_key(Vec::len).unwrap_or_default();
    if largest.len() > 1 { largest } else { Vec::new() }
}
