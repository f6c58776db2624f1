//! Answers of an earlier run: one that was interrupted takes the very same course again, without working
//! out again what it knows.
//!
//! An answer depends on the input, on the question, and on how much was met before; so it is kept under
//! these. Taking in only *what* was found, and not when, would lead to another course and another answer.

use std::collections::HashMap;

use super::class::{Alone, Class, Met};
use super::ground::Item;
use super::misses::SiteMiss;
use super::question::Picked;
use crate::model::InputRef;
use crate::plan::{AloneFound, Found, OfferRecord, PickedFound};

/// What is known of one input, by the question in short.
pub(super) type Memory = HashMap<u64, Found>;

/// The question what each kind can do by itself.
const ALONE: u64 = 0;

/// What is known of each input.
pub(super) fn memories(known: &[OfferRecord]) -> HashMap<(usize, InputRef), Memory> {
    let mut memories: HashMap<(usize, InputRef), Memory> = HashMap::new();
    for record in known {
        let memory = memories.entry((record.customer, record.at)).or_default();
        memory.insert(record.question, record.found.clone());
    }
    memories
}

/// A question in short: FNV-1a over its words (G. Fowler and others, IETF draft-eastlake-fnv), the same
/// on every machine.
pub(super) fn in_short(words: &str) -> u64 {
    let hash = words.bytes().fold(0xcbf2_9ce4_8422_2325, |hash: u64, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    hash.max(ALONE + 1)
}

impl Class {
    /// The answer of an earlier run to a question; what it met then is met again.
    pub(super) fn recall(&mut self, question: u64) -> Option<(Option<usize>, f64)> {
        let Found::Best { best, bound } = self.memory.remove(&question)? else { return None };
        if !best.iter().all(|best| self.may_be(best)) {
            return None;
        }
        Some((best.map(|best| self.meet(&best)), bound))
    }

    /// An answer as it is kept.
    pub(super) fn found(&self, (tag, bound): (Option<usize>, f64)) -> Found {
        Found::Best { best: tag.map(|tag| kept(&self.met[tag])), bound }
    }

    /// The same for what each kind can do by itself.
    pub(super) fn recall_alone(&mut self) -> Option<Vec<Alone>> {
        let Found::Alone { met, kinds } = self.memory.remove(&ALONE)? else { return None };
        let named = kinds.iter().all(|kind| match kind {
            AloneFound::Brings(tag, _) => *tag <= met.len(),
            _ => true,
        });
        if !named || !met.iter().all(|met| self.may_be(met)) {
            return None;
        }
        for met in &met {
            self.meet(met);
        }
        self.ground.fresh = Vec::new();
        let alone = |found: AloneFound| match found {
            AloneFound::Brings(tag, value) => Alone::Brings(tag, value),
            AloneFound::TooLittle(value) => Alone::TooLittle(value),
            AloneFound::Breaches(miss) => {
                Alone::Breaches(miss.map(|(rule, value, limit, unit)| SiteMiss {
                    rule,
                    value,
                    limit,
                    unit,
                }))
            }
        };
        Some(kinds.into_iter().map(alone).collect())
    }

    /// What each kind can do by itself, as it is kept.
    pub(super) fn found_alone(
        &self,
        customer: usize,
        at: InputRef,
        alone: &[Alone],
    ) -> OfferRecord {
        let kind = |alone: &Alone| match *alone {
            Alone::Brings(tag, value) => AloneFound::Brings(tag, value),
            Alone::TooLittle(value) => AloneFound::TooLittle(value),
            Alone::Breaches(miss) => {
                AloneFound::Breaches(miss.map(|m| (m.rule, m.value, m.limit, m.unit)))
            }
        };
        let met = self.met.iter().skip(1).map(kept).collect();
        let found = Found::Alone { met, kinds: alone.iter().map(kind).collect() };
        OfferRecord { customer, at, question: ALONE, found }
    }

    /// Does it name strings that there are? What comes from a file may say anything.
    fn may_be(&self, found: &PickedFound) -> bool {
        found.picks.iter().all(|(number, _)| *number <= self.ground.menu.dishes.len())
    }

    fn meet(&mut self, found: &PickedFound) -> usize {
        let item = |number: usize| match number.checked_sub(1) {
            None => Item::Base,
            Some(dish) => Item::Dish(dish as u32),
        };
        let picked: Picked = found.picks.iter().map(|(n, times)| (item(*n), *times)).collect();
        let uses = self.ground.uses(&picked);
        self.enter(picked, found.value, uses)
    }
}

fn kept(met: &Met) -> PickedFound {
    let number = |item: &Item| match item {
        Item::Base => 0,
        Item::Dish(d) => *d as usize + 1,
    };
    let picks = met.picked.iter().map(|(item, n)| (number(item), *n)).collect();
    PickedFound { picks, value: met.value }
}
