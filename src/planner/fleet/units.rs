//! The customers as the sites of a sharing-out.
//!
//! What several inputs of one customer like is asked of each by itself, at the same prices: together they
//! are worth the sum, less one visit.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use rayon::prelude::*;

use super::asking::{Joined, PartAsk};
use super::class::{AS_IT_IS, Alone, Class};
use super::customer::Desk;
use super::ground::Ground;
use super::options::Progress;
use super::recall::memories;
use super::shelf::Shelf;
use super::tariff::cuts;
use crate::model::InputRef;
use crate::plan::{Customer, OfferRecord, Stage};
use crate::solve::Watch;
use crate::solve::master::{Ask, Crowd, CrowdStep, Measure, Offer, Reply, SharedRow, Sites};

/// One input of a customer.
pub(super) struct Part {
    pub at: InputRef,
    /// Index among the classes.
    pub class: usize,
}

/// One customer, with its inputs that may be changed.
pub(super) struct Unit {
    pub customer: usize,
    pub parts: Vec<Part>,
    /// What a visit costs, if several inputs bear it together; one input bears its own.
    pub visit: f64,
    /// For each own kind the shared row of its spares, where several inputs draw on them.
    own_rows: Vec<Option<usize>>,
    /// Of several inputs the choices met together, by their tags; first that all stay as they are.
    together: Vec<Vec<usize>>,
}

/// All inputs, and what they share.
pub(super) struct Units<'a> {
    pub units: Vec<Unit>,
    /// Inputs besides theirs that were not looked at, since the search was stopped before.
    pub n_unseen: usize,
    pub classes: Vec<Class>,
    /// The customer and the input by which each class was laid out.
    pub(super) first: Vec<(usize, InputRef)>,
    /// What each kind of the stock can do by itself, by class.
    pub alone: Vec<Vec<Alone>>,
    pub rows: Vec<SharedRow>,
    /// For each kind of the stock the rows of its pairs and threes, by their size.
    pub(super) cut: Vec<[Option<usize>; 4]>,
    pub shelf: &'a Shelf,
    pub progress: &'a dyn Progress,
    pub watch: Watch,
}

