//! Every key of a site file: what it holds, its range, and whether it must be there.
//!
//! `docs/input.md` says the same in words; a test compares the two.

mod readings;
mod sections;
#[cfg(test)]
mod tests;
mod unit;

pub(super) use readings::*;
pub(super) use sections::*;
pub(super) use unit::Unit;

/// What a number may be, in the unit of its key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub(super) lo: f64,
    pub(super) hi: f64,
    /// `lo` itself is refused.
    pub(super) open: bool,
}

impl Range {
    pub(super) fn contains(self, x: f64) -> bool {
        let above = if self.open { self.lo < x } else { self.lo <= x };
        above && x <= self.hi
    }

    /// `above 0 and at most 400 V`, `from -60 to 25 °C`.
    pub(super) fn in_words(self, unit: Unit) -> String {
        let Self { lo, hi, open } = self;
        let text = if open {
            format!("above {lo} and at most {hi} {}", unit.symbol())
        } else {
            format!("from {lo} to {hi} {}", unit.symbol())
        };
        text.trim_end().to_owned()
    }
}

const fn above(lo: f64, hi: f64) -> Range {
    Range { lo, hi, open: true }
}

const fn within(lo: f64, hi: f64) -> Range {
    Range { lo, hi, open: false }
}

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Holds {
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    Switch,
    Number(Unit, Range),
    Count(usize, usize),
    /// A list of so many numbers.
    Numbers(Unit, Range, usize),
    List,
    Group,
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) holds: Holds,
    /// What to do if it is missing; `None` for an optional key.
    pub(super) if_missing: Option<&'static str>,
}

/// Keys that stand together.
#[derive(Debug, PartialEq)]
pub(super) struct Section {
    /// What a message calls it: `kind`, then its id.
    pub(super) noun: &'static str,
    pub(super) keys: &'static [Key],
}

impl Section {
    pub(super) fn key(&self, name: &str) -> &'static Key {
        let found = self.keys.iter().find(|k| k.name == name);
        found.expect("code asks only for keys of the table")
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.keys.iter().any(|k| k.name == name)
    }
}

const fn must(name: &'static str, holds: Holds, if_missing: &'static str) -> Key {
    Key { name, holds, if_missing: Some(if_missing) }
}

const fn may(name: &'static str, holds: Holds) -> Key {
    Key { name, holds, if_missing: None }
}
