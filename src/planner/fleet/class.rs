//! Inputs that are alike in everything that matters: asked once for all of them.

use std::collections::HashMap;

use super::by_kind::Plain;
use super::ground::{Ground, Item};
use super::misses::SiteMiss;
use super::question::{Asked, Picked};
use super::recall::Memory;
use super::shelf::Shelf;
use super::tariff::Tariff;
use crate::plan::Touch;
use crate::solve::Watch;

/// Choices that a question is reminded of.
const REMINDED: usize = 3;
/// Tag of the choice to leave everything as it is.
pub(super) const AS_IT_IS: usize = 0;

/// A choice met so far.
pub(super) struct Met {
    pub picked: Picked,
    /// What it is worth in the unit of the aim, prices of the stock aside.
    pub value: f64,
    /// Kinds and numbers of panels beyond those installed.
    pub uses: Vec<(usize, usize)>,
}

/// What one kind of the stock can do at an input by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Alone {
    /// The best choice with panels of this kind alone, by its tag, and what it is worth.
    Brings(usize, f64),
    /// A wiring keeps the limits, but brings less than it must; what it brings at best.
    TooLittle(f64),
    /// No wiring of it keeps the limits; the nearest miss.
    Breaches(Option<SiteMiss>),
}

/// Inputs that are alike.
pub(super) struct Class {
    pub ground: Ground,
    pub met: Vec<Met>,
    tags: HashMap<Picked, usize>,
    /// Answers of an earlier run.
    pub memory: Memory,
}

/// A question about one input, in the unit of the aim.
pub(super) struct Priced<'a> {
    /// Prices of panels of each kind, own kinds first.
    pub prices: &'a [Tariff],
    pub caps: &'a [usize],
    /// Kinds of which so many at least must be wired beyond those installed.
    pub floors: &'a [(usize, usize)],
    pub tolerance: f64,
    /// Where the search is told to stop.
    pub watch: Watch,
}

impl Class {
    pub(super) fn new(ground: Ground, memory: Memory) -> Self {
        let as_it_is = Met { picked: Vec::new(), value: 0.0, uses: Vec::new() };
        Self { ground, met: vec![as_it_is], tags: HashMap::from([(Vec::new(), AS_IT_IS)]), memory }
    }

    /// The best choice at given prices, by its tag, and a bound on `value − prices` of all choices.
    pub(super) fn ask(&mut self, asked: &Priced, shelf: &Shelf) -> (Option<usize>, f64) {
        let terms = &self.ground.terms;
        let watt = terms.watt;
        let costs: Vec<Tariff> = asked
            .prices
            .iter()
            .enumerate()
            .map(|(k, price)| {
                let asking = k.checked_sub(self.ground.n_own).map_or(0.0, |s| terms.asking(s));
                price.with(asking, watt)
            })
            .collect();
        let known = self.best_known(asked);
        let known: Vec<&Picked> = known.iter().map(|tag| &self.met[*tag].picked).collect();
        let question = Asked {
            costs: &costs,
            caps: asked.caps,
            floors: asked.floors,
            known: &known,
            tolerance: asked.tolerance / watt,
            watch: asked.watch,
        };
        let answered = self.ground.answer(&question, shelf);
        let visit = self.ground.terms.visit;
        let over = answered.bound - self.ground.today_charged;
        // To leave everything as it is costs no visit.
        let idle = if asked.floors.is_empty() { 0.0 } else { f64::NEG_INFINITY };
        let bound = (watt * over - visit).max(idle);
        let Some((picked, watts)) = answered.best else {
            return (asked.floors.is_empty().then_some(AS_IT_IS), bound);
        };
        let uses = self.ground.uses(&picked);
        let paid = self.ground.paid(&picked, asked.prices);
        let value = watt * (watts - self.ground.today_charged) + paid - visit;
        (Some(self.enter(picked, value, uses)), bound)
    }

    /// Tags of choices that are good at these prices, the best first.
    fn best_known(&self, asked: &Priced) -> Vec<usize> {
        let within = |met: &Met| {
            let used = |kind: usize| met.uses.iter().find(|u| u.0 == kind).map_or(0, |u| u.1);
            met.uses.iter().all(|(k, n)| *n <= asked.caps[*k])
                && asked.floors.iter().all(|(k, n)| used(*k) >= *n)
        };
        let paid =
            |met: &Met| -> f64 { met.uses.iter().map(|(k, n)| asked.prices[*k].of(*n)).sum() };
        let mut good: Vec<(f64, usize)> = self
            .met
            .iter()
            .enumerate()
            .filter(|(_, met)| within(met))
            .map(|(tag, met)| (met.value - paid(met), tag))
            .collect();
        good.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        good.truncate(REMINDED);
        good.into_iter().map(|(_, tag)| tag).collect()
    }