impl<'a> Units<'a> {
    /// Lays out all inputs, each sort of them once.
    pub(super) fn new(
        customers: &[Customer],
        desks: &[Desk],
        shelf: &'a Shelf,
        known: &[OfferRecord],
        (progress, watch): (&'a dyn Progress, Watch),
    ) -> Self {
        let keys: Vec<Vec<String>> = customers
            .par_iter()
            .zip(desks)
            .map(|(c, desk)| desk.inputs.iter().map(|at| desk.key(c, *at)).collect())
            .collect();
        let mut places: HashMap<String, usize> = HashMap::new();
        let mut first: Vec<(usize, InputRef)> = Vec::new();
        let mut units = Vec::with_capacity(customers.len());
        let mut rows: Vec<SharedRow> = shelf.counts.iter().map(|n| row(*n)).collect();
        let mut cut = vec![[None; 4]; shelf.len()];
        for (stock, count) in shelf.counts.iter().enumerate() {
            for size in cuts(*count) {
                cut[stock][size] = Some(rows.len());
                rows.push(SharedRow { measure: Measure::Any, ..row(count / size) });
            }
        }
        for (customer, (keys, desk)) in keys.into_iter().zip(desks).enumerate() {
            let mut part = |(key, at): (String, &InputRef)| {
                let class = match places.entry(key) {
                    Entry::Occupied(known) => *known.get(),
                    Entry::Vacant(new) => {
                        first.push((customer, *at));
                        *new.insert(first.len() - 1)
                    }
                };
                Part { at: *at, class }
            };
            let parts: Vec<Part> = keys.into_iter().zip(&desk.inputs).map(&mut part).collect();
            if !parts.is_empty() {
                let own_rows = own_rows_of(&customers[customer], desk, &mut rows);
                let (visit, together) = (desk.visit, vec![vec![AS_IT_IS; parts.len()]]);
                units.push(Unit { customer, parts, visit, own_rows, together });
            }
        }
        drop(places);
        let done = std::sync::atomic::AtomicUsize::new(0);
        let of = first.len();
        let memories = memories(known);
        let laid_out: Vec<Option<(Class, Vec<Alone>)>> = first
            .par_iter()
            .map(|&(customer, at)| {
                if watch.is_stopped() {
                    return None;
                }
                let (c, desk) = (&customers[customer], &desks[customer]);
                let terms = (desk.terms.clone(), desk.most_passed(at));
                let ground = Ground::new(&c.installation, &desk.catalog, at, c.touch, terms, shelf);
                let memory = memories.get(&(customer, at)).cloned().unwrap_or_default();
                let mut class = Class::new(ground, memory);
                let alone = match class.recall_alone() {
                    Some(alone) => alone,
                    None => {
                        let alone = class.alone(shelf);
                        progress.met(&class.found_alone(customer, at, &alone));
                        alone
                    }
                };
                let done = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                progress.at(Stage::Alone { done, of });
                Some((class, alone))
            })
            .collect();
        // Inputs at which nobody looked before the search was stopped stay out of it.
        let mut kept = vec![None; first.len()];
        let (mut classes, mut alone, mut asked) = (Vec::new(), Vec::new(), Vec::new());
        for (at, (class, answers)) in
            laid_out.into_iter().enumerate().filter_map(|(at, laid)| Some((at, laid?)))
        {
            kept[at] = Some(classes.len());
            classes.push(class);
            alone.push(answers);
            asked.push(first[at]);
        }
        let n_parts = |units: &[Unit]| units.iter().map(|u| u.parts.len()).sum::<usize>();
        let n_all = n_parts(&units);
        units.retain_mut(|unit: &mut Unit| {
            unit.parts.iter_mut().all(|part| match kept[part.class] {
                Some(class) => {
                    part.class = class;
                    true
                }
                None => false,
            })
        });
        let (n_unseen, first) = (n_all - n_parts(&units), asked);
        for unit in units.iter_mut().filter(|unit| unit.parts.len() > 1) {
            unit.meet_each_alone(&classes);
        }
        Self { units, n_unseen, classes, first, alone, rows, cut, shelf, progress, watch }
    }

    /// What each customer is known to like so far; first of all, to stay as it is.
    pub(super) fn offers(&self) -> Vec<Vec<Offer>> {
        let of_unit = |unit: &Unit| {
            let tags = 0..self.n_tags(unit);
            tags.map(|tag| self.offer(unit, tag)).collect()
        };
        self.units.iter().map(of_unit).collect()
    }

    /// How many choices of a customer are known.
    pub(super) fn n_tags(&self, unit: &Unit) -> usize {
        match &unit.parts[..] {
            [part] => self.classes[part.class].met.len(),
            _ => unit.together.len(),
        }
    }

    /// A choice of a customer: for each input that changes its class and the class's own tag.
    pub(super) fn changes<'u>(
        &self,
        unit: &'u Unit,
        tag: usize,
    ) -> impl Iterator<Item = (&'u Part, usize)> {
        let all = unit.parts.iter().zip(unit.tags(tag));
        all.filter(|(_, tag)| *tag != AS_IT_IS)
    }

    pub(super) fn offer(&self, unit: &Unit, tag: usize) -> Offer {
        Offer { tag, ..self.offer_of(unit, &unit.tags(tag)) }
    }

    /// An offer that has no tag yet, by the tags of the inputs.
    pub(super) fn offer_of(&self, unit: &Unit, tags: &[usize]) -> Offer {
        let mut counts: Vec<(usize, usize)> = Vec::new();
        let mut value = 0.0;
        for (part, tag) in unit.parts.iter().zip(tags) {
            let met = &self.classes[part.class].met[*tag];
            value += met.value;
            add_counts(&mut counts, &met.uses);
        }
        if tags.iter().any(|tag| *tag != AS_IT_IS) {
            value -= unit.visit;
        }
        let n_own = self.classes[unit.parts[0].class].ground.n_own;
        Offer { value, uses: self.uses(unit, n_own, &counts), tag: AS_IT_IS }
    }

    /// What one more panel of a kind is worth by the prices of its rows.
    pub(super) fn price_of_one(&self, stock: usize, prices: &[f64]) -> f64 {
        let price = |row: usize| prices.get(row).copied().unwrap_or(0.0);
        let cut = self.cut[stock].iter().enumerate();
        let cut: f64 = cut.filter_map(|(size, row)| Some(price((*row)?) / size as f64)).sum();
        price(stock) + cut
    }

    /// Is a row one of panels, not of pairs or threes?
    pub(super) fn is_counted(&self, row: usize) -> bool {
        self.rows[row].measure == Measure::Whole
    }

