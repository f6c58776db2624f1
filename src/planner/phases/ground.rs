//! One phase under the controllers that are then in use: what can be wired there.

use std::collections::{BTreeSet, HashSet};

use super::orders::on_site;
use super::supply::Supply;
use super::unit::{Found, Unit};
use super::year::Year;
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, InputRef, InputWiring, Installation, KindIdx, Spare};
use crate::patterns::Bench;
use crate::plan::{Evaluator, Touch};
use crate::planner::level::Session;
use crate::planner::site::{movable, seen_from};
use crate::planner::terms::{Question, Terms};
use crate::solve::Choice;

/// One phase under some controllers, before its candidates are listed.
pub(super) struct Lot {
    pub phase: usize,
    /// Controllers on offer that are in use, in the order in which they came.
    pub in_use: Vec<usize>,
    /// The site then, as wired today, with all that can be had by then as spares.
    pub site: Installation,
    pub inputs: Vec<InputRef>,
    /// The site as it looks from each input.
    seen: Vec<Installation>,
}

/// A wiring of all inputs that may be rewired.
#[derive(Debug, Clone)]
pub(super) struct Stand {
    pub wiring: Vec<InputWiring>,
    /// Watts less charges, or the value of a year's energy less the same. \[W\]
    pub charged: f64,
    /// Panels of each kind.
    pub counts: Vec<usize>,
}

impl Stand {
    pub(super) fn n_panels(&self) -> usize {
        self.counts.iter().sum()
    }
}

impl Lot {
    pub(super) fn new(
        mut site: Installation,
        supply: &Supply,
        touch: Touch,
        phase: usize,
        in_use: Vec<usize>,
    ) -> Self {
        let inputs = movable(&site);
        let installed = installed_on(&site, &inputs);
        let stock = supply.stock(phase);
        let spare = |(k, n): (usize, &usize)| Spare {
            kind: KindIdx(k),
            count: n - installed[k],
            price: None,
            places: Vec::new(),
        };
        site.spares = stock.iter().enumerate().map(spare).filter(|s| s.count > 0).collect();
        let seen = seen_from(&site, &inputs, touch);
        Self { phase, in_use, site, inputs, seen }
    }

    pub(super) fn benches<'b>(&'b self, catalog: &'b Catalog) -> Vec<Bench<'b>> {
        let inputs = self.inputs.iter().zip(&self.seen);
        inputs.map(|(at, seen)| Bench::new(seen, catalog, *at)).collect()
    }
}

fn installed_on(site: &Installation, inputs: &[InputRef]) -> Vec<usize> {
    let mut counts = vec![0; site.kinds.len()];
    for wiring in site.installed.iter().filter(|w| inputs.contains(&w.at)) {
        let own = wiring.array.count_by_kind(counts.len());
        counts.iter_mut().zip(own).for_each(|(sum, n)| *sum += n);
    }
    counts
}

/// Candidates of every input of a lot.
pub(super) fn sessions<'b>(benches: &'b [Bench<'b>], question: Question<'b>) -> Vec<Session<'b>> {
    benches.iter().map(|bench| Session::new(bench, question)).collect()
}

/// One phase under some controllers, with what was met there.
pub(super) struct Ground<'b> {
    pub lot: &'b Lot,
    pub inputs: Vec<Unit<'b, 'b>>,
    /// Reckons energy, where that is sought.
    pub year: Option<Year<'b>>,
    /// Wirings of the whole site met so far.
    pub stands: Vec<Stand>,
    /// Wirings before, and panels, after which wirings of few joints were looked for.
    pub asked: HashSet<(Vec<InputWiring>, Vec<usize>)>,
    seen: BTreeSet<Vec<ArrayWiring>>,
    /// Is nothing at all a wiring, too? Not where today's may stay.
    may_be_empty: bool,
}

