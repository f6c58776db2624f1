//! The inputs of all customers as the sites of a sharing-out.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use rayon::prelude::*;

use super::class::{Alone, Class, Priced};
use super::customer::Desk;
use super::ground::Ground;
use super::options::Progress;
use super::recall::{in_short, memories};
use super::shelf::Shelf;
use super::tariff::{Tariff, cuts};
use crate::model::InputRef;
use crate::plan::{Customer, OfferRecord, Stage, Touch};
use crate::solve::Watch;
use crate::solve::master::{Ask, Crowd, CrowdStep, Measure, Offer, Reply, SharedRow, Sites};

/// One input of one customer.
pub(super) struct Unit {
    pub customer: usize,
    pub at: InputRef,
    /// Index among the classes.
    pub class: usize,
    /// For each own kind the shared row of its spares, where several inputs draw on them.
    own_rows: Vec<Option<usize>>,
}

/// All inputs, and what they share.
pub(super) struct Units<'a> {
    pub units: Vec<Unit>,
    /// Inputs besides these that were not looked at, since the search was stopped before.
    pub n_unseen: usize,
    pub classes: Vec<Class>,
    /// The customer and the input by which each class was laid out.
    first: Vec<(usize, InputRef)>,
    /// What each kind of the stock can do by itself, by class.
    pub alone: Vec<Vec<Alone>>,
    pub rows: Vec<SharedRow>,
    /// For each kind of the stock the rows of its pairs and threes, by their size.
    cut: Vec<[Option<usize>; 4]>,
    pub shelf: &'a Shelf,
    pub progress: &'a dyn Progress,
    pub watch: Watch,
}

/// An input before it is laid out.
struct Plot {
    customer: usize,
    at: InputRef,
    key: String,
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
        let plots: Vec<Plot> = customers
            .par_iter()
            .zip(desks)
            .enumerate()
            .flat_map_iter(|(customer, (c, desk))| {
                let plot = move |at: InputRef| Plot { customer, at, key: desk.key(c, at) };
                desk.inputs.iter().copied().map(plot).collect::<Vec<_>>()
            })
            .collect();
        let mut places: HashMap<String, usize> = HashMap::new();
        let mut first: Vec<(usize, InputRef)> = Vec::new();
        let mut units = Vec::with_capacity(plots.len());
        let mut rows: Vec<SharedRow> = shelf.counts.iter().map(|n| row(*n)).collect();
        let mut cut = vec![[None; 4]; shelf.len()];
        for (stock, count) in shelf.counts.iter().enumerate() {
            for size in cuts(*count) {
                cut[stock][size] = Some(rows.len());
                rows.push(SharedRow { measure: Measure::Any, ..row(count / size) });
            }
        }
        let mut own_rows: HashMap<usize, Vec<Option<usize>>> = HashMap::new();
        for Plot { customer, at, key } in plots {
            let class = match places.entry(key) {
                Entry::Occupied(known) => *known.get(),
                Entry::Vacant(new) => {
                    first.push((customer, at));
                    *new.insert(first.len() - 1)
                }
            };
            let shared = own_rows
                .entry(customer)
                .or_insert_with(|| own_rows_of(&customers[customer], &desks[customer], &mut rows));
            units.push(Unit { customer, at, class, own_rows: shared.clone() });
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
                let terms = desk.terms.clone();
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
        let n_all = units.len();
        units.retain_mut(|unit: &mut Unit| match kept[unit.class] {
            Some(class) => {
                unit.class = class;
                true
            }
            None => false,
        });
        let (n_unseen, first) = (n_all - units.len(), asked);
        Self { units, n_unseen, classes, first, alone, rows, cut, shelf, progress, watch }
    }

    /// What each input is known to like before anything is shared; first of all, to stay as it is.
    pub(super) fn first_offers(&self) -> Vec<Vec<Offer>> {
        let of_unit = |unit: &Unit| {
            let met = 0..self.classes[unit.class].met.len();
            met.map(|tag| self.offer(unit, tag)).collect()
        };
        self.units.iter().map(of_unit).collect()
    }

