//! The best wiring of one input at one touch level.

use std::rc::Rc;

use super::columns::{Candidates, installed_array, list_candidates};
use super::joiner::Joiner;
use super::season::Season;
use super::strings_known::StringsKnown;
use super::terms::{CountRow, Question, Terms};
use crate::electrical::Catalog;
use crate::model::{ArrayWiring, InputWiring, Installation, KindIdx};
use crate::patterns::{Bench, Screening};
use crate::plan::Touch;
use crate::solve::{Effort, Outcome, Problem, maximise};

/// A wiring and what is proven about it.
#[derive(Clone)]
pub(super) struct Level {
    pub array: ArrayWiring,
    /// Watts less charges, by the arithmetic asked for. \[W\]
    pub charged: f64,
    /// No wiring of this level has more charged watts. \[W\]
    pub bound: f64,
    /// How the search space had to be narrowed; the bound then holds for the whole of it all the same.
    pub narrowed: Option<String>,
    /// Were all near-ties compared?
    pub ties_complete: bool,
}

/// Which of a search's wirings is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pick {
    /// Among near-ties the one with fewest panels, then fewest joints.
    Preferred,
    /// The one of most charged watts.
    Highest,
}

/// What came of a level.
pub(super) enum LevelAnswer {
    /// A wiring.
    Found(Level),
    /// None keeps the limits; the nearest misses.
    NoWiring(Screening),
    /// The search ended before it found any.
    LimitReached,
}

impl Level {
    /// Gap between the bound and this wiring, as a fraction of its charged watts.
    pub(super) fn gap(&self) -> f64 {
        ((self.bound - self.charged) / self.charged.abs().max(1.0)).max(0.0)
    }
}

/// Candidates of one question, listed once and solved under any terms that add up.
#[derive(Clone)]
pub(super) struct Session<'b> {
    pub(super) bench: &'b Bench<'b>,
    pub(super) question: Question<'b>,
    pub(super) candidates: Rc<Candidates>,
}

impl<'b> Session<'b> {
    /// Lists the candidates.
    pub(super) fn new(bench: &'b Bench<'b>, question: Question<'b>) -> Self {
        Self { bench, question, candidates: Rc::new(list_candidates(bench, &question)) }
    }

    /// The same candidates under another question of the same touch.
    pub(super) fn asking(&self, question: Question<'b>) -> Self {
        self.asking_knowing(question, &StringsKnown::default())
    }

    /// The same where some strings are known.
    pub(super) fn asking_knowing(&self, question: Question<'b>, known: &StringsKnown) -> Self {
        let mut candidates = Candidates::clone(&self.candidates);
        candidates.rate(self.bench, &question, known);
        Self { bench: self.bench, question, candidates: Rc::new(candidates) }
    }

    /// The same candidates, each at what it brings at most over a season.
    pub(super) fn under_ceilings(&self, question: Question<'b>, season: &Season) -> Self {
        let mut candidates = Candidates::clone(&self.candidates);
        candidates.take_ceilings(self.bench, (season, 1.0), &StringsKnown::default());
        Self { bench: self.bench, question, candidates: Rc::new(candidates) }
    }

    /// What the candidates stand on: the installation and its fitted kinds.
    pub(super) fn ground(&self) -> (&'b Installation, &'b Catalog) {
        (self.bench.installation, self.bench.catalog)
    }

    /// Panels of each kind in a choice of these candidates.
    pub(super) fn counts(&self, choice: &[(usize, usize)]) -> Vec<usize> {
        let mut counts = vec![0; self.bench.installation.kinds.len()];
        for &(j, n) in choice {
            let of_one = &self.candidates.patterns[j].counts;
            counts.iter_mut().zip(of_one).for_each(|(sum, one)| *sum += n * one);
        }
        counts
    }

    /// Searches, starting from wirings already known.
    pub(super) fn solve(
        &self,
        terms: &Terms,
        known: &[ArrayWiring],
        effort: Effort,
        pick: Pick,
    ) -> LevelAnswer {
        let problem = self.candidates.problem(self.bench, &self.question, terms);
        self.solve_problem(&problem, terms, known, &self.joiner(), effort, pick)
    }

