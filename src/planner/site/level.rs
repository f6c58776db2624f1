//! The best wirings of several inputs together, at one level of touch.

use crate::model::{ArrayWiring, KindIdx};
use crate::patterns::Screening;
use crate::planner::level::Session;
use crate::planner::terms::{CountRow, Terms};
use crate::solve::Effort;
use crate::solve::master::{Aim, Measure, Offer, Pace, SharedOut, SharedRow, Start, share_out};

use super::inputs::{Input, Inputs, Met};

/// The gap at which a site's search stops at once, as a part of the gap at which it is proven.
const CLOSED: f64 = 0.2;
/// Questions to inputs in search of the best: beyond them the gap is told as it is.
const ASKS: usize = 300;
/// Questions once the gap is proven.
const ASKS_PAST_PROOF: usize = 20;
/// Nodes that one input spends once it is proven: what is left of its gap is not negligible.
const EACH_PAST_PROOF: usize = 20;

/// What the inputs draw on together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stock {
    /// Panels of each kind: installed on any of the inputs, and spares.
    pub panels: Vec<usize>,
    /// At least so many of a kind must be wired.
    pub forced: Option<(KindIdx, usize)>,
    /// At most so many panels in all.
    pub most: Option<usize>,
}

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

impl Stock {
    pub(super) fn of(panels: Vec<usize>) -> Self {
        Self { panels, forced: None, most: None }
    }

    fn rows(&self) -> (Vec<SharedRow>, Vec<CountRow>) {
        let n_kinds = self.panels.len();
        let only = |kind: usize, a: f64| {
            let mut coefficients = vec![0.0; n_kinds];
            coefficients[kind] = a;
            coefficients
        };
        let mut counted: Vec<(&'static str, CountRow)> = Vec::new();
        for (k, n) in self.panels.iter().enumerate() {
            let row = CountRow { coefficients: only(k, 1.0), most: *n as f64 };
            counted.push(("stock", row));
        }
        if let Some((kind, n)) = self.forced {
            let row = CountRow { coefficients: only(kind.0, -1.0), most: -(n as f64) };
            counted.push(("must be wired", row));
        }
        if let Some(most) = self.most {
            let row = CountRow { coefficients: vec![1.0; n_kinds], most: most as f64 };
            counted.push(("fewer panels", row));
        }
        let shared = |(name, row): &(&'static str, CountRow)| SharedRow {
            name,
            limit: row.most,
            measure: Measure::Whole,
        };
        (counted.iter().map(shared).collect(), counted.into_iter().map(|(_, row)| row).collect())
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
    pub(super) fn new(sessions: &'s [Session<'b>], effort: Effort) -> Self {
        let inputs = sessions.iter().map(|s| Input::new(s, Terms::of(s.bench))).collect();
        // Comparisons of near-ties come later, over all inputs.
        let each = Effort { tie_nodes: 0, nodes_past_proof: EACH_PAST_PROOF, ..effort };
        let closed = effort.closed.max(CLOSED * effort.proof);
        let pace = Pace {
            asks: ASKS,
            asks_past_proof: ASKS_PAST_PROOF,
            proof: effort.proof,
            closed,
            ..Pace::default()
        };
        Self { inputs: Inputs { inputs, rows: Vec::new(), effort: each }, pace, prices: Vec::new() }
    }

    /// Shares a stock out, from wirings known.
    pub(super) fn share(
        &mut self,
        stock: &Stock,
        known: &[Vec<ArrayWiring>],
        aim: Aim,
        pace: Pace,
    ) -> SharedOut {
        let (shared, counted) = stock.rows();
        let mut start: Vec<Vec<Offer>> = Vec::new();
        for input in &mut self.inputs.inputs {
            let bench = input.session.bench;
            let own = super::super::columns::installed_array(bench);
            let own = own.count_by_kind(stock.panels.len());
            // What an input may wire at most is the whole stock; its own is counted beside spares.
            let free = input.session.question.touch == crate::plan::Touch::Free;
            let spares = stock.panels.iter().zip(own).zip(&mut input.terms.spares);
            for ((all, own), spare) in spares.filter(|_| free) {
                *spare = all.saturating_sub(own);
            }
        }
        for arrays in known {
            let inputs = self.inputs.inputs.iter_mut().zip(arrays);
            let tags: Option<Vec<usize>> =
                inputs.map(|(input, array)| input.known(array)).collect();
            let offers = |tags: Vec<usize>| {
                let inputs = self.inputs.inputs.iter().zip(tags);
                inputs.map(|(input, tag)| input.offer(tag, &counted)).collect()
            };
            start.extend(tags.map(offers));
        }
        // What the stock allows of what was met before is known from the beginning.
        let within = |met: &Met| met.counts.iter().zip(&stock.panels).all(|(n, all)| n <= all);
        let offers: Vec<Vec<Offer>> = self
            .inputs
            .inputs
            .iter()
            .map(|input| {
                let tags = (0..input.met.len()).filter(|tag| within(&input.met[*tag]));
                tags.map(|tag| input.offer(tag, &counted)).collect()
            })
            .collect();
        self.inputs.rows = counted;
        let first = &self.inputs.inputs[0].session;
        let charges: f64 = first.question.charge_of(first.bench, &stock.panels);
        let start = Start {
            choices: &start,
            offers: &offers,
            prices: &self.prices,
            bound: Some(self.label_bound(stock)),
        };
        share_out(&mut self.inputs, &shared, start, -charges - 1.0, aim, pace)
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
            bound: out.bound.max(best.value),
            ties_complete: true,
        })
    }

    /// Today's wirings, the last of those known, and their charged watts, if they are allowed.
    pub(super) fn today(&mut self, known: &[Vec<ArrayWiring>]) -> Option<(Vec<ArrayWiring>, f64)> {
        let arrays = known.last()?;
        let mut charged = 0.0;
        for (input, array) in self.inputs.inputs.iter_mut().zip(arrays) {
            let tag = input.known(array)?;
            charged += input.met[tag].value;
        }
        let wired = arrays.iter().any(|a| !a.strings.is_empty());
        wired.then(|| (arrays.clone(), charged))
    }

    pub(super) fn arrays(&self, tags: &[usize]) -> Vec<ArrayWiring> {
        self.inputs.inputs.iter().zip(tags).map(|(input, tag)| input.array(*tag)).collect()
    }

    /// No wiring gives more than the labels of the panels that are worth their charge, and of those
    /// that stay anyway.
    fn label_bound(&self, stock: &Stock) -> f64 {
        let first = self.inputs.inputs[0].session;
        let free = first.question.touch == crate::plan::Touch::Free && stock.forced.is_none();
        let kinds = &first.bench.installation.kinds;
        let net = |k: usize| {
            let label = kinds[k].label;
            (label.v_mp * label.i_mp).watts() - first.question.charge(first.bench, k)
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
