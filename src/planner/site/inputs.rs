//! The inputs as the sites of a sharing-out: each plans itself at given prices.

use std::collections::HashMap;

use crate::model::ArrayWiring;
use crate::patterns::Bench;
use crate::plan::BEYOND_OUTPUT;
use crate::planner::charging::pushed_by;
use crate::planner::columns::installed_array;
use crate::planner::level::{Session, label_bound};
use crate::planner::terms::{Beyond, Charging, CountRow, Terms};
use crate::solve::master::{Ask, Offer, Reply};
use crate::solve::{Choice, Effort, NoMoves, maximise};

use super::lists::ListedAt;
use super::rows::{Counted, SiteRow};

/// One input.
pub(super) struct Input<'s, 'b> {
    pub session: &'s Session<'b>,
    /// Its place among the inputs.
    pub place: usize,
    /// Its own limits, and the whole stock as its spares.
    pub terms: Terms,
    /// What its use costs, whatever is wired to it. \[W\]
    pub entry: f64,
    /// Inputs of one number here are alike in all but their name.
    pub alike: Option<usize>,
    /// Place of the input of the same spare controller that must be used before this one.
    pub after: Option<usize>,
    /// Most of what it can push into the limited battery that is counted; `None`: nothing is. \[A\]
    pub push: Option<f64>,
    /// May it be used, must it?
    pub allowed: Allowed,
    /// Label watts up to which its output passes all, where outputs are weighed against each other. \[W\]
    pub output: Option<f64>,
    /// Choices met so far; a tag points here.
    pub met: Vec<Met>,
    tags: HashMap<Choice, usize>,
}

/// Whether an input is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Allowed {
    /// As is best.
    Freely,
    /// Nothing is wired to it.
    Not,
    /// Something is wired to it.
    Surely,
}

/// A choice of one input.
pub(super) struct Met {
    pub choice: Choice,
    /// Watts less charges. \[W\]
    pub value: f64,
    /// Panels of each kind.
    pub counts: Vec<usize>,
    /// What it can push into the limited battery, the controller's own limit aside. \[A\]
    pub pushed: f64,
}

/// All inputs, and what they share.
pub(super) struct Inputs<'s, 'b> {
    pub inputs: Vec<Input<'s, 'b>>,
    /// Rows over all inputs.
    pub rows: Vec<SiteRow>,
    pub effort: Effort,
    /// The list made last.
    pub listed: Option<ListedAt>,
}

/// One way to put a question to an input: what it finds pays this much besides, if it is not empty.
struct Way {
    terms: Terms,
    besides: f64,
}

impl<'s, 'b> Input<'s, 'b> {
    pub(super) fn new(session: &'s Session<'b>, place: usize, entry: f64) -> Self {
        // The battery is all inputs' together.
        let terms = Terms { charging: None, ..Terms::of(session.bench) };
        Self {
            session,
            place,
            terms,
            entry,
            alike: None,
            after: None,
            push: None,
            allowed: Allowed::Freely,
            // Over a season each hour is held to the output by itself.
            output: output_of(session.bench).filter(|_| session.question.season.is_none()),
            met: Vec::new(),
            tags: HashMap::new(),
        }
    }

    /// Tag of a choice of this value.
    pub(super) fn enter(&mut self, choice: Choice, value: f64) -> usize {
        if let Some(&tag) = self.tags.get(&choice) {
            return tag;
        }
        let tag = self.met.len();
        let (counts, pushed) = (self.session.counts(&choice), self.pushed(&choice));
        self.tags.insert(choice.clone(), tag);
        self.met.push(Met { choice, value, counts, pushed });
        tag
    }

    fn pushed(&self, choice: &[(usize, usize)]) -> f64 {
        let Session { bench, candidates, .. } = self.session;
        choice.iter().map(|&(j, n)| n as f64 * pushed_by(&candidates.patterns[j], bench)).sum()
    }

    /// A wiring known from elsewhere, if it is allowed here; the empty one where nothing must stay.
    pub(super) fn known(&mut self, array: &ArrayWiring) -> Option<usize> {
        let Session { bench, question, candidates } = self.session;
        let problem = candidates.problem(bench, question, &self.terms);
        let choice = candidates.choice_of(array)?;
        if choice.is_empty() {
            return problem.keeps_rows(&choice).then(|| self.enter(choice, 0.0));
        }
        let beyond = self.beyond(&self.session.counts(&choice));
        let value = problem.weigh(&choice)?.value - self.entry - beyond;
        Some(self.enter(choice, value))
    }

