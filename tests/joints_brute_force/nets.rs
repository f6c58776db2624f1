//! The definition, word for word: nets as sets of terminals.

use std::collections::{BTreeMap, BTreeSet};
use sungraft::model::{InputRef, InputWiring, KindIdx, PanelString};
use sungraft::plan::{End, PanelPlace, PanelSource, Rewiring};

/// A net: terminals as bits (panel p: plus 2p, minus 2p + 1), and the combiner's port if it has one.
#[derive(Clone, Copy)]
pub(crate) struct Net {
    panels: u64,
    port: Option<(InputRef, End, usize)>,
}

/// A string as bits: the panels of each element.
pub(crate) type Bits = Vec<u64>;

/// Spreads bit p to bit 2p.
pub(crate) fn plus(panels: u64) -> u64 {
    (0..32).filter(|p| panels >> p & 1 == 1).fold(0, |bits, p| bits | 1 << (2 * p))
}

pub(crate) fn nets(
    strings: &[(InputRef, Bits)],
    port: impl Fn(usize, End) -> Option<usize>,
) -> Vec<Net> {
    let mut nets = Vec::new();
    for (s, (at, elements)) in strings.iter().enumerate() {
        let end = |end| port(s, end).map(|p| (*at, end, p));
        for k in 0..=elements.len() {
            let before = if k > 0 { plus(elements[k - 1]) << 1 } else { 0 };
            let after = elements.get(k).map_or(0, |e| plus(*e));
            let port = match k {
                0 => end(End::Plus),
                _ if k == elements.len() => end(End::Minus),
                _ => None,
            };
            let panels = before | after;
            nets.push(Net { panels, port });
        }
    }
    nets
}

/// The definition, word for word.
pub(crate) fn kept(today: &[Net], plan: &[Net]) -> usize {
    let common = |a: &Net, b: &Net| {
        (a.panels & b.panels).count_ones() as usize
            + usize::from(a.port.is_some() && a.port == b.port)
    };
    let pairs = today.iter().flat_map(|a| plan.iter().map(move |b| (a, b)));
    pairs.map(|(a, b)| common(a, b).saturating_sub(1)).sum()
}

/// Joints of nets in which every end has its port, whichever.
pub(crate) fn joints(strings: &[(InputRef, Bits)]) -> usize {
    let nets = nets(strings, |s, _| Some(s));
    let terminals = |n: &Net| n.panels.count_ones() as usize + usize::from(n.port.is_some());
    nets.iter().map(|n| terminals(n) - 1).sum()
}

pub(crate) fn numbered(
    strings: &[(InputRef, PanelString)],
) -> (Vec<(InputRef, Bits)>, Vec<KindIdx>) {
    let mut kinds = Vec::new();
    let strings = strings.iter().map(|(at, string)| {
        let elements = string.elements().iter().map(|e| {
            e.members().iter().fold(0, |bits, kind| {
                kinds.push(*kind);
                bits | 1 << (kinds.len() - 1)
            })
        });
        (*at, elements.collect())
    });
    let strings = strings.collect();
    (strings, kinds)
}

/// Counts a layout's joints from its panels and ports by the definition, and checks that it is the plan.
pub(crate) fn recount(
    today: &[InputWiring],
    plan: &[InputWiring],
    answer: &Rewiring,
) -> (usize, usize) {
    for (a, b) in plan.iter().zip(&answer.inputs) {
        assert_eq!(a.at, b.at);
        assert_eq!(a.array.canonical(), b.array.canonical(), "electrically the plan");
    }
    let strings = |wiring: &[InputWiring]| -> Vec<(InputRef, PanelString)> {
        let inputs = wiring.iter();
        let strings = inputs.flat_map(|i| i.array.strings.iter().map(|s| (i.at, s.clone())));
        strings.collect()
    };
    // Numbers of strings run through all inputs.
    let first = |wiring: &[InputWiring], at: InputRef| -> usize {
        let before = wiring.iter().take_while(|i| i.at != at);
        before.map(|i| i.array.strings.len()).sum()
    };
    let (old, kinds) = numbered(&strings(today));
    let mut numbers: BTreeMap<PanelPlace, usize> = BTreeMap::new();
    for input in today {
        for (string, s) in input.array.strings.iter().enumerate() {
            for (element, e) in s.elements().iter().enumerate() {
                for member in 0..e.members().len() {
                    let place = PanelPlace { at: input.at, string, element, member };
                    numbers.insert(place, numbers.len());
                }
            }
        }
    }
    let mut new: Vec<(InputRef, Bits)> =
        strings(&answer.inputs).iter().map(|(at, s)| (*at, vec![0; s.elements().len()])).collect();
    let mut used = BTreeSet::new();
    let mut n_spares = 0;
    for panel in &answer.panels {
        let to = panel.to;
        let wired = answer.inputs.iter().find(|i| i.at == to.at).expect("listed");
        let element = &wired.array.strings[to.string].elements()[to.element];
        assert_eq!(element.members()[to.member], panel.kind);
        let number = match panel.from {
            PanelSource::Installed(place) => {
                let number = numbers[&place];
                assert_eq!(kinds[number], panel.kind, "a panel keeps its kind");
                number
            }
            PanelSource::Spare => {
                n_spares += 1;
                kinds.len() + n_spares - 1
            }
        };
        assert!(used.insert(number), "no panel stands in two places");
        new[first(&answer.inputs, to.at) + to.string].1[to.element] |= 1 << number;
    }
    assert_eq!(used.len(), strings(plan).iter().map(|(_, s)| s.panels().count()).sum::<usize>());
    let mut ports = BTreeMap::new();
    let mut taken = BTreeSet::new();
    for p in &answer.ports {
        let today = first(today, p.at) + p.today;
        assert!(taken.insert((p.end, today)), "a port serves one string");
        ports.insert((first(&answer.inputs, p.at) + p.plan, p.end), today);
    }
    let before = nets(&old, |s, _| Some(s));
    let after = nets(&new, |s, end| ports.get(&(s, end)).copied());
    let kept = kept(&before, &after);
    (joints(&old) - kept, joints(&new) - kept)
}
