//! An installed string kept together, but lengthened or with spares across its panels.

use std::collections::BTreeSet;

use super::elements::{may_share_block, possible_elements};
use super::screen::{Screening, too_many_volts, unfit};
use super::{Arithmetic, Bench, Pattern, Stock, describe_pattern};
use crate::model::{Element, KindIdx, PanelString};

/// More extensions of one string than this are not listed.
const MOST_EXTENSIONS: usize = 4_000;

/// Every extension of an installed string by spares, the string as it is first.
///
/// Counts of the patterns include the installed panels. Says whether the list is whole.
#[must_use]
pub fn extended_patterns(
    string: &PanelString,
    bench: &Bench,
    spares: &Stock,
    arithmetic: Arithmetic,
) -> (Vec<Pattern>, Screening, bool) {
    let base = string.canonical();
    let mut grower = Grower {
        bench,
        extras: possible_elements(
            &bench.installation.kinds,
            spares.left(),
            bench.installation.site.block_max,
        ),
        stock: spares.clone(),
        found: BTreeSet::new(),
        screening: Screening::default(),
        whole: true,
    };
    grower.widen(&mut Vec::new(), base.elements());
    let rest = grower.found.iter().filter(|s| **s != base).cloned();
    let first = grower.found.contains(&base).then(|| base.clone());
    let patterns =
        first.into_iter().chain(rest).map(|s| describe_pattern(s, bench, arithmetic)).collect();
    (patterns, grower.screening, grower.whole)
}

struct Grower<'a> {
    bench: &'a Bench<'a>,
    extras: Vec<Element>,
    stock: Stock,
    found: BTreeSet<PanelString>,
    screening: Screening,
    whole: bool,
}

impl Grower<'_> {
    /// Puts spares across each installed element in turn, then lengthens.
    fn widen(&mut self, done: &mut Vec<Element>, todo: &[Element]) {
        let Some((element, rest)) = todo.split_first() else {
            self.lengthen(done, 0);
            return;
        };
        for wider in self.widths(element) {
            let added = added_members(&wider, element);
            if self.stock.take(&added).is_none() {
                continue;
            }
            done.push(wider);
            self.widen(done, rest);
            done.pop();
            self.stock.put_back(&added);
        }
    }

    /// The element as it is, and with every set of spares that may stand across it.
    fn widths(&self, element: &Element) -> Vec<Element> {
        let kinds = &self.bench.installation.kinds;
        let block_max = self.bench.installation.site.block_max;
        let mut widths = vec![element.clone()];
        let mut at = 0;
        while at < widths.len() {
            let members = widths[at].members().to_vec();
            at += 1;
            if members.len() >= block_max {
                continue;
            }
            for k in (0..kinds.len()).filter(|k| self.stock.left()[*k] > 0) {
                let mut wider = members.clone();
                wider.push(KindIdx(k));
                if may_share_block(&wider, kinds) {
                    let wider = Element::block(wider);
                    if !widths.contains(&wider) {
                        widths.push(wider);
                    }
                }
            }
        }
        widths
    }

    fn lengthen(&mut self, elements: &mut Vec<Element>, from: usize) {
        if self.found.len() >= MOST_EXTENSIONS {
            self.whole = false;
            return;
        }
        if let Some(miss) = too_many_volts(elements, self.bench) {
            self.screening.note(&miss);
            return;
        }
        let candidate = PanelString::new(elements.clone()).canonical();
        if !self.found.contains(&candidate) {
            let hot = self.bench.series(&candidate).hot;
            match unfit(elements, &self.bench.behind_diode(&hot), self.bench) {
                Some(miss) => self.screening.note(&miss),
                None => {
                    self.found.insert(candidate);
                }
            }
        }
        for at in from..self.extras.len() {
            let extra = self.extras[at].clone();
            let members = extra.members();
            if self.stock.take(members).is_none() {
                continue;
            }
            elements.push(extra.clone());
            self.lengthen(elements, at);
            elements.pop();
            self.stock.put_back(members);
        }
    }
}

fn added_members(wider: &Element, element: &Element) -> Vec<KindIdx> {
    let mut added = wider.members().to_vec();
    for k in element.members() {
        let at = added.iter().position(|m| m == k).expect("a wider element holds the narrower one");
        added.remove(at);
    }
    added
}
