//! Installed strings kept together, but lengthened or with panels across theirs.

use super::parts::Parts;
use super::{Found, Order};
use crate::model::{Element, KindIdx, PanelString};
use crate::patterns::elements::{may_share_block, possible_elements};

/// Lists extensions by as many kinds at once as there are few enough of; in words, if not by all.
pub(super) fn list(parts: &mut Parts, order: Order, found: &mut Found) -> String {
    if order.groups.is_empty() {
        return String::new();
    }
    let n_kinds = order.added.iter().filter(|n| **n > 0).count();
    let reach = |most_kinds, ways, words| Reach { most_kinds, ways, words };
    let reaches = [
        reach(usize::MAX, Ways::Any, ""),
        reach(2, Ways::Any, "installed strings extended by at most 2 kinds each"),
        reach(
            2,
            Ways::Able,
            "installed strings extended by at most 2 kinds each, behind them of no less current",
        ),
        reach(1, Ways::Any, "installed strings extended by one kind each"),
        reach(
            1,
            Ways::One,
            "installed strings extended by one kind each, behind them or across their panels",
        ),
    ];
    for reach in &reaches {
        // The narrowest is taken as it is.
        let most = if reach.ways == Ways::One { usize::MAX } else { order.most_extended };
        if reach.ways == Ways::Any && guess(n_kinds, reach.most_kinds) > most {
            continue;
        }
        let mut grown = Vec::new();
        let whole = order.groups.iter().enumerate().all(|(g, string)| {
            let mut grower = Grower::new(parts, order, string, reach);
            grower.grow(most.saturating_sub(grown.len()), g as u16, &mut grown)
        });
        if whole {
            for (code, group, volts) in &grown {
                match parts.too_many_volts(volts.0, volts.1) {
                    Some(miss) => found.misses.note(parts, code, miss),
                    None => found.take(parts, code, Some(*group)),
                }
            }
            return reach.words.to_owned();
        }
    }
    String::new()
}

/// A panel behind a string has at least this part of its current.
const ABLE: f64 = 0.9;

/// How far extensions go.
struct Reach {
    /// Most kinds added to one string.
    most_kinds: usize,
    ways: Ways,
    words: &'static str,
}

/// In which ways one string is extended.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ways {
    /// Behind it and across its panels.
    Any,
    /// The same, but behind it only panels whose label current is about that of its own or above:
    /// others choke it.
    Able,
    /// Single panels behind it, or some across its panels.
    One,
}

/// Extensions of one string at least, before anything is listed.
fn guess(n_kinds: usize, most_kinds: usize) -> usize {
    match most_kinds {
        1 => n_kinds,
        2 => n_kinds * n_kinds / 2,
        _ => n_kinds * n_kinds,
    }
}

/// Elements, the group, cold volts and lowest system voltage.
type Grown = (Vec<u16>, u16, (f64, f64));

struct Grower<'p, 'a, 'b> {
    parts: &'p mut Parts<'a, 'b>,
    /// The installed elements, ascending.
    base: Vec<Element>,
    /// What may stand in the place of each: itself first, then it with panels across.
    widths: Vec<Vec<(u16, Vec<KindIdx>)>>,
    extras: Vec<(u16, Vec<KindIdx>)>,
    left: Vec<usize>,
    most_kinds: usize,
    ways: Ways,
    kinds: Vec<KindIdx>,
    code: Vec<u16>,
}

impl<'p, 'a, 'b> Grower<'p, 'a, 'b> {
    fn new(
        parts: &'p mut Parts<'a, 'b>,
        order: Order,
        string: &PanelString,
        reach: &Reach,
    ) -> Self {
        let most_kinds = reach.most_kinds;
        let block_max = parts.bench.installation.site.block_max;
        let base = string.canonical().elements().to_vec();
        let mut widths = Vec::with_capacity(base.len());
        for element in &base {
            let wider = widths_of(element, parts, order.added, block_max, most_kinds);
            let placed = wider.into_iter().map(|(e, added)| (parts.place(&e), added)).collect();
            widths.push(placed);
        }
        let kinds = &parts.bench.installation.kinds;
        let behind = if reach.ways == Ways::One { 1 } else { block_max };
        let i_mp =
            |e: &Element| -> f64 { e.members().iter().map(|k| kinds[k.0].label.i_mp.amps()).sum() };
        let least = ABLE * base.iter().map(i_mp).fold(f64::INFINITY, f64::min);
        let mut extras = extras(kinds, order.added, behind, most_kinds);
        extras.retain(|e| reach.ways != Ways::Able || i_mp(e) >= least);
        let extras = extras.into_iter().map(|e| (parts.place(&e), e.members().to_vec())).collect();
        Self {
            parts,
            base,
            widths,
            extras,
            left: order.added.to_vec(),
            most_kinds,
            ways: reach.ways,
            kinds: Vec::new(),
            code: Vec::new(),
        }
    }

