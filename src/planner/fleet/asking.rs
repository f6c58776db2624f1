//! Questions to customers, input by input.

use std::collections::HashMap;

use rayon::prelude::*;

use super::class::{AS_IT_IS, Class, Priced};
use super::recall::in_short;
use super::tariff::Tariff;
use super::units::{Unit, Units};
use crate::plan::{OfferRecord, Touch};
use crate::solve::Watch;
use crate::solve::master::{Ask, Offer, Reply};

/// The tag of an input's best choice, if it has one, and a bound on all of them.
type Answer = (Option<usize>, f64);

/// A question to one input of a customer.
pub(super) struct PartAsk {
    /// Index of the question to the customer.
    pub of: usize,
    /// The customer, and which of its inputs.
    pub site: usize,
    pub part: usize,
    pub terms: KindTerms,
    pub tolerance: f64,
}

/// Answers of all inputs of a customer, in order.
#[derive(Default)]
pub(super) struct Joined {
    pub parts: Vec<Answer>,
}

/// Prices and limits of each kind, as a question puts them.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct KindTerms {
    prices: Vec<Tariff>,
    caps: Vec<usize>,
    floors: Vec<(usize, usize)>,
    /// Panels of each kind among `caps` that are installed and may be moved.
    installed: Vec<usize>,
}

impl KindTerms {
    fn priced(&self, tolerance: f64, watch: Watch) -> Priced<'_> {
        let Self { prices, caps, floors, .. } = self;
        Priced { prices, caps, floors, tolerance, watch }
    }

    /// The question in short, as a journal knows it.
    fn in_short(&self, tolerance: f64, n_met: usize) -> u64 {
        let Self { prices, caps, floors, .. } = self;
        in_short(&format!("{prices:?}{caps:?}{floors:?}{tolerance:?}{n_met}"))
    }
}

