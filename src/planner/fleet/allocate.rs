//! The whole way: inputs laid out, the stock shared out, the wirings judged.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::aside::left_aside;
use super::ceiling::ceiling;
use super::customer::desks;
use super::options::{FleetFailure, FleetOptions, Progress};
use super::outcome::{Judge, Judged};
use super::sharing::shared_out;
use super::shelf::Shelf;
use super::stock::stock_answers;
use super::units::Units;
use crate::model::{ArrayWiring, InputRef, StockItem};
use crate::plan::{Allocation, Customer, FleetAim, OfferRecord, SiteAllotment, Stage};
use crate::solve::master::SharedOut;
use crate::units::Watts;

/// Shares a stock out among customers so that the aim is most.
///
/// `known` are wirings that an earlier search of the same told [`Progress::met`].
///
/// # Errors
/// [`FleetFailure`] if a label has no curve, or a wiring does not stand the audit.
pub fn allocate(
    customers: &[Customer],
    stock: &[StockItem],
    options: &FleetOptions,
    known: &[OfferRecord],
    progress: &dyn Progress,
) -> Result<Allocation, FleetFailure> {
    let shelf = Shelf::new(stock)?;
    let desks = desks(customers, stock, options)?;
    let mut units = Units::new(customers, &desks, &shelf, known, (progress, options.watch));
    let shared = shared_out(&mut units, options);
    let judge = Judge { customers, desks: &desks, stock, shelf: &shelf, options };
    judge.allocation(&units, &shared)
}

impl Judge<'_> {
    fn allocation(&self, units: &Units, shared: &SharedOut) -> Result<Allocation, FleetFailure> {
        let tags: Vec<usize> = shared.best.as_ref().map_or_else(Vec::new, |best| best.tags.clone());
        // New arrays by customer.
        let mut arrays: BTreeMap<usize, (BTreeMap<InputRef, ArrayWiring>, String)> =
            BTreeMap::new();
        for (unit, tag) in units.units.iter().zip(&tags) {
            for (part, tag) in units.changes(unit, *tag) {
                let class = &units.classes[part.class];
                let array = class.ground.wiring(&class.met[tag].picked);
                let entry = arrays.entry(unit.customer).or_default();
                entry.0.insert(part.at, array);
                entry.1.clone_from(&class.ground.menu.searched);
            }
        }
        let of = arrays.len();
        let done = std::sync::atomic::AtomicUsize::new(0);
        let work: Vec<_> = arrays.into_iter().collect();
        let judged: Vec<Judged> = work
            .into_par_iter()
            .map(|(customer, (arrays, searched))| {
                let judged = self.judge(customer, &arrays, searched);
                let done = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                units.progress.at(Stage::Audit { done, of });
                judged
            })
            .collect::<Result<_, _>>()?;
        let charged: f64 = judged.iter().map(|j| j.charged).sum();
        let sites: Vec<_> = judged.into_iter().map(|j| j.allotment).collect();
        let value: f64 = sites.iter().map(|s| s.value).sum();
        let stopped = units.n_unseen > 0 || (!shared.complete && self.options.watch.is_stopped());
        let known = if units.n_unseen > 0 { f64::INFINITY } else { shared.bound };
        let labels = if stopped {
            ceiling(self.customers, self.desks, self.stock, self.options)
        } else {
            f64::INFINITY
        };
        let bound = known.min(labels).max(charged);
        let gap = (bound - charged) / charged.abs().max(1.0);
        Ok(Allocation {
            stock: stock_answers(units, &tags, &shared.prices),
            aim: self.options.aim,
            value,
            // What was searched by are values less charges: these compare.
            bound: bound + value - charged,
            gap,
            proven: gap <= self.options.gap,
            added: sites.iter().map(SiteAllotment::added).sum::<Watts>(),
            stopped,
            notes: self.notes(units),
            sites,
        })
    }

    fn notes(&self, units: &Units) -> Vec<String> {
        let mut notes = Vec::new();
        if units.n_unseen > 0 {
            let inputs = inputs(units.n_unseen);
            notes.push(format!(
                "The time was over before anybody looked at {inputs}: nothing was placed there, and \
                 the bound is that of the labels."
            ));
        }
        if self.options.aim == FleetAim::Margin {
            let silent = self.desks.iter().filter(|d| d.watt.is_none()).count();
            if silent > 0 {
                notes.push(format!(
                    "{}: nothing was placed there. Write it into the site file \
                     (`worth_per_watt`), or say it of all with `--worth-per-watt`.",
                    if silent == 1 {
                        "One site does not say what a watt is worth there".to_owned()
                    } else {
                        format!("{silent} sites do not say what a watt is worth there")
                    }
                ));
            }
            let unpriced = self.stock.iter().filter(|item| item.price.is_none()).count();
            if unpriced > 0 {
                notes.push(if unpriced == 1 {
                    "One kind of the stock has no price: it was taken to cost nothing.".to_owned()
                } else {
                    format!(
                        "{unpriced} kinds of the stock have no price: they were taken to cost nothing."
                    )
                });
            }
        }
        let mut searched: BTreeMap<&str, usize> = BTreeMap::new();
        let parts = || units.units.iter().flat_map(|unit| &unit.parts);
        for part in parts() {
            let words = units.classes[part.class].ground.menu.searched.as_str();
            if !words.is_empty() {
                *searched.entry(words).or_default() += 1;
            }
        }
        notes.extend(searched.into_iter().map(|(words, n)| {
            format!(
                "Too many wirings to list them all on {}: searched {words}; the bound holds within that.",
                inputs(n)
            )
        }));
        notes.extend(left_aside(self.customers));
        let unsound = parts().filter(|part| !units.classes[part.class].ground.sound).count();
        if unsound > 0 {
            let have = if unsound == 1 { "has" } else { "have" };
            notes.push(format!(
                "{} {have} an installed string that breaks a limit and may not be rewired: nothing \
                 was placed there.",
                inputs(unsound)
            ));
        }
        notes
    }
}

/// `1 input` or `3 inputs`.
fn inputs(n: usize) -> String {
    if n == 1 { "1 input".to_owned() } else { format!("{n} inputs") }
}
