//! The best wirings of several inputs together, at one level of touch.

use crate::model::{ArrayWiring, KindIdx};
use crate::patterns::Screening;
use crate::plan::charging_flows;
use crate::planner::level::{Session, label_bound};
use crate::solve::Effort;
use crate::solve::master::{Aim, Offer, Pace, SharedOut, SharedRow, Start, share_out};

use super::batteries::{Case, cases};
use super::inputs::{Allowed, Input, Inputs};
use super::rows::SiteRow;
pub(super) use super::rows::Stock;

/// The gap at which a site's search stops at once, as a part of the gap at which it is proven.
const CLOSED: f64 = 0.2;
/// Questions to inputs in search of the best: beyond them the gap is told as it is.
const ASKS: usize = 300;
/// Questions once the gap is proven.
const ASKS_PAST_PROOF: usize = 20;
/// Nodes that one input spends once it is proven: what is left of its gap is not negligible.
const EACH_PAST_PROOF: usize = 20;

/// Prices to begin with, as a part of what a panel could bring at most.
const FIRST_PRICE: f64 = 0.97;

/// Wirings and what is proven about them.
#[derive(Clone)]
pub(super) struct SiteLevel {
    /// One for each input that is planned.
    pub arrays: Vec<ArrayWiring>,
    /// Watts less charges, by the arithmetic asked for. \[W\]
    pub charged: f64,
    /// No wirings have more charged watts. \[W\]
    pub bound: f64,
    /// Were all near-ties compared for their number of panels?
    pub ties_complete: bool,
}

/// What came of a level.
pub(super) enum SiteAnswer {
    Found(SiteLevel),
    /// None keeps the limits: an input for which that is so, and its nearest misses.
    NoWiring(usize, Screening),
    LimitReached,
}

impl SiteLevel {
    /// Gap between the bound and these wirings, as a fraction of their charged watts.
    pub(super) fn gap(&self) -> f64 {
        ((self.bound - self.charged) / self.charged.abs().max(1.0)).max(0.0)
    }
}

/// A search of one level: choices that it has met stay known.
pub(super) struct Search<'s, 'b> {
    pub inputs: Inputs<'s, 'b>,
    pub pace: Pace,
    /// Prices of panels to ask at first, where a like question has been answered.
    pub prices: Vec<f64>,
}