    /// Counts joints between today's wiring and choices of these candidates.
    pub(super) fn joiner(&self) -> Joiner<'_> {
        let array = installed_array(self.bench).clone();
        Joiner::new(&self.candidates, InputWiring { at: self.bench.at, array })
    }

    /// The search with at most so many joints as the joiner allows.
    pub(super) fn solve_within(
        &self,
        terms: &Terms,
        known: &[ArrayWiring],
        joiner: &Joiner,
        effort: Effort,
    ) -> LevelAnswer {
        let mut problem = self.candidates.problem(self.bench, &self.question, terms);
        joiner.limit(&mut problem);
        let answer = self.solve_problem(&problem, terms, known, joiner, effort, Pick::Preferred);
        match (joiner.doubt(&problem), answer) {
            (None, answer) => answer,
            // What was turned down without proof may yet be allowed.
            (Some(most), LevelAnswer::Found(level)) => {
                LevelAnswer::Found(Level { bound: level.bound.max(most), ..level })
            }
            (Some(_), _) => LevelAnswer::LimitReached,
        }
    }

    fn solve_problem(
        &self,
        problem: &Problem,
        terms: &Terms,
        known: &[ArrayWiring],
        joiner: &Joiner,
        effort: Effort,
        pick: Pick,
    ) -> LevelAnswer {
        let candidates = &self.candidates;
        let today = installed_array(self.bench);
        let known: Vec<_> =
            known.iter().chain([today]).filter_map(|array| candidates.choice_of(array)).collect();
        let mut outcome = maximise(problem, &known, joiner, effort);
        let complete = outcome.complete;
        // Where no panel is worth its charge, today's wiring stays rather than nothing at all.
        if outcome.best.as_ref().is_some_and(|s| s.choice.is_empty()) {
            let stays = candidates.choice_of(today).and_then(|c| problem.weigh(&c));
            outcome.best.clone_from(&stays);
            outcome.preferred = stays;
        }
        match level_of(self.bench, &self.question, candidates, terms, outcome, pick) {
            Some(level) => LevelAnswer::Found(level),
            None if complete => LevelAnswer::NoWiring(candidates.screening.clone()),
            None => LevelAnswer::LimitReached,
        }
    }
}

fn level_of(
    bench: &Bench,
    question: &Question,
    candidates: &Candidates,
    terms: &Terms,
    outcome: Outcome,
    pick: Pick,
) -> Option<Level> {
    let preferred = match pick {
        Pick::Preferred => outcome.preferred?,
        Pick::Highest => outcome.best?,
    };
    // A wiring of nothing at all is none.
    if preferred.choice.is_empty() {
        return None;
    }
    let most = label_bound(bench, question, terms);
    let bound = if candidates.narrowed.is_some() { most } else { outcome.bound.min(most) };
    Some(Level {
        array: candidates.wiring_of(&preferred.choice),
        charged: preferred.value,
        bound: bound.max(preferred.value),
        narrowed: candidates.narrowed.clone(),
        ties_complete: outcome.ties_complete,
    })
}

/// No wiring gives more than its panels would by themselves: every one that is worth its charge, and
/// those that stay anyway.
pub(super) fn label_bound(bench: &Bench, question: &Question, terms: &Terms) -> f64 {
    let installation = bench.installation;
    let installed = installed_array(bench).count_by_kind(installation.kinds.len());
    let mut bound = 0.0;
    for kinds in installation.labels() {
        let net = |k: KindIdx| {
            let price = terms.prices.get(k.0).copied().unwrap_or(0.0);
            question.own_value(bench, k.0) - question.charge(bench, k.0) - price
        };
        let own = |k: KindIdx| installed[k.0] as f64;
        let free = question.touch == Touch::Free;
        let standing = |k: KindIdx| if free { 0.0 } else { own(k) };
        let there = |k: &KindIdx| terms.spares[k.0] > 0 || installed[k.0] > 0;
        let kinds: Vec<KindIdx> = kinds.into_iter().filter(there).collect();
        let mut most: f64 = kinds.iter().map(|k| standing(*k) * net(*k)).sum();
        // Of panels that may go on several planes no more count than there are.
        let mut left =
            most_together(terms, &kinds) - kinds.iter().map(|k| standing(*k)).sum::<f64>();
        let mut best: Vec<(f64, f64)> = kinds
            .iter()
            .map(|k| (net(*k), terms.spares[k.0] as f64 + own(*k) - standing(*k)))
            .collect();
        best.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (net, n) in best {
            most += n.min(left) * net.max(0.0);
            left -= n.min(left);
        }
        bound += most;
    }
    bound
}

/// How many panels of some kinds the rows allow together.
fn most_together(terms: &Terms, kinds: &[KindIdx]) -> f64 {
    let counts_all = |row: &&CountRow| {
        kinds.iter().all(|k| row.coefficients[k.0] == 1.0)
            && row.coefficients.iter().all(|a| *a >= 0.0)
    };
    terms.counted.iter().filter(counts_all).map(|row| row.most).fold(f64::INFINITY, f64::min)
}
