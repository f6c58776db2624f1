//! One input in one phase as a site of a sharing-out: it plans itself at given prices.

use std::collections::HashMap;

use super::judge::Judge;
use crate::model::ArrayWiring;
use crate::planner::columns::installed_array;
use crate::planner::level::{Session, label_bound};
use crate::planner::terms::{CountRow, Terms};
use crate::solve::master::{Ask, Offer, Reply};
use crate::solve::{Choice, Effort, NoMoves, maximise};

/// One input in one phase.
pub(super) struct Unit<'s, 'b> {
    pub session: &'s Session<'b>,
    /// Its own limits, and the whole stock as its spares.
    pub terms: Terms,
    /// Choices met so far; a tag points here.
    pub met: Vec<Met>,
    /// Says what choices are worth that are bounded by ceilings.
    pub judge: Option<Judge<'s>>,
    tags: HashMap<Choice, usize>,
}

/// A choice of one input.
pub(super) struct Met {
    pub choice: Choice,
    /// Watts less charges. \[W\]
    pub value: f64,
    /// Panels of each kind.
    pub counts: Vec<usize>,
}

impl<'s, 'b> Unit<'s, 'b> {
    pub(super) fn new(session: &'s Session<'b>, terms: Terms) -> Self {
        Self { session, terms, met: Vec::new(), judge: None, tags: HashMap::new() }
    }

    /// Tag of a choice that was met.
    pub(super) fn tag_of(&self, choice: &Choice) -> Option<usize> {
        self.tags.get(choice).copied()
    }

    /// Tag of a choice.
    pub(super) fn enter(&mut self, choice: Choice, value: f64) -> usize {
        if let Some(&tag) = self.tags.get(&choice) {
            return tag;
        }
        let tag = self.met.len();
        let counts = self.session.counts(&choice);
        self.tags.insert(choice.clone(), tag);
        self.met.push(Met { choice, value, counts });
        tag
    }

    /// A wiring known from elsewhere, if it is allowed here; the empty one where nothing must stay.
    pub(super) fn known(&mut self, array: &ArrayWiring) -> Option<usize> {
        let Session { bench, question, candidates } = self.session;
        let problem = candidates.problem(bench, question, &self.terms);
        let choice = candidates.choice_at_any_touch(array)?;
        if choice.is_empty() {
            return problem.keeps_rows(&choice).then(|| self.enter(choice, 0.0));
        }
        let value = problem.weigh(&choice)?.value;
        Some(self.enter(choice, value))
    }

    pub(super) fn offer(&self, tag: usize, rows: &[CountRow]) -> Offer {
        let met = &self.met[tag];
        let uses = rows.iter().map(|row| row.used(&met.counts)).enumerate();
        Offer { value: met.value, uses: uses.filter(|(_, a)| *a != 0.0).collect(), tag }
    }

    /// Its best at some prices, with a bound.
    pub(super) fn reply(&mut self, ask: &Ask, rows: &[CountRow], effort: Effort) -> Reply {
        let mut terms = self.terms.clone();
        terms.prices = vec![0.0; terms.spares.len()];
        for (row, y) in rows.iter().zip(&ask.prices) {
            terms.pay(row, *y);
        }
        for span in &ask.spans {
            terms.counted.extend(rows[span.row].within(span.least, span.most));
        }
        let Session { bench, question, candidates } = self.session;
        let mut known: Vec<Choice> =
            ask.known.iter().map(|tag| self.met[*tag].choice.clone()).collect();
        known.extend(candidates.choice_at_any_touch(installed_array(bench)));
        let problem = candidates.problem(bench, question, &terms);
        let effort = Effort { negligible: ask.tolerance, ..effort };
        let outcome = maximise(&problem, &known, &NoMoves, effort);
        if candidates.narrowed.is_none()
            && let Some(reply) = self.judged(&problem, &outcome, (&terms, rows), effort)
        {
            return reply;
        }
        let most = label_bound(bench, question, &terms);
        let bound = if candidates.narrowed.is_some() { most } else { outcome.bound.min(most) };
        match outcome.best {
            Some(best) => {
                let price = terms.price_of(&self.session.counts(&best.choice));
                let tag = self.enter(best.choice, best.value + price);
                Reply { offers: vec![self.offer(tag, rows)], bound: bound.max(best.value) }
            }
            None if outcome.complete => Reply { offers: Vec::new(), bound: f64::NEG_INFINITY },
            None => Reply { offers: Vec::new(), bound: most },
        }
    }
}

/// A choice for each input of a phase, and their values together.
pub(super) type Found = (Vec<Choice>, f64);

/// What the inputs of a phase have met: the best choices, and each of a single input.
pub(super) fn found(units: &[Unit], best: Option<&[usize]>) -> Vec<Found> {
    let of = |tags: &[usize]| {
        let met = units.iter().zip(tags).map(|(unit, tag)| &unit.met[*tag]);
        (met.clone().map(|met| met.choice.clone()).collect(), met.map(|met| met.value).sum())
    };
    let alone = if let [unit] = units { unit.met.len() } else { 0 };
    best.into_iter().map(of).chain((0..alone).map(|tag| of(&[tag]))).collect()
}
