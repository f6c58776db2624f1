//! What inputs tell each other, and what each could use of the stock.

use crate::model::Controller;
use crate::plan::Touch;
use crate::planner::columns::installed_array;
use crate::planner::level::Session;
use crate::solve::master::{Ask, Listed, Offer, Reply, Sites};
use crate::solve::{Effort, Use, list_uses};

use super::inputs::{Input, Inputs};
use super::rows::{Counted, SiteRow};

/// Steps in listing what an input could use.
const LIST_STEPS: usize = 3_000_000;

/// What an input could use, listed at some prices down to a floor.
pub(super) struct ListedAt {
    site: usize,
    prices: Vec<f64>,
    floor: f64,
    list: Vec<Listed>,
}

impl Input<'_, '_> {
    /// What it could use of the shared rows so that it is worth more than a floor at these prices.
    fn list(
        &self,
        rows: &[SiteRow],
        prices: &[f64],
        floor: f64,
        effort: Effort,
    ) -> Option<Vec<Listed>> {
        let Session { bench, question, candidates } = self.session;
        // What is pushed into a battery does not follow from the panels alone.
        let pushed = rows.iter().any(|row| row.counted == Counted::Battery);
        if pushed {
            return None;
        }
        let nothing_fixed = Ask {
            site: self.place,
            prices: prices.to_vec(),
            spans: Vec::new(),
            known: Vec::new(),
            tolerance: 0.0,
        };
        let terms = self.terms_of(&nothing_fixed, rows);
        let besides = self.entry_at(prices, rows);
        let problem = candidates.problem(bench, question, &terms);
        let n_kinds = terms.spares.len();
        let uses = list_uses(&problem, n_kinds, floor + besides, LIST_STEPS, effort.watch)?;
        // Where what is installed stays, only what comes beside it is counted.
        let free = question.touch == Touch::Free;
        let own =
            if free { vec![0; n_kinds] } else { installed_array(bench).count_by_kind(n_kinds) };
        let listed = |used: Use| {
            let mut counts = used.counts;
            counts.iter_mut().zip(&own).for_each(|(n, own)| *n += own);
            let of_row = |row: &SiteRow| match &row.counted {
                Counted::Panels(row) => row.used(&counts),
                Counted::Follows { .. } => row.sign(self.place),
                Counted::Battery => 0.0,
            };
            let uses = rows.iter().map(of_row).enumerate().filter(|(_, a)| *a != 0.0).collect();
            let most = used.most - besides - self.beyond(&counts);
            let is_used = counts.iter().any(|n| *n > 0);
            is_used.then_some(Listed { uses, most })
        };
        let mut list: Vec<Listed> = uses.into_iter().filter_map(listed).collect();
        // To use nothing costs nothing, what the use of the input costs included.
        if 0.0 > floor && problem.keeps_rows(&[]) {
            list.push(Listed { uses: Vec::new(), most: 0.0 });
        }
        Some(list)
    }
}

impl Inputs<'_, '_> {
    /// Takes up a question with these shared rows.
    pub(super) fn ask_about(&mut self, rows: Vec<SiteRow>) {
        self.rows = rows;
        self.listed = None;
    }

    /// Does one input answer for another at some prices, where no order of inputs is asked about?
    ///
    /// Where panels move freely all see the whole stock as theirs, so that only the controller counts.
    fn answers_for(&self, a: usize, b: usize, prices: &[f64]) -> bool {
        let (one, other) = (&self.inputs[a], &self.inputs[b]);
        let controller = |input: &Input| Controller {
            id: String::new(),
            n_inputs: 1,
            ..input.session.bench.controller().clone()
        };
        let moves_freely = |input: &Input| {
            let Session { question, candidates, .. } = input.session;
            question.touch == Touch::Free && !candidates.holds_outside()
        };
        let same = one.alike.is_some() && one.alike == other.alike
            || moves_freely(one) && moves_freely(other) && controller(one) == controller(other);
        same && one.allowed == other.allowed
            && one.push == other.push
            && one.output == other.output
            && one.entry_at(prices, &self.rows) == other.entry_at(prices, &self.rows)
    }

    /// Do two questions differ in nothing but the name of the input?
    fn are_alike(&self, a: &Ask, b: &Ask) -> bool {
        a.spans == b.spans
            && a.spans.iter().all(|s| !matches!(self.rows[s.row].counted, Counted::Follows { .. }))
            && a.prices == b.prices
            && self.answers_for(a.site, b.site, &a.prices)
    }

    /// An input's answer as that of another one alike.
    fn tell(&mut self, from: usize, reply: &Reply, to: usize) -> Option<Reply> {
        let mut offers: Vec<Offer> = Vec::with_capacity(reply.offers.len());
        for offer in &reply.offers {
            let array = self.inputs[from].array(offer.tag);
            let input = &mut self.inputs[to];
            let choice = input.session.candidates.choice_of(&array)?;
            let tag = input.enter(choice, offer.value);
            offers.push(input.offer(tag, &self.rows));
        }
        Some(Reply { offers, bound: reply.bound })
    }
}

impl<'s, 'b> Inputs<'s, 'b> {
    pub(super) fn new(inputs: Vec<Input<'s, 'b>>, effort: Effort) -> Self {
        Self { inputs, rows: Vec::new(), effort, listed: None }
    }
}

impl Sites for Inputs<'_, '_> {
    fn count(&self) -> usize {
        self.inputs.len()
    }

    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply> {
        let mut replies: Vec<Reply> = Vec::with_capacity(asks.len());
        for ask in asks {
            let twin = asks[..replies.len()].iter().position(|a| self.are_alike(a, ask));
            let told = twin.and_then(|twin| self.tell(asks[twin].site, &replies[twin], ask.site));
            let effort = self.effort;
            let reply = || self.inputs[ask.site].reply(ask, &self.rows, effort);
            replies.push(told.unwrap_or_else(reply));
        }
        replies
    }

    fn list(&mut self, site: usize, prices: &[f64], floor: f64) -> Option<Vec<Listed>> {
        // Where the order of inputs counts, uses of those rows differ.
        let in_order = self.rows.iter().any(|row| row.sign(site) != 0.0);
        let known = self.listed.as_ref().filter(|known| {
            let same = known.prices == prices && known.floor == floor;
            let ordered = in_order || self.rows.iter().any(|row| row.sign(known.site) != 0.0);
            same && !ordered && self.answers_for(known.site, site, prices)
        });
        if let Some(known) = known {
            return Some(known.list.clone());
        }
        let list = self.inputs[site].list(&self.rows, prices, floor, self.effort)?;
        let prices = prices.to_vec();
        self.listed = Some(ListedAt { site, prices, floor, list: list.clone() });
        Some(list)
    }
}
