//! Strings of every make-up that a stock and the limits of one string allow.

use super::bench::SeriesCurves;
use super::elements::possible_elements;
use super::pattern::describe_with;
use super::screen::{Screening, too_many_volts, unfit};
use super::{Arithmetic, Bench, Pattern, Stock};
use crate::model::{Element, PanelString};

/// More strings than this are not listed; the search space is then narrowed, and that is said.
const MOST_STRINGS: usize = 25_000;

/// Candidates, what was turned down, and what was not even listed.
#[derive(Clone)]
pub struct PatternSet {
    /// The candidates, shortest first, then by kinds.
    pub patterns: Vec<Pattern>,
    /// Nearest misses.
    pub screening: Screening,
    /// How the search space had to be narrowed, in words; `None` if it is whole.
    pub narrowed: Option<&'static str>,
}

/// A search space: the whole one, or a narrower one.
struct Scope {
    /// Most panels in a block.
    block_max: usize,
    /// May a block hold different kinds?
    mixed_blocks: bool,
    /// Most different elements in one string.
    most_distinct: usize,
    words: &'static str,
}

/// Every string that a stock allows and that keeps the limits of one string.
///
#[must_use]
pub fn free_patterns(bench: &Bench, stock: &Stock, arithmetic: Arithmetic) -> PatternSet {
    let scope = scopes(bench.installation.site.block_max)
        .into_iter()
        .find(|scope| Listing::new(bench, stock, scope).count(&mut Vec::new(), 0, 0))
        .expect("the narrowest scope never has too many strings");
    let mut listing = Listing::new(bench, stock, &scope);
    let mut patterns = Vec::new();
    listing.lengthen(&mut Vec::new(), None, (0, 0), arithmetic, &mut patterns);
    patterns.sort_by_cached_key(|p| {
        let string = &p.strings[0];
        (string.panels().count(), string.clone())
    });
    let narrowed = (!scope.words.is_empty()).then_some(scope.words);
    PatternSet { patterns, screening: listing.screening, narrowed }
}

/// From the whole search space to ever narrower ones.
fn scopes(block_max: usize) -> [Scope; 6] {
    let scope = |block_max, mixed_blocks, most_distinct, words| Scope {
        block_max,
        mixed_blocks,
        most_distinct,
        words,
    };
    [
        scope(block_max, true, usize::MAX, ""),
        scope(block_max, true, 3, "strings of at most 3 different elements"),
        scope(block_max, true, 2, "strings of at most 2 different elements"),
        scope(block_max, false, 2, "strings of at most 2 different elements, blocks of one kind"),
        scope(1, false, 2, "strings of at most 2 kinds without blocks"),
        scope(1, false, 1, "strings of one kind without blocks"),
    ]
}

struct Listing<'a> {
    bench: &'a Bench<'a>,
    elements: Vec<Element>,
    stock: Stock,
    most_distinct: usize,
    screening: Screening,
    counted: usize,
}

impl<'a> Listing<'a> {
    fn new(bench: &'a Bench, stock: &Stock, scope: &Scope) -> Self {
        let kinds = &bench.installation.kinds;
        let mut elements = possible_elements(kinds, stock.left(), scope.block_max);
        if !scope.mixed_blocks {
            elements.retain(|e| e.members().iter().all(|k| *k == e.members()[0]));
        }
        Self {
            bench,
            elements,
            stock: stock.clone(),
            most_distinct: scope.most_distinct,
            screening: Screening::default(),
            counted: 0,
        }
    }

    /// Are there few enough strings within the limits on volts?
    fn count(&mut self, string: &mut Vec<Element>, from: usize, distinct: usize) -> bool {
        for at in from..self.elements.len() {
            let Some(distinct) = self.push(string, at, distinct) else { continue };
            let fits = too_many_volts(string, self.bench).is_none();
            self.counted += usize::from(fits);
            let few = !fits || (self.counted <= MOST_STRINGS && self.count(string, at, distinct));
            self.pop(string);
            if !few {
                return false;
            }
        }
        true
    }

    /// Adds elements from `from` on to a string whose curves are known.
    fn lengthen(
        &mut self,
        string: &mut Vec<Element>,
        curves: Option<&SeriesCurves>,
        (from, distinct): (usize, usize),
        arithmetic: Arithmetic,
        found: &mut Vec<Pattern>,
    ) {
        for at in from..self.elements.len() {
            let Some(distinct) = self.push(string, at, distinct) else { continue };
            if let Some(miss) = too_many_volts(string, self.bench) {
                self.screening.note(&miss);
            } else {
                let longer = self.bench.lengthen(curves, &self.elements[at]);
                match unfit(string, &self.bench.behind_diode(&longer.hot), self.bench) {
                    Some(miss) => self.screening.note(&miss),
                    None => {
                        let whole = PanelString::new(string.clone()).canonical();
                        let compared = self.bench.behind_diode(&longer.compared);
                        found.push(describe_with(whole, &compared, self.bench, arithmetic));
                    }
                }
                self.lengthen(string, Some(&longer), (at, distinct), arithmetic, found);
            }
            self.pop(string);
        }
    }

    /// Takes an element from stock onto the string; its number of different elements then.
    fn push(&mut self, string: &mut Vec<Element>, at: usize, distinct: usize) -> Option<usize> {
        let element = &self.elements[at];
        let distinct = distinct + usize::from(string.last() != Some(element));
        if distinct > self.most_distinct {
            return None;
        }
        self.stock.take(element.members())?;
        string.push(element.clone());
        Some(distinct)
    }

    fn pop(&mut self, string: &mut Vec<Element>) {
        let element = string.pop().expect("what was pushed is there");
        self.stock.put_back(element.members());
    }
}
