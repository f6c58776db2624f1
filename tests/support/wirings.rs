//! Every wiring of a small inventory (parallel of series of parallel), and wirings from text.

use std::collections::BTreeSet;

use sungraft::model::{ArrayWiring, Element, Kind, KindIdx, PanelString};

/// Is a block that stands alone as a string told apart from its panels as strings of one?
///
/// Electrically they are one; on a combiner they take one port or several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LoneBlocks {
    /// No: written as strings of one.
    AsStrings,
    /// Yes: both are listed.
    Kept,
}

/// Every wiring that uses any of the panels, at least one; `inventory` holds a kind's index for
/// each panel. Canonical, sorted, each once; lone blocks as strings.
pub(crate) fn all_wirings(inventory: &[usize]) -> Vec<ArrayWiring> {
    wirings_of_any(inventory, LoneBlocks::AsStrings)
}

/// The same, with a choice about lone blocks.
pub(crate) fn wirings_of_any(inventory: &[usize], lone: LoneBlocks) -> Vec<ArrayWiring> {
    let mut found = BTreeSet::new();
    for chosen in 1_usize..1 << inventory.len() {
        let part: Vec<usize> = inventory
            .iter()
            .enumerate()
            .filter(|(k, _)| chosen >> k & 1 == 1)
            .map(|(_, kind)| *kind)
            .collect();
        found.extend(wirings_of_all(&part, lone));
    }
    found.into_iter().collect()
}

/// Every wiring that uses all of the panels. Canonical, sorted, each once.
pub(crate) fn wirings_of_all(inventory: &[usize], lone: LoneBlocks) -> Vec<ArrayWiring> {
    let mut found = BTreeSet::new();
    for groups in partitions(inventory) {
        let mut arrays = vec![ArrayWiring::default()];
        for group in &groups {
            let strings = strings_of(group, lone);
            arrays = arrays
                .iter()
                .flat_map(|array| {
                    strings.iter().map(|string| {
                        let mut longer = array.clone();
                        longer.strings.push(string.clone());
                        longer
                    })
                })
                .collect();
        }
        found.extend(arrays.iter().map(ArrayWiring::canonical));
    }
    found.into_iter().collect()
}

/// Every string that uses all of the panels.
fn strings_of(panels: &[usize], lone: LoneBlocks) -> Vec<PanelString> {
    partitions(panels)
        .into_iter()
        .filter(|blocks| blocks.len() > 1 || panels.len() == 1 || lone == LoneBlocks::Kept)
        .map(|blocks| {
            let block = |b: Vec<usize>| Element::block(b.into_iter().map(KindIdx).collect());
            PanelString::new(blocks.into_iter().map(block).collect())
        })
        .collect()
}

/// Every way to part a list into groups, the order of groups and of members aside.
fn partitions(items: &[usize]) -> Vec<Vec<Vec<usize>>> {
    let Some((first, rest)) = items.split_first() else {
        return vec![Vec::new()];
    };
    let mut all = Vec::new();
    for groups in partitions(rest) {
        for k in 0..groups.len() {
            let mut joined = groups.clone();
            joined[k].push(*first);
            all.push(joined);
        }
        let mut apart = groups;
        apart.push(vec![*first]);
        all.push(apart);
    }
    all
}

/// An array from text: `||` between strings, `-` series, `(a|b)` block.
///
/// Panics on an id that no kind has.
pub(crate) fn wiring(text: &str, kinds: &[Kind]) -> ArrayWiring {
    let kind = |id: &str| {
        let at = kinds.iter().position(|k| k.id == id.trim());
        KindIdx(at.unwrap_or_else(|| panic!("no kind `{}` in `{text}`", id.trim())))
    };
    let element = |part: &str| {
        let part = part.trim().trim_start_matches('(').trim_end_matches(')');
        Element::block(part.split('|').map(kind).collect())
    };
    let string = |part: &str| PanelString::new(part.split('-').map(element).collect());
    ArrayWiring { strings: text.split("||").map(string).collect() }
}
