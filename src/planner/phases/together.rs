//! Phases planned together, work between them aside: the master shares panels and money out.
//!
//! Every input in every phase is a site of [`crate::solve::master`]; what a panel bought in one phase
//! means for the others, and what all of them may cost, are the rows that they share.

use super::unit::Unit;
use crate::planner::terms::CountRow;
use crate::solve::Effort;
use crate::solve::master::{
    Aim, Ask, Measure, Offer, Pace, Reply, SharedOut, SharedRow, Sites, Start, share_out,
};

/// Questions to inputs in search of the best: beyond them the gap is told as it is.
const ASKS: usize = 150;
/// Questions once the gap is proven.
const ASKS_PAST_PROOF: usize = 12;
/// Nodes that one input spends once it is proven.
const EACH_PAST_PROOF: usize = 20;
/// Nodes and steps that one input spends on a question: some, of many strings that must stay, would
/// take as long as all others together.
const EACH_NODES: usize = 400;
const EACH_STEPS: usize = 1_000_000;
/// The gap at which a search stops at once, as a part of the gap at which it is proven.
const CLOSED: f64 = 0.2;

/// One phase as a part of the whole.
pub(super) struct Part<'u, 's, 'b> {
    pub units: &'u mut [Unit<'s, 'b>],
    /// Panels of each kind that can be wired.
    pub stock: Vec<usize>,
    /// What a watt in this phase is worth: the years that it lasts.
    pub years: f64,
    /// What a panel of each kind costs here besides its charge. \[W\]
    pub prices: Vec<f64>,
}

/// A row over panels: for each part the coefficient of each kind, if it has any.
#[derive(Clone)]
pub(super) struct Row {
    pub name: &'static str,
    pub coefficients: Vec<Option<Vec<f64>>>,
    pub most: f64,
    pub measure: Measure,
}

impl Row {
    /// Exactly the part that a row speaks of, if it is one alone.
    fn only_part(&self) -> Option<usize> {
        let mut parts = self.coefficients.iter().enumerate().filter(|(_, c)| c.is_some());
        let (first, _) = parts.next()?;
        parts.next().is_none().then_some(first)
    }
}

/// Plans some phases together. The bound is on years times values less prices, of every choice; the
/// tags are those of the best choices, input by input.
pub(super) fn plan_together(parts: &mut [Part], rows: Vec<Row>, effort: Effort) -> SharedOut {
    let n_kinds = parts.first().map_or(0, |p| p.prices.len());
    let mut shared: Vec<Row> = stock_rows(parts, n_kinds);
    // A row over one input alone is that input's own.
    for row in rows {
        match row.only_part() {
            Some(p) if parts[p].units.len() == 1 => {
                let coefficients = row.coefficients[p].clone().unwrap_or_default();
                let most = row.most;
                parts[p].units[0].terms.counted.push(CountRow { coefficients, most });
            }
            Some(_) | None => shared.push(row),
        }
    }
    let out = share(parts, &shared, effort);
    let units = parts.iter_mut().flat_map(|part| part.units.iter_mut());
    units.for_each(|unit| unit.terms.counted.clear());
    out
}

/// Where a phase has several inputs, they share its stock.
fn stock_rows(parts: &[Part], n_kinds: usize) -> Vec<Row> {
    let mut rows = Vec::new();
    for (p, part) in parts.iter().enumerate().filter(|(_, p)| p.units.len() > 1) {
        for (k, &most) in part.stock.iter().enumerate() {
            let mut coefficients = vec![None; parts.len()];
            coefficients[p] = Some(only(k, 1.0, n_kinds));
            rows.push(Row {
                name: "stock",
                coefficients,
                most: most as f64,
                measure: Measure::Whole,
            });
        }
    }
    rows
}

/// A coefficient on one kind alone.
pub(super) fn only(kind: usize, a: f64, n_kinds: usize) -> Vec<f64> {
    let mut coefficients = vec![0.0; n_kinds];
    coefficients[kind] = a;
    coefficients
}

fn share(parts: &mut [Part], shared: &[Row], effort: Effort) -> SharedOut {
    let n_kinds = parts.first().map_or(0, |p| p.prices.len());
    let rows: Vec<SharedRow> = shared
        .iter()
        .map(|row| SharedRow { name: row.name, limit: row.most, measure: row.measure })
        .collect();
    let mut least = -1.0;
    for part in parts.iter() {
        let session = part.units[0].session;
        let stock = part.prices.iter().zip(&part.stock);
        let prices: f64 = stock.map(|(p, n)| p.max(0.0) * *n as f64).sum();
        least -= part.years * (session.question.charge_of(session.bench, &part.stock) + prices);
    }
    let mut sites = Vec::new();
    for (p, part) in parts.iter().enumerate() {
        let mut counted: Vec<CountRow> = shared
            .iter()
            .map(|row| CountRow {
                coefficients: row.coefficients[p].clone().unwrap_or_else(|| vec![0.0; n_kinds]),
                most: row.most,
            })
            .collect();
        counted.push(CountRow { coefficients: part.prices.clone(), most: f64::INFINITY });
        sites.extend((0..part.units.len()).map(|input| (p, input, counted.clone())));
    }
    let watch = effort.watch.quietly();
    let each = Effort {
        nodes: effort.nodes.min(EACH_NODES),
        nodes_past_proof: EACH_PAST_PROOF,
        all_steps: effort.all_steps.min(EACH_STEPS),
        tie_nodes: 0,
        watch,
        ..effort
    };
    let mut team = Team { parts, sites, effort: each };
    let pace = Pace {
        asks: ASKS,
        asks_past_proof: ASKS_PAST_PROOF,
        proof: effort.proof,
        closed: effort.closed.max(CLOSED * effort.proof),
        watch,
        ..Pace::default()
    };
    share_out(&mut team, &rows, Start::default(), least, Aim::Most, pace)
}

/// All inputs of all parts.
struct Team<'p, 'u, 's, 'b> {
    parts: &'p mut [Part<'u, 's, 'b>],
    /// Part and input of each site, and its uses of the shared rows; the last row is what it pays.
    sites: Vec<(usize, usize, Vec<CountRow>)>,
    effort: Effort,
}

impl Team<'_, '_, '_, '_> {
    fn offer(&self, site: usize, tag: usize) -> Offer {
        let (p, input, rows) = &self.sites[site];
        let part = &self.parts[*p];
        let unit = &part.units[*input];
        let offer = unit.offer(tag, rows);
        let paid = rows.last().map_or(0.0, |row| row.used(&unit.met[tag].counts));
        let uses = offer.uses.into_iter().filter(|(row, _)| row + 1 < rows.len()).collect();
        Offer { value: part.years * (offer.value - paid), uses, tag }
    }

    fn reply(&mut self, ask: &Ask) -> Reply {
        let (p, input, rows) = &self.sites[ask.site];
        let part = &mut self.parts[*p];
        let years = part.years;
        let mut prices: Vec<f64> = ask.prices.iter().map(|y| y / years).collect();
        prices.push(1.0);
        let inner = Ask { prices, tolerance: ask.tolerance / years, ..ask.clone() };
        let reply = part.units[*input].reply(&inner, rows, self.effort);
        let tags: Vec<usize> = reply.offers.iter().map(|o| o.tag).collect();
        let offers = tags.into_iter().map(|tag| self.offer(ask.site, tag)).collect();
        Reply { offers, bound: years * reply.bound }
    }
}

impl Sites for Team<'_, '_, '_, '_> {
    fn count(&self) -> usize {
        self.sites.len()
    }

    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply> {
        asks.iter().map(|ask| self.reply(ask)).collect()
    }
}