impl<'s, 'b> Search<'s, 'b> {
    /// `controller_watts` is what a spare controller must bring. \[W\]
    pub(super) fn new(sessions: &'s [Session<'b>], controller_watts: f64, effort: Effort) -> Self {
        let mut inputs: Vec<Input> = Vec::with_capacity(sessions.len());
        for (place, session) in sessions.iter().enumerate() {
            let input = spare_input(session, place, controller_watts, &inputs);
            inputs.push(input.unwrap_or_else(|| Input::new(session, place, 0.0)));
        }
        // Comparisons of near-ties come later, over all inputs.
        let watch = effort.watch.quietly();
        let each = Effort { tie_nodes: 0, nodes_past_proof: EACH_PAST_PROOF, watch, ..effort };
        let closed = effort.closed.max(CLOSED * effort.proof);
        let pace = Pace {
            asks: ASKS,
            asks_past_proof: ASKS_PAST_PROOF,
            proof: effort.proof,
            closed,
            watch: effort.watch,
            ..Pace::default()
        };
        Self { inputs: Inputs::new(inputs, each), pace, prices: Vec::new() }
    }

    /// Shares a stock out, from wirings known.
    pub(super) fn share(
        &mut self,
        stock: &Stock,
        known: &[Vec<ArrayWiring>],
        aim: Aim,
        pace: Pace,
    ) -> SharedOut {
        self.set_out(stock);
        let mut all: Option<SharedOut> = None;
        for case in cases(stock, &self.inputs.inputs) {
            let out = self.share_case(stock, &case, known, aim, pace);
            all = Some(match all {
                None => out,
                Some(before) => better(before, out),
            });
        }
        all.expect("there is one case at least")
    }

    /// What of the stock each input may use.
    fn set_out(&mut self, stock: &Stock) {
        for input in &mut self.inputs.inputs {
            input.terms.counted.clone_from(&stock.shared);
            let bench = input.session.bench;
            let own = super::super::columns::installed_array(bench);
            let own = own.count_by_kind(stock.panels.len());
            // What an input may wire at most is the whole stock; its own is counted beside spares.
            let free = input.session.question.touch == crate::plan::Touch::Free;
            let spares = stock.panels.iter().zip(own).zip(&mut input.terms.spares);
            for ((all, own), spare) in spares.filter(|_| free) {
                *spare = all.saturating_sub(own);
            }
            let controller = bench.at.controller;
            input.allowed = if stock.closed.contains(&controller) {
                Allowed::Not
            } else if stock.must == Some(controller) && input.after.is_none() {
                Allowed::Surely
            } else {
                Allowed::Freely
            };
        }
    }

    fn share_case(
        &mut self,
        stock: &Stock,
        case: &Case,
        known: &[Vec<ArrayWiring>],
        aim: Aim,
        pace: Pace,
    ) -> SharedOut {
        for (input, push) in self.inputs.inputs.iter_mut().zip(&case.pushes) {
            input.push = *push;
        }
        let rows = stock.rows(case.limit, &self.inputs.inputs);
        let shared: Vec<SharedRow> = rows.iter().map(|row| row.shared.clone()).collect();
        let mut start: Vec<Vec<Offer>> = Vec::new();
        for arrays in known {
            let inputs = self.inputs.inputs.iter_mut().zip(arrays);
            let tags: Option<Vec<usize>> = inputs
                .map(|(input, array)| input.known(array).filter(|tag| input.may_take(*tag)))
                .collect();
            let offers = |tags: Vec<usize>| {
                let inputs = self.inputs.inputs.iter().zip(tags);
                inputs.map(|(input, tag)| input.offer(tag, &rows)).collect()
            };
            start.extend(tags.map(offers));
        }
        let offers = self.met_within(stock, &rows);
        self.inputs.ask_about(rows);
        let first = &self.inputs.inputs[0].session;
        let charges: f64 = first.question.charge_of(first.bench, &stock.panels);
        let entries: f64 = self.inputs.inputs.iter().map(|input| input.entry).sum();
        let prices =
            if self.prices.is_empty() { self.prices_by_label(stock) } else { self.prices.clone() };
        let start = Start {
            choices: &start,
            offers: &offers,
            prices: &prices,
            bound: Some(self.label_bound(stock)),
        };
        share_out(&mut self.inputs, &shared, start, -charges - entries - 1.0, aim, pace)
    }

    /// What the stock allows of what was met before is known from the beginning.
    fn met_within(&self, stock: &Stock, rows: &[SiteRow]) -> Vec<Vec<Offer>> {
        let of_input = |input: &Input| {
            let within = |tag: &usize| {
                let counts = &input.met[*tag].counts;
                counts.iter().zip(&stock.panels).all(|(n, all)| n <= all)
                    && stock.keeps_shared(counts)
                    && input.may_take(*tag)
            };
            (0..input.met.len()).filter(within).map(|tag| input.offer(tag, rows)).collect()
        };
        self.inputs.inputs.iter().map(of_input).collect()
    }

    /// The best wirings, near-ties aside.
    pub(super) fn best(&mut self, stock: &Stock, known: &[Vec<ArrayWiring>]) -> SiteAnswer {
        let out = self.share(stock, known, Aim::Most, self.pace);
        self.prices = out.prices[..stock.panels.len()].to_vec();
        let Some(best) = out.best else {
            if !out.complete {
                return SiteAnswer::LimitReached;
            }
            let at = self.without_wiring();
            let screening = self.inputs.inputs[at].session.candidates.screening.clone();
            return SiteAnswer::NoWiring(at, screening);
        };
        SiteAnswer::Found(SiteLevel {
            arrays: self.arrays(&best.tags),
            charged: best.value,
            bound: self.bound_of_all(stock, out.bound).max(best.value),
            ties_complete: true,
        })
    }

    /// A bound on the strings that are listed as one on all there are.
    fn bound_of_all(&self, stock: &Stock, listed: f64) -> f64 {
        let narrowed = |input: &Input| input.session.candidates.narrowed.is_some();
        if !self.inputs.inputs.iter().any(narrowed) {
            return listed;
        }
        let of_labels = self.label_bound(stock);
        if of_labels.is_finite() {
            return of_labels;
        }
        let each =
            self.inputs.inputs.iter().map(|input| {
                label_bound(input.session.bench, &input.session.question, &input.terms)
            });
        each.sum()
    }

    /// Today's wirings, the last of those known, and their charged watts, if they are allowed.
    pub(super) fn today(&mut self, known: &[Vec<ArrayWiring>]) -> Option<(Vec<ArrayWiring>, f64)> {
        let arrays = known.last()?;
        let mut charged = 0.0;
        for (input, array) in self.inputs.inputs.iter_mut().zip(arrays) {
            let tag = input.known(array)?;
            charged += input.met[tag].value;
        }
        // What breaches the battery's limit as it stands cannot stay.
        let installation = self.inputs.inputs[0].session.bench.installation;
        let flows = charging_flows(installation, &installation.installed);
        let flow: f64 = flows.iter().map(|(_, amps)| amps.amps()).sum();
        let kept = installation.site.battery_charge;
        let kept = kept.is_none_or(|limit| flow <= limit.amps() * (1.0 + 1e-9));
        let wired = kept && arrays.iter().any(|a| !a.strings.is_empty());
        wired.then(|| (arrays.clone(), charged))
    }

    pub(super) fn arrays(&self, tags: &[usize]) -> Vec<ArrayWiring> {
        self.inputs.inputs.iter().zip(tags).map(|(input, tag)| input.array(*tag)).collect()
    }

    /// Prices to begin with: a little less than each panel's own watts less its charge, which is about
    /// what it brings where all find a place.
    fn prices_by_label(&self, stock: &Stock) -> Vec<f64> {
        let first = self.inputs.inputs[0].session;
        let net =
            |k: usize| first.bench.most_watts(KindIdx(k)) - first.question.charge(first.bench, k);
        (0..stock.panels.len()).map(|k| FIRST_PRICE * net(k).max(0.0)).collect()
    }

    /// No wiring gives more than the panels that are worth their charge would by themselves, and those
    /// that stay anyway.
    fn label_bound(&self, stock: &Stock) -> f64 {
        let first = self.inputs.inputs[0].session;
        let free = first.question.touch == crate::plan::Touch::Free;
        let kinds = &first.bench.installation.kinds;
        let net = |k: usize| {
            first.question.own_value(first.bench, k) - first.question.charge(first.bench, k)
        };
        let sum: f64 =
            stock.panels.iter().enumerate().map(|(k, n)| *n as f64 * net(k).max(0.0)).sum();
        if free || kinds.iter().enumerate().all(|(k, _)| net(k) >= 0.0) {
            sum
        } else {
            f64::INFINITY
        }
    }

    /// The first input that has no wiring even with the whole stock, or the first of all.
    fn without_wiring(&self) -> usize {
        let has_one = |input: &Input| !input.met.is_empty();
        self.inputs.inputs.iter().position(|input| !has_one(input)).unwrap_or(0)
    }
}