impl<'b> Ground<'b> {
    pub(super) fn new(lot: &'b Lot, sessions: &'b [Session<'b>], year: Option<Year<'b>>) -> Self {
        // What several inputs push into one battery is held against its limit wiring by wiring.
        let alone = sessions.len() == 1;
        let terms = |bench| {
            let terms = Terms::of(bench);
            if alone { terms } else { Terms { charging: None, ..terms } }
        };
        let inputs = sessions.iter().map(|s| Unit::new(s, terms(s.bench))).collect();
        Self {
            lot,
            inputs,
            year,
            stands: Vec::new(),
            asked: HashSet::new(),
            seen: BTreeSet::new(),
            may_be_empty: false,
        }
    }

    /// Enters a wiring by the tags of its inputs' choices.
    pub(super) fn enter(&mut self, tags: &[usize]) {
        let met = self.inputs.iter().zip(tags).map(|(input, tag)| &input.met[*tag]);
        let choices: Vec<Choice> = met.clone().map(|met| met.choice.clone()).collect();
        let watts = met.map(|met| met.value).sum();
        self.enter_choices(&choices, watts);
    }

    /// Enters a wiring by its inputs' choices; `watts` less charges is what it gives, if they are sought.
    pub(super) fn enter_choices(&mut self, choices: &[Choice], watts: f64) {
        let sessions = self.inputs.iter().map(|input| input.session).zip(choices);
        let arrays: Vec<ArrayWiring> =
            sessions.clone().map(|(s, choice)| s.candidates.wiring_of(choice)).collect();
        let empty = arrays.iter().all(|a| a.strings.is_empty());
        if (empty && !self.may_be_empty)
            || !self.seen.insert(arrays.iter().map(ArrayWiring::canonical).collect())
        {
            return;
        }
        let mut counts = vec![0; self.lot.site.kinds.len()];
        for (session, choice) in sessions {
            counts.iter_mut().zip(session.counts(choice)).for_each(|(sum, n)| *sum += n);
        }
        let at = self.lot.inputs.iter();
        let wiring: Vec<InputWiring> =
            at.zip(arrays).map(|(at, array)| InputWiring { at: *at, array }).collect();
        if !self.battery_takes(&wiring) {
            return;
        }
        let charged = match &self.year {
            None => watts,
            Some(year) => {
                let first = self.inputs[0].session;
                let charge = year.question(first.question).charge_of(first.bench, &counts);
                year.value(&on_site(&self.lot.site, &wiring)) - charge
            }
        };
        self.stands.push(Stand { wiring, charged, counts });
    }

    /// Does the battery take what several inputs push into it together?
    fn battery_takes(&self, wiring: &[InputWiring]) -> bool {
        let site = &self.lot.site;
        let [first, _, ..] = &self.inputs[..] else { return true };
        if site.site.battery_charge.is_none() {
            return true;
        }
        let evaluator = Evaluator::new(site, first.session.bench.catalog);
        !evaluator.state(&on_site(site, wiring)).breaches()
    }

    /// Enters a wiring of another phase with the same controllers, if its panels are there.
    pub(super) fn take(&mut self, stand: &Stand) {
        let fits = stand.counts.iter().zip(self.stock()).all(|(n, stock)| *n <= stock);
        let arrays = stand.wiring.iter().map(|w| w.array.canonical()).collect();
        if fits && self.seen.insert(arrays) {
            self.stands.push(stand.clone());
        }
    }

    /// Enters choices that were found.
    pub(super) fn enter_found(&mut self, found: &[Found]) {
        found.iter().for_each(|(choices, value)| self.enter_choices(choices, *value));
    }

    /// The tags of a wiring, if it is allowed here.
    pub(super) fn known(&mut self, wiring: &[InputWiring]) -> Option<Vec<usize>> {
        let strange =
            wiring.iter().any(|w| !w.array.strings.is_empty() && !self.lot.inputs.contains(&w.at));
        if strange {
            return None;
        }
        let none = ArrayWiring::default();
        let tags: Option<Vec<usize>> = self
            .lot
            .inputs
            .iter()
            .zip(&mut self.inputs)
            .map(|(at, input)| {
                let here = wiring.iter().find(|w| w.at == *at);
                input.known(here.map_or(&none, |w| &w.array))
            })
            .collect();
        let tags = tags?;
        // Each input sees the whole stock: together they may take no more than there is.
        let stock = self.stock();
        let fits = (0..stock.len()).all(|k| {
            let used: usize =
                self.inputs.iter().zip(&tags).map(|(i, tag)| i.met[*tag].counts[k]).sum();
            used <= stock[k]
        });
        fits.then_some(tags)
    }

    /// Enters a wiring known from elsewhere, if it is allowed here.
    pub(super) fn offer(&mut self, wiring: &[InputWiring]) {
        if let Some(tags) = self.known(wiring) {
            self.enter(&tags);
        }
    }

    /// Enters today's wiring; nothing at all where nothing is wired, or where that must not stay.
    pub(super) fn begin(&mut self, today: &[InputWiring]) {
        let wired = today.iter().any(|w| !w.array.strings.is_empty());
        match self.known(today).filter(|_| wired) {
            Some(tags) => self.enter(&tags),
            None => {
                self.may_be_empty = true;
                self.offer(&[]);
            }
        }
    }

    /// Panels of each kind that can be wired here.
    pub(super) fn stock(&self) -> Vec<usize> {
        let installed = installed_on(&self.lot.site, &self.lot.inputs);
        let spare = |k: usize| self.lot.site.n_spare(KindIdx(k));
        installed.iter().enumerate().map(|(k, n)| n + spare(k)).collect()
    }
}