    /// Lists all; false if there are more than `most`.
    fn grow(&mut self, most: usize, group: u16, grown: &mut Vec<Grown>) -> bool {
        let most = grown.len().saturating_add(most);
        self.widen(0, 0, most, group, grown)
    }

    fn widen(
        &mut self,
        at: usize,
        from: usize,
        most: usize,
        group: u16,
        grown: &mut Vec<Grown>,
    ) -> bool {
        if at == self.base.len() {
            let volts = self.volts();
            return self.lengthen(0, volts, most, group, grown);
        }
        for w in from..self.widths[at].len() {
            let (part, added) = self.widths[at][w].clone();
            let Some(n_before) = self.take(&added) else { continue };
            self.code.push(part);
            // Of equal elements the later is not narrower: each way once.
            let same = self.base.get(at + 1) == Some(&self.base[at]);
            let few = self.widen(at + 1, if same { w } else { 0 }, most, group, grown);
            self.code.pop();
            self.give_back(&added, n_before);
            if !few {
                return false;
            }
        }
        true
    }

    fn volts(&self) -> (f64, f64) {
        let cold = self.code.iter().map(|p| self.parts.cold(*p)).sum();
        let system = self.code.iter().map(|p| self.parts.system(*p)).fold(f64::INFINITY, f64::min);
        (cold, system)
    }

    fn lengthen(
        &mut self,
        from: usize,
        (cold, system): (f64, f64),
        most: usize,
        group: u16,
        grown: &mut Vec<Grown>,
    ) -> bool {
        if grown.len() > most {
            return false;
        }
        let mut code = self.code.clone();
        code.sort_unstable();
        grown.push((code, group, (cold, system)));
        let widened = self.code.len() == self.base.len() && !self.kinds.is_empty();
        if self.parts.too_many_volts(cold, system).is_some() || (self.ways == Ways::One && widened)
        {
            return true;
        }
        for x in from..self.extras.len() {
            let (part, added) = self.extras[x].clone();
            let Some(n_before) = self.take(&added) else { continue };
            self.code.push(part);
            let volts = (cold + self.parts.cold(part), system.min(self.parts.system(part)));
            let few = self.lengthen(x, volts, most, group, grown);
            self.code.pop();
            self.give_back(&added, n_before);
            if !few {
                return false;
            }
        }
        true
    }

    /// Takes panels from stock, if they are there and not of too many kinds; kinds before.
    fn take(&mut self, added: &[KindIdx]) -> Option<usize> {
        let enough =
            added.iter().all(|k| self.left[k.0] >= added.iter().filter(|m| *m == k).count());
        let n_before = self.kinds.len();
        if !enough {
            return None;
        }
        for k in added {
            if !self.kinds.contains(k) {
                self.kinds.push(*k);
            }
        }
        if self.kinds.len() > self.most_kinds {
            self.kinds.truncate(n_before);
            return None;
        }
        added.iter().for_each(|k| self.left[k.0] -= 1);
        Some(n_before)
    }

    fn give_back(&mut self, added: &[KindIdx], n_before: usize) {
        added.iter().for_each(|k| self.left[k.0] += 1);
        self.kinds.truncate(n_before);
    }
}

/// Elements that a string may be lengthened by.
fn extras(
    kinds: &[crate::model::Kind],
    stock: &[usize],
    block_max: usize,
    most_kinds: usize,
) -> Vec<Element> {
    if most_kinds > 1 {
        return possible_elements(kinds, stock, block_max);
    }
    let alone = |k: usize| {
        let mut only = vec![0; stock.len()];
        only[k] = stock[k];
        possible_elements(kinds, &only, block_max)
    };
    (0..stock.len()).filter(|k| stock[*k] > 0).flat_map(alone).collect()
}

/// The element as it is, and with every set of panels that may stand across it, with those.
fn widths_of(
    element: &Element,
    parts: &Parts,
    stock: &[usize],
    block_max: usize,
    most_kinds: usize,
) -> Vec<(Element, Vec<KindIdx>)> {
    let kinds = &parts.bench.installation.kinds;
    let mut widths = vec![(element.clone(), Vec::new())];
    let mut at = 0;
    while at < widths.len() {
        let (wide, added) = widths[at].clone();
        at += 1;
        if wide.members().len() >= block_max {
            continue;
        }
        for k in (0..kinds.len()).map(KindIdx).filter(|k| stock[k.0] > 0) {
            if most_kinds == 1 && added.first().is_some_and(|first| *first != k) {
                continue;
            }
            let mut members = wide.members().to_vec();
            members.push(k);
            if may_share_block(&members, kinds) {
                let wider = Element::block(members);
                if !widths.iter().any(|(w, _)| *w == wider) {
                    let mut added = added.clone();
                    added.push(k);
                    widths.push((wider, added));
                }
            }
        }
    }
    widths
}