impl Units<'_> {
    /// What a question to a customer asks of one of its inputs.
    pub(super) fn terms(&self, unit: &Unit, part: usize, ask: &Ask) -> KindTerms {
        let ground = &self.classes[unit.parts[part].class].ground;
        let n_kinds = ground.caps.len();
        let installed = match ground.touch {
            Touch::Free => ground.today.count_by_kind(n_kinds),
            _ => vec![0; n_kinds],
        };
        let mut terms = KindTerms {
            prices: vec![Tariff::default(); n_kinds],
            caps: ground.caps.clone(),
            floors: Vec::new(),
            installed,
        };
        for k in 0..n_kinds {
            let own = terms.installed[k];
            let Some(row) = unit.row(k, ground.n_own) else { continue };
            // Where installed panels may be moved, a price on their kind would fall on them, too:
            // without one the bound is looser, not wrong.
            if k >= ground.n_own || ground.touch != Touch::Free {
                terms.prices[k].each = ask.prices[row];
            }
            if let Some(stock) = k.checked_sub(ground.n_own) {
                let price = |size: usize| self.cut[stock][size].map_or(0.0, |row| ask.prices[row]);
                terms.prices[k].pair = price(2);
                terms.prices[k].three = price(3);
            }
            if let Some(span) = ask.spans.iter().find(|s| s.row == row) {
                terms.caps[k] = terms.caps[k].min((span.most + 1e-6).max(0.0) as usize + own);
                let least = (span.least - 1e-6).ceil();
                // What several inputs must take together none of them must take alone.
                if least > 0.0 && unit.parts.len() == 1 {
                    terms.floors.push((k, least as usize + own));
                }
            }
        }
        terms
    }

    /// Asks inputs. Those of one class with the same question get the same answer.
    pub(super) fn ask_parts(&mut self, asks: &[PartAsk]) -> Vec<Answer> {
        let mut groups: HashMap<usize, Vec<usize>> = HashMap::new();
        for (at, ask) in asks.iter().enumerate() {
            let class = self.units[ask.site].parts[ask.part].class;
            groups.entry(class).or_default().push(at);
        }
        let (shelf, watch) = (self.shelf, self.watch);
        let (first, progress) = (&self.first, self.progress);
        let mut work: Vec<(usize, &mut Class, Vec<usize>)> = self
            .classes
            .iter_mut()
            .enumerate()
            .filter_map(|(at, class)| Some((at, class, groups.remove(&at)?)))
            .collect();
        let answers: Vec<Vec<(usize, Answer)>> = work
            .par_iter_mut()
            .map(|(at_class, class, group)| {
                let mut known: Vec<(usize, Answer)> = Vec::new();
                for &at in group.iter() {
                    let ask = &asks[at];
                    let same = known.iter().find(|(other, _)| asks[*other].terms == ask.terms);
                    if let Some((_, answer)) = same {
                        known.push((at, *answer));
                        continue;
                    }
                    let question = ask.terms.in_short(ask.tolerance, class.met.len());
                    let answer = class.recall(question).unwrap_or_else(|| {
                        let answer = class.ask(&ask.terms.priced(ask.tolerance, watch), shelf);
                        // An answer that was cut short is none to go on from.
                        if !watch.is_stopped() {
                            let (customer, at) = first[*at_class];
                            let found = class.found(answer);
                            progress.met(&OfferRecord { customer, at, question, found });
                        }
                        answer
                    });
                    known.push((at, answer));
                }
                known
            })
            .collect();
        let mut in_order: Vec<Option<Answer>> = vec![None; asks.len()];
        for (at, answer) in answers.into_iter().flatten() {
            in_order[at] = Some(answer);
        }
        in_order.into_iter().map(|a| a.expect("each question was in one group")).collect()
    }

    /// Asks inputs again that together with those before them would take more than there is; their
    /// bounds stay.
    pub(super) fn fit_together(&mut self, asks: &[Ask], work: &[PartAsk], replies: &mut [Joined]) {
        let longest = replies.iter().map(|r| r.parts.len()).max().unwrap_or(0);
        for part in 1..longest {
            let mut again: Vec<PartAsk> = Vec::new();
            for ask in work.iter().filter(|ask| ask.part == part) {
                let parts = &replies[ask.of].parts;
                let terms = self.beside(asks[ask.of].site, &parts[..part], ask);
                let taken = |k: usize| self.taken(ask.site, part, parts[part].0, k);
                if (0..terms.caps.len()).any(|k| taken(k) + terms.installed[k] > terms.caps[k]) {
                    let PartAsk { of, site, part, tolerance, .. } = *ask;
                    again.push(PartAsk { of, site, part, terms, tolerance });
                }
            }
            for (ask, (tag, _)) in again.iter().zip(self.ask_parts(&again)) {
                replies[ask.of].parts[part].0 = tag;
            }
        }
    }

    /// The terms of a question to an input beside what others of its customer take.
    fn beside(&self, site: usize, others: &[Answer], ask: &PartAsk) -> KindTerms {
        let mut terms = ask.terms.clone();
        for k in 0..terms.caps.len() {
            let taken = (0..others.len()).map(|p| self.taken(site, p, others[p].0, k));
            let left = terms.caps[k].saturating_sub(taken.sum());
            terms.caps[k] = left.max(terms.installed[k]);
        }
        terms
    }

    /// Panels of a kind that a choice of an input takes beyond those installed.
    fn taken(&self, site: usize, part: usize, tag: Option<usize>, kind: usize) -> usize {
        let met = &self.classes[self.units[site].parts[part].class].met[tag.unwrap_or(AS_IT_IS)];
        met.uses.iter().find(|u| u.0 == kind).map_or(0, |u| u.1)
    }

    /// What a customer answers by the answers of its inputs.
    pub(super) fn reply(&mut self, ask: &Ask, joined: &Joined) -> Reply {
        let unit = &self.units[ask.site];
        if let [(tag, bound)] = joined.parts[..] {
            let offers = tag.map(|tag| self.offer(unit, tag)).into_iter().collect();
            return Reply { offers, bound };
        }
        let worth = |tags: &[usize]| -> f64 {
            let Offer { value, uses, .. } = self.offer_of(unit, tags);
            value - uses.iter().map(|&(row, n)| n * ask.prices[row]).sum::<f64>()
        };
        // Inputs that bring something beside a visit that is paid.
        let alone = |(at, (tag, _)): (usize, &Answer)| {
            let mut tags = vec![AS_IT_IS; joined.parts.len()];
            tags[at] = tag.unwrap_or(AS_IT_IS);
            if worth(&tags) + unit.visit > 0.0 { tags[at] } else { AS_IT_IS }
        };
        let tags: Vec<usize> = joined.parts.iter().enumerate().map(alone).collect();
        let bound = joined.parts.iter().map(|(_, bound)| bound.max(0.0)).sum::<f64>() - unit.visit;
        let tags = if worth(&tags) > 0.0 { tags } else { vec![AS_IT_IS; tags.len()] };
        let tag = self.units[ask.site].enter(&tags);
        let offer = self.offer(&self.units[ask.site], tag);
        Reply { offers: vec![offer], bound: bound.max(0.0) }
    }
}
