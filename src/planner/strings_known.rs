//! What strings bring over a season, kept for lists that have the same strings.

use std::cell::RefCell;
use std::collections::HashMap;

use super::season::Describer;
use crate::model::PanelString;
use crate::patterns::Pattern;
use crate::solve::Rate;

/// Figures of strings over one season, on inputs with the same controller.
#[derive(Default)]
pub(super) struct StringsKnown {
    rates: RefCell<HashMap<PanelString, Rate>>,
    /// Before the factor by which a line agrees with the true hours.
    ceilings: RefCell<HashMap<PanelString, f64>>,
}

impl StringsKnown {
    /// What a pattern brings over the level.
    pub(super) fn rate(&self, pattern: &Pattern, describer: &Describer) -> Rate {
        let found = || Rate::new(describer.rate(&pattern.strings));
        let [string] = &pattern.strings[..] else { return found() };
        self.rates.borrow_mut().entry(string.clone()).or_insert_with(found).clone()
    }

    /// What it brings at most, the season's hours being worth so many times as much as those of others.
    pub(super) fn ceiling(&self, pattern: &Pattern, describer: &Describer, factor: f64) -> f64 {
        let found = || describer.ceiling(&pattern.strings) / factor;
        let [string] = &pattern.strings[..] else { return factor * found() };
        factor * *self.ceilings.borrow_mut().entry(string.clone()).or_insert_with(found)
    }
}
