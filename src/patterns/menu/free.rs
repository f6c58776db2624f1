//! New strings.

use super::parts::Parts;
use super::scope::{Scope, scopes};
use super::{Found, Order};
use crate::patterns::elements::possible_elements;

/// Elements beyond which a scope is not even tried: mixed blocks of many kinds are too many.
const MOST_ELEMENTS: f64 = 4_000.0;

/// Lists new strings in the widest scope that has few enough; that scope in words.
pub(super) fn list(parts: &mut Parts, order: Order, found: &mut Found) -> String {
    let block_max = parts.bench.installation.site.block_max;
    let scopes = scopes(block_max);
    for (at, scope) in scopes.iter().enumerate() {
        let last = at + 1 == scopes.len();
        if !last && too_many_elements(scope, order.free) {
            continue;
        }
        let elements = elements(parts, scope, order.free);
        let mut listing = Listing {
            scope,
            elements: &elements,
            left: order.free.to_vec(),
            code: Vec::new(),
            counted: 0,
            most: if last { usize::MAX } else { order.most_new },
        };
        if listing.count(parts, 0, 0, (0.0, f64::INFINITY)) {
            listing.lengthen(parts, 0, 0, (0.0, f64::INFINITY), found);
            return scope.words.to_owned();
        }
    }
    String::new()
}

fn too_many_elements(scope: &Scope, stock: &[usize]) -> bool {
    let n_kinds = stock.iter().filter(|n| **n > 0).count() as f64;
    let ways = (1..=scope.block_max).map(|b| (n_kinds + b as f64 - 1.0) / b as f64);
    scope.mixed_blocks && ways.product::<f64>() > MOST_ELEMENTS
}

fn elements(parts: &mut Parts, scope: &Scope, stock: &[usize]) -> Vec<u16> {
    let kinds = &parts.bench.installation.kinds;
    let listed = if scope.mixed_blocks || scope.block_max == 1 {
        possible_elements(kinds, stock, scope.block_max)
    } else {
        let alone = |k: usize| {
            let mut only = vec![0; stock.len()];
            only[k] = stock[k];
            possible_elements(kinds, &only, scope.block_max)
        };
        (0..stock.len()).filter(|k| stock[*k] > 0).flat_map(alone).collect()
    };
    listed.iter().map(|e| parts.place(e)).collect()
}

struct Listing<'a> {
    scope: &'a Scope,
    elements: &'a [u16],
    left: Vec<usize>,
    code: Vec<u16>,
    counted: usize,
    most: usize,
}

impl Listing<'_> {
    /// Are there few enough strings within the limits on volts?
    fn count(&mut self, parts: &Parts, from: usize, distinct: usize, volts: (f64, f64)) -> bool {
        for at in from..self.end(from, distinct) {
            let Some(distinct) = self.push(parts, at, distinct) else { continue };
            let volts = self.volts(parts, volts);
            let fits = parts.too_many_volts(volts.0, volts.1).is_none();
            self.counted += usize::from(fits);
            let few =
                !fits || (self.counted <= self.most && self.count(parts, at, distinct, volts));
            self.pop(parts);
            if !few {
                return false;
            }
        }
        true
    }

    fn lengthen(
        &mut self,
        parts: &mut Parts,
        from: usize,
        distinct: usize,
        volts: (f64, f64),
        found: &mut Found,
    ) {
        for at in from..self.end(from, distinct) {
            let Some(distinct) = self.push(parts, at, distinct) else { continue };
            let volts = self.volts(parts, volts);
            match parts.too_many_volts(volts.0, volts.1) {
                Some(miss) => found.misses.note(parts, &self.code, miss),
                None => {
                    found.take(parts, &self.code, None);
                    self.lengthen(parts, at, distinct, volts, found);
                }
            }
            self.pop(parts);
        }
    }

    /// Where elements that may come next end: with as many different ones as there may be, only the
    /// last may come again.
    fn end(&self, from: usize, distinct: usize) -> usize {
        if distinct == self.scope.most_distinct { from + 1 } else { self.elements.len() }
    }

    /// Cold volts and the lowest system voltage with the last element.
    fn volts(&self, parts: &Parts, (cold, system): (f64, f64)) -> (f64, f64) {
        let last = self.code[self.code.len() - 1];
        (cold + parts.cold(last), system.min(parts.system(last)))
    }

    /// Takes an element from stock onto the string; its number of different elements then.
    fn push(&mut self, parts: &Parts, at: usize, distinct: usize) -> Option<usize> {
        let next = self.elements[at];
        let distinct = distinct + usize::from(self.code.last() != Some(&next));
        let members = parts.element(next).members();
        let enough =
            members.iter().all(|k| self.left[k.0] >= members.iter().filter(|m| *m == k).count());
        let admitted = distinct <= self.scope.most_distinct
            && enough
            && self.scope.admits(parts, &self.code, next);
        if !admitted {
            return None;
        }
        members.iter().for_each(|k| self.left[k.0] -= 1);
        self.code.push(next);
        Some(distinct)
    }

    fn pop(&mut self, parts: &Parts) {
        let last = self.code.pop().expect("what was pushed is there");
        parts.element(last).members().iter().for_each(|k| self.left[k.0] += 1);
    }
}