    pub(super) fn enter(&mut self, picked: Picked, value: f64, uses: Vec<(usize, usize)>) -> usize {
        if self.ground.is_as_it_is(&picked) {
            return AS_IT_IS;
        }
        if let Some(&tag) = self.tags.get(&picked) {
            return tag;
        }
        let tag = self.met.len();
        self.tags.insert(picked.clone(), tag);
        self.met.push(Met { picked, value, uses });
        tag
    }

    /// What each kind of the stock can do by itself.
    pub(super) fn alone(&mut self, shelf: &Shelf) -> Vec<Alone> {
        let answers = self.plain(shelf);
        self.ground.fresh = Vec::new();
        answers
    }

    fn plain(&mut self, shelf: &Shelf) -> Vec<Alone> {
        let terms = self.ground.terms.clone();
        let mut answers: Vec<Alone> =
            (0..shelf.len()).map(|s| Alone::Breaches(self.ground.nearest_miss(s))).collect();
        if !self.ground.sound {
            return answers;
        }
        for (kind, plain) in self.ground.by_kind(shelf) {
            let (picked, watts) = match plain {
                Plain::Keeps(picked, watts) => (picked, watts),
                Plain::Breaks(miss) => {
                    if let Alone::Breaches(known) = &mut answers[kind] {
                        *known = Some(miss.nearer(*known));
                    }
                    continue;
                }
            };
            let uses = self.ground.uses(&picked);
            let n: usize = uses.iter().map(|(_, n)| *n).sum();
            let over = terms.watt * (watts - self.ground.today_charged);
            let value = over - terms.asking(kind) * n as f64 - terms.visit;
            let better = match answers[kind] {
                Alone::Breaches(_) => true,
                Alone::TooLittle(most) => value > most,
                Alone::Brings(_, most) => value > most,
            };
            if better {
                answers[kind] = if value > 0.0 {
                    Alone::Brings(self.enter(picked, value, uses), value)
                } else {
                    Alone::TooLittle(value)
                };
            }
        }
        answers
    }
}

impl Ground {
    /// What a choice pays for its panels: each string by itself.
    fn paid(&self, picked: &Picked, prices: &[Tariff]) -> f64 {
        let of_item = |(item, times): &(Item, usize)| match item {
            Item::Base => 0.0,
            Item::Dish(d) => {
                let added = self.added(&self.menu.dishes[*d as usize]);
                let each: f64 = added.iter().map(|(k, n)| prices[*k].of(*n)).sum();
                each * *times as f64
            }
        };
        picked.iter().map(of_item).sum()
    }

    /// Kinds and numbers of panels that a choice wires beyond those installed.
    pub(super) fn uses(&self, picked: &Picked) -> Vec<(usize, usize)> {
        let mut counts = vec![0_usize; self.charges.len()];
        for (item, n) in picked {
            if let Item::Dish(d) = item {
                for (k, each) in self.added(&self.menu.dishes[*d as usize]) {
                    counts[k] += each * n;
                }
            }
        }
        if self.touch == Touch::Free {
            let installed = self.today.count_by_kind(counts.len());
            counts.iter_mut().zip(installed).for_each(|(n, own)| *n = n.saturating_sub(own));
        }
        counts.into_iter().enumerate().filter(|(_, n)| *n > 0).collect()
    }

    fn is_as_it_is(&self, picked: &Picked) -> bool {
        match self.touch {
            Touch::Free => self.wiring(picked).canonical() == self.today.canonical(),
            _ => self.uses(picked).is_empty(),
        }
    }
}

impl Ground {
    /// The most panels of each kind, beyond those installed, that one choice can have.
    pub(super) fn most_of_each(&self) -> Vec<(usize, usize)> {
        let mut most = vec![0; self.caps.len()];
        for dish in &self.menu.dishes {
            for (k, n) in self.added(dish) {
                most[k] = most[k].max(n);
            }
        }
        let ports = self.controller.string_ports;
        let all = most.into_iter().zip(&self.caps).map(|(n, cap)| (n * ports).min(*cap));
        all.enumerate().filter(|(_, n)| *n > 0).collect()
    }

    /// The most panels, beyond those installed, that one choice can have.
    pub(super) fn most_in_all(&self) -> usize {
        let of = |dish| self.added(dish).iter().map(|(_, n)| *n).sum::<usize>();
        let most = self.menu.dishes.iter().map(of).max().unwrap_or(0);
        most * self.controller.string_ports
    }
}