    /// What is taken off for label watts beyond the output. \[W\]
    pub(super) fn beyond(&self, counts: &[usize]) -> f64 {
        let label = self.label(counts);
        self.output.map_or(0.0, |most| BEYOND_OUTPUT * (label - most).max(0.0))
    }

    fn label(&self, counts: &[usize]) -> f64 {
        let kinds = &self.session.bench.installation.kinds;
        kinds.iter().zip(counts).map(|(kind, n)| kind.label.p_mp.watts() * *n as f64).sum()
    }

    /// May a choice be taken as things stand?
    pub(super) fn may_take(&self, tag: usize) -> bool {
        match self.allowed {
            Allowed::Freely => true,
            Allowed::Not => self.met[tag].choice.is_empty(),
            Allowed::Surely => !self.met[tag].choice.is_empty(),
        }
    }

    pub(super) fn offer(&self, tag: usize, rows: &[SiteRow]) -> Offer {
        let met = &self.met[tag];
        let uses = rows.iter().map(|row| row.used(self, met)).enumerate();
        Offer { value: met.value, uses: uses.filter(|(_, a)| *a != 0.0).collect(), tag }
    }

    pub(super) fn array(&self, tag: usize) -> ArrayWiring {
        self.session.candidates.wiring_of(&self.met[tag].choice)
    }

    /// What using the input at all pays at some prices, besides its panels.
    pub(super) fn entry_at(&self, prices: &[f64], rows: &[SiteRow]) -> f64 {
        let priced = rows.iter().zip(prices).map(|(row, y)| y * row.sign(self.place));
        self.entry + priced.sum::<f64>()
    }

    /// The terms of a question, the battery's price aside.
    pub(super) fn terms_of(&self, ask: &Ask, rows: &[SiteRow]) -> Terms {
        let mut terms = self.terms.clone();
        let n_kinds = terms.spares.len();
        terms.prices = vec![0.0; n_kinds];
        for (row, y) in rows.iter().zip(&ask.prices) {
            if let Counted::Panels(row) = &row.counted {
                terms.pay(row, *y);
            }
        }
        let (mut least_used, mut most_used) = match self.allowed {
            Allowed::Freely => (f64::NEG_INFINITY, f64::INFINITY),
            Allowed::Not => (f64::NEG_INFINITY, 0.0),
            Allowed::Surely => (1.0, f64::INFINITY),
        };
        for span in &ask.spans {
            match &rows[span.row].counted {
                Counted::Panels(row) => terms.counted.extend(row.within(span.least, span.most)),
                Counted::Battery => terms.charging = self.charging_within(span.least, span.most),
                Counted::Follows { .. } => {
                    let sign = rows[span.row].sign(self.place);
                    if sign == 0.0 {
                        continue;
                    }
                    let (least, most) = (span.least * sign, span.most * sign);
                    if least.min(most) > 0.5 {
                        least_used = 1.0;
                    }
                    if least.max(most) < 0.5 {
                        most_used = 0.0;
                    }
                }
            }
        }
        let all = CountRow { coefficients: vec![1.0; n_kinds], most: most_used };
        terms.counted.extend(all.within(least_used, most_used));
        terms
    }

    /// Between what the panels' own current must lie so that what is counted of it lies between these.
    fn charging_within(&self, least: f64, most: f64) -> Option<Charging> {
        let cap = self.push?;
        let most = if most >= cap { f64::INFINITY } else { most };
        let least = if least <= 0.0 { f64::NEG_INFINITY } else { least };
        Some(Charging { price: 0.0, least, most })
    }