    pub(super) fn offer(&self, unit: &Unit, tag: usize) -> Offer {
        let class = &self.classes[unit.class];
        let met = &class.met[tag];
        let n_own = class.ground.n_own;
        Offer { value: met.value, uses: self.uses(unit, n_own, &met.uses), tag }
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
    fn uses(&self, unit: &Unit, n_own: usize, counts: &[(usize, usize)]) -> Vec<(usize, f64)> {
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
    /// The shared row of a kind.
    pub(super) fn row(&self, kind: usize, n_own: usize) -> Option<usize> {
        match kind.checked_sub(n_own) {
            Some(stock) => Some(stock),
            None => self.own_rows.get(kind).copied().flatten(),
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

/// A question to a class, and who asks it.
struct Group<'q> {
    class: usize,
    asks: Vec<(usize, &'q Ask)>,
}

impl Sites for Units<'_> {
    fn count(&self) -> usize {
        self.units.len()
    }

    /// Units of one class with the same question get the same answer.
    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply> {
        let mut groups: HashMap<usize, Group> = HashMap::new();
        for (at, ask) in asks.iter().enumerate() {
            let class = self.units[ask.site].class;
            let group = groups.entry(class).or_insert_with(|| Group { class, asks: Vec::new() });
            group.asks.push((at, ask));
        }
        let (units, shelf, cut) = (&self.units, self.shelf, self.cut.as_slice());
        let (first, progress, watch) = (&self.first, self.progress, self.watch);
        let mut work: Vec<(&mut Class, Group)> = self
            .classes
            .iter_mut()
            .enumerate()
            .filter_map(|(class, state)| Some((state, groups.remove(&class)?)))
            .collect();
        let answers: Vec<Vec<Answer>> = work
            .par_iter_mut()
            .map(|(class, group)| {
                let mut known: Vec<(KindTerms, (Option<usize>, f64))> = Vec::new();
                let answer = |&(at, ask): &(usize, &Ask)| {
                    let terms = KindTerms::of(&units[ask.site], &class.ground, cut, ask);
                    let same = known.iter().find(|(other, _)| *other == terms);
                    let (tag, bound) = match same {
                        Some((_, answer)) => *answer,
                        None => {
                            let words = format!("{terms:?}{:?}{}", ask.tolerance, class.met.len());
                            let question = in_short(&words);
                            let answer = class.recall(question).unwrap_or_else(|| {
                                let answer = class.ask(&terms.priced(ask.tolerance, watch), shelf);
                                // An answer that was cut short is none to go on from.
                                if !watch.is_stopped() {
                                    let (customer, at) = first[group.class];
                                    let found = class.found(answer);
                                    progress.met(&OfferRecord { customer, at, question, found });
                                }
                                answer
                            });
                            known.push((terms, answer));
                            answer
                        }
                    };
                    Answer { at, tag, bound }
                };
                group.asks.iter().map(answer).collect()
            })
            .collect();
        let mut replies: Vec<Option<Reply>> = vec![None; asks.len()];
        for Answer { at, tag, bound } in answers.into_iter().flatten() {
            let unit = &self.units[asks[at].site];
            let offers = tag.map(|tag| self.offer(unit, tag)).into_iter().collect();
            replies[at] = Some(Reply { offers, bound });
        }
        replies.into_iter().map(|r| r.expect("each question was in one group")).collect()
    }
}

/// An answer to the question at a place: the tag of a choice, and the bound.
struct Answer {
    at: usize,
    tag: Option<usize>,
    bound: f64,
}

/// Prices and limits of each kind, as a question puts them.
#[derive(Debug, PartialEq)]
struct KindTerms {
    prices: Vec<Tariff>,
    caps: Vec<usize>,
    floors: Vec<(usize, usize)>,
}

impl KindTerms {
    fn of(unit: &Unit, ground: &Ground, cut: &[[Option<usize>; 4]], ask: &Ask) -> Self {
        let n_kinds = ground.caps.len();
        let mut terms = Self {
            prices: vec![Tariff::default(); n_kinds],
            caps: ground.caps.clone(),
            floors: Vec::new(),
        };
        let installed = match ground.touch {
            Touch::Free => ground.today.count_by_kind(n_kinds),
            _ => vec![0; n_kinds],
        };
        for (k, own) in installed.into_iter().enumerate() {
            let Some(row) = unit.row(k, ground.n_own) else { continue };
            // Where installed panels may be moved, a price on their kind would fall on them, too:
            // without one the bound is looser, not wrong.
            if k >= ground.n_own || ground.touch != Touch::Free {
                terms.prices[k].each = ask.prices[row];
            }
            if let Some(stock) = k.checked_sub(ground.n_own) {
                let price = |size: usize| cut[stock][size].map_or(0.0, |row| ask.prices[row]);
                terms.prices[k].pair = price(2);
                terms.prices[k].three = price(3);
            }
            if let Some(span) = ask.spans.iter().find(|s| s.row == row) {
                terms.caps[k] = terms.caps[k].min((span.most + 1e-6).max(0.0) as usize + own);
                let least = (span.least - 1e-6).ceil();
                if least > 0.0 {
                    terms.floors.push((k, least as usize + own));
                }
            }
        }
        terms
    }

    fn priced(&self, tolerance: f64, watch: Watch) -> Priced<'_> {
        let Self { prices, caps, floors } = self;
        Priced { prices, caps, floors, tolerance, watch }
    }
}

impl Crowd for Units<'_> {
    fn most_use(&self, site: usize) -> Vec<(usize, f64)> {
        let unit = &self.units[site];
        let ground = &self.classes[unit.class].ground;
        self.uses(unit, ground.n_own, &ground.most_of_each())
    }

    fn most_in_all(&self, site: usize) -> f64 {
        let most = self.classes[self.units[site].class].ground.most_in_all() as f64;
        // Every panel, and all pairs and threes of them.
        most * (1.0 + 1.0 / 2.0 + 1.0 / 3.0)
    }

    fn go_on(&mut self, step: CrowdStep) -> bool {
        self.progress.at(match step {
            CrowdStep::Prices(round, gap) => Stage::Prices { round, gap },
            CrowdStep::Whole(gap) => Stage::Whole { gap },
        });
        !self.watch.is_stopped()
    }
}