    /// What panels of some kinds use of the shared rows, ascending.
    pub(super) fn uses(
        &self,
        unit: &Unit,
        n_own: usize,
        counts: &[(usize, usize)],
    ) -> Vec<(usize, f64)> {
        let mut uses = Vec::with_capacity(counts.len());
        for (k, n) in counts {
            uses.extend(unit.row(*k, n_own).map(|row| (row, *n as f64)));
            let Some(stock) = k.checked_sub(n_own) else { continue };
            for (size, row) in self.cut[stock].iter().enumerate().filter(|(size, _)| size <= n) {
                uses.extend(row.map(|row| (row, (n / size) as f64)));
            }
        }
        uses.sort_unstable_by_key(|u| u.0);
        uses
    }
}

impl Unit {
    /// Of each input the tag of its choice.
    fn tags(&self, tag: usize) -> Vec<usize> {
        if self.parts.len() == 1 { vec![tag] } else { self.together[tag].clone() }
    }

    /// The tag of a choice by the tags of the inputs.
    pub(super) fn enter(&mut self, tags: &[usize]) -> usize {
        if let [one] = tags {
            return *one;
        }
        self.together.iter().position(|known| known == tags).unwrap_or_else(|| {
            self.together.push(tags.to_vec());
            self.together.len() - 1
        })
    }

    /// Takes in what each input likes while the others stay as they are.
    fn meet_each_alone(&mut self, classes: &[Class]) {
        for part in 0..self.parts.len() {
            for tag in 1..classes[self.parts[part].class].met.len() {
                let mut tags = vec![AS_IT_IS; self.parts.len()];
                tags[part] = tag;
                self.enter(&tags);
            }
        }
    }

    /// The shared row of a kind.
    pub(super) fn row(&self, kind: usize, n_own: usize) -> Option<usize> {
        match kind.checked_sub(n_own) {
            Some(stock) => Some(stock),
            None => self.own_rows.get(kind).copied().flatten(),
        }
    }
}

/// Adds numbers of panels kind by kind.
fn add_counts(counts: &mut Vec<(usize, usize)>, more: &[(usize, usize)]) {
    for &(kind, n) in more {
        match counts.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, count)) => *count += n,
            None => counts.push((kind, n)),
        }
    }
}

fn row(count: usize) -> SharedRow {
    SharedRow { name: "stock", limit: count as f64, measure: Measure::Whole }
}

/// Rows for a customer's own spares, where several of its inputs may draw on them.
fn own_rows_of(customer: &Customer, desk: &Desk, rows: &mut Vec<SharedRow>) -> Vec<Option<usize>> {
    if desk.inputs.len() < 2 {
        return Vec::new();
    }
    let n_kinds = customer.installation.kinds.len();
    (0..n_kinds)
        .map(|k| {
            let n = customer.installation.n_spare(crate::model::KindIdx(k));
            (n > 0).then(|| {
                rows.push(row(n));
                rows.len() - 1
            })
        })
        .collect()
}

impl Sites for Units<'_> {
    fn count(&self) -> usize {
        self.units.len()
    }

    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply> {
        let mut work = Vec::new();
        for (of, ask) in asks.iter().enumerate() {
            let unit = &self.units[ask.site];
            let tolerance = ask.tolerance / unit.parts.len() as f64;
            work.extend((0..unit.parts.len()).map(|part| {
                let terms = self.terms(unit, part, ask);
                PartAsk { of, site: ask.site, part, terms, tolerance }
            }));
        }
        let answers = self.ask_parts(&work);
        let mut replies: Vec<Joined> = asks.iter().map(|_| Joined::default()).collect();
        for (ask, answer) in work.iter().zip(answers) {
            replies[ask.of].parts.push(answer);
        }
        self.fit_together(asks, &work, &mut replies);
        asks.iter().zip(replies).map(|(ask, joined)| self.reply(ask, &joined)).collect()
    }
}

impl Crowd for Units<'_> {
    fn most_use(&self, site: usize) -> Vec<(usize, f64)> {
        let unit = &self.units[site];
        let mut counts = Vec::new();
        for part in &unit.parts {
            add_counts(&mut counts, &self.classes[part.class].ground.most_of_each());
        }
        self.uses(unit, self.classes[unit.parts[0].class].ground.n_own, &counts)
    }

    fn most_in_all(&self, site: usize) -> f64 {
        let parts = self.units[site].parts.iter();
        let most: usize = parts.map(|p| self.classes[p.class].ground.most_in_all()).sum();
        // Every panel, and all pairs and threes of them.
        most as f64 * (1.0 + 1.0 / 2.0 + 1.0 / 3.0)
    }

    fn go_on(&mut self, step: CrowdStep) -> bool {
        self.progress.at(match step {
            CrowdStep::Prices(round, gap) => Stage::Prices { round, gap },
            CrowdStep::Whole(gap) => Stage::Whole { gap },
        });
        !self.watch.is_stopped()
    }
}