    /// The ways to ask. What is counted of the current is the smaller of what its panels push and the
    /// controller's limit, so its price is the smaller of two: what is best at either is best of all.
    fn ways(&self, ask: &Ask, rows: &[SiteRow]) -> Vec<Way> {
        let terms = self.terms_of(ask, rows);
        let besides = self.entry_at(&ask.prices, rows);
        let battery = rows.iter().zip(&ask.prices).find(|(r, _)| r.counted == Counted::Battery);
        let price = battery.map_or(0.0, |(_, y)| *y);
        let Some(cap) = self.push.filter(|_| price > 0.0) else {
            return self.apart(Way { terms, besides });
        };
        let free = Charging::at_most(f64::INFINITY);
        let charging = Some(Charging { price, ..terms.charging.unwrap_or(free) });
        let priced = Terms { charging, ..terms.clone() };
        let mut ways = self.apart(Way { terms: priced, besides });
        if cap.is_finite() {
            ways.extend(self.apart(Way { terms, besides: besides + price * cap }));
        }
        ways
    }

    /// A way in two, where there are panels for more than the output passes: within it, and beyond it
    /// at a cost of each label watt.
    fn apart(&self, way: Way) -> Vec<Way> {
        let own = installed_array(self.session.bench).count_by_kind(way.terms.spares.len());
        let all: Vec<usize> = way.terms.spares.iter().zip(own).map(|(s, own)| s + own).collect();
        let Some(most) = self.output.filter(|most| self.label(&all) > *most) else {
            return vec![way];
        };
        let power = way.terms.power.map_or(most, |p| p.min(most));
        let within = Terms { power: Some(power), ..way.terms.clone() };
        let back = BEYOND_OUTPUT * most;
        let beyond = Some(Beyond { price: BEYOND_OUTPUT, least: most });
        let past = Terms { beyond, ..way.terms };
        vec![
            Way { terms: within, besides: way.besides },
            Way { terms: past, besides: way.besides - back },
        ]
    }

    pub(super) fn reply(&mut self, ask: &Ask, rows: &[SiteRow], effort: Effort) -> Reply {
        let mut reply = Reply { offers: Vec::new(), bound: f64::NEG_INFINITY };
        for way in self.ways(ask, rows) {
            self.answer(&way, ask, rows, effort, &mut reply);
        }
        reply
    }

    fn answer(
        &mut self,
        way: &Way,
        ask: &Ask,
        rows: &[SiteRow],
        effort: Effort,
        reply: &mut Reply,
    ) {
        let Session { bench, question, candidates } = self.session;
        let terms = &way.terms;
        let mut known: Vec<Choice> =
            ask.known.iter().map(|tag| self.met[*tag].choice.clone()).collect();
        known.extend(candidates.choice_of(installed_array(bench)));
        let problem = candidates.problem(bench, question, terms);
        let effort = Effort { negligible: ask.tolerance, ..effort };
        let outcome = maximise(&problem, &known, &NoMoves, effort);
        let most = label_bound(bench, question, terms);
        // Of the strings that are listed; what is not listed is thought of over all inputs.
        let bound = outcome.bound.min(most);
        let nothing = Choice::new();
        let besides = if way.besides == 0.0 { 0.0 } else { way.besides };
        if besides != 0.0 && problem.keeps_rows(&nothing) {
            let tag = self.enter(nothing, 0.0);
            reply.offers.push(self.offer(tag, rows));
            reply.bound = reply.bound.max(0.0);
        }
        match outcome.best {
            Some(best) if best.choice.is_empty() && besides != 0.0 => {
                reply.bound = reply.bound.max(bound - besides);
            }
            Some(best) => {
                let price = terms.price_of(&self.session.counts(&best.choice));
                let amps = terms.charging.map_or(0.0, |c| c.price * self.pushed(&best.choice));
                let counts = self.session.counts(&best.choice);
                let label = terms.beyond.map_or(0.0, |b| b.price * self.label(&counts));
                let entry = if best.choice.is_empty() { 0.0 } else { self.entry };
                // What the terms charged besides panels is undone, what is beyond the output taken off.
                let gross = best.value + price + amps + label - entry;
                let value = gross - self.beyond(&counts);
                let tag = self.enter(best.choice, value);
                reply.offers.push(self.offer(tag, rows));
                reply.bound = reply.bound.max(bound.max(best.value) - besides);
            }
            None if outcome.complete => {}
            None => reply.bound = reply.bound.max(most - besides),
        }
    }
}

/// What the output of a controller with one input passes, where spare controllers can be used. \[W\]
fn output_of(bench: &Bench) -> Option<f64> {
    let controller = bench.controller();
    let weighed = controller.n_inputs == 1 && bench.installation.weighs_outputs();
    controller.clip_limit().filter(|_| weighed).map(|most| most.watts())
}