/// The input of a spare controller; `None` for one that is installed.
fn spare_input<'s, 'b>(
    session: &'s Session<'b>,
    place: usize,
    controller_watts: f64,
    before: &[Input<'s, 'b>],
) -> Option<Input<'s, 'b>> {
    let at = session.bench.at;
    let spare = session.bench.controller().spare.as_ref()?;
    let after = before.iter().position(|b| {
        let other = b.session.bench.at;
        other.controller == at.controller && other.input + 1 == at.input
    });
    // Inputs of one number on controllers of one sort.
    let alike = before.iter().position(|b| {
        let other = b.session.bench.controller().spare.as_ref();
        other.is_some_and(|o| o.sort == spare.sort) && b.session.bench.at.input == at.input
    });
    let entry = if after.is_none() { controller_watts } else { 0.0 };
    let alike = Some(alike.unwrap_or(place));
    let mut input = Input::new(session, place, entry);
    (input.alike, input.after) = (alike, after);
    Some(input)
}

/// Of two cases that exclude each other the better choice, and what bounds both.
fn better(a: SharedOut, b: SharedOut) -> SharedOut {
    let value = |out: &SharedOut| out.best.as_ref().map_or(f64::NEG_INFINITY, |best| best.value);
    let (bound, complete) = (a.bound.max(b.bound), a.complete && b.complete);
    let asks = a.asks + b.asks;
    let best = if value(&b) > value(&a) { b } else { a };
    SharedOut { bound, complete, asks, ..best }
}
