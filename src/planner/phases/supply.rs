//! What can be had when, and what an upgrade costs: the cheapest purchases that meet every need.

use crate::model::{InputRef, Installation, KindIdx};

/// Ways to spread the purchases of one kind over the phases that are compared.
const SPREADS: usize = 400;
/// Steps in search of purchases that keep every budget.
const STEPS: usize = 20_000;
/// Money below which two sums are one.
const CENT: f64 = 1e-6;

/// Panels and controllers on offer, phase by phase.
pub(super) struct Supply {
    /// Panels of each kind that need not be bought: installed where one may rewire, or spare without
    /// a price.
    pub own: Vec<usize>,
    /// Panels of each kind that can have been bought by the end of each phase.
    pub offered: Vec<Vec<usize>>,
    /// Price of a panel of each kind in each phase; `None` where it has none.
    pub price: Vec<Vec<Option<f64>>>,
    /// The phase after which a kind cannot be had any more.
    pub last: Vec<Option<usize>>,
    pub controllers: Vec<OnOffer>,
    pub budgets: Vec<Option<f64>>,
    /// Does what a phase leaves of its budget go on to the next?
    pub carries: Vec<bool>,
}

/// A controller on offer.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnOffer {
    /// Phase, and place among its controllers.
    pub phase: usize,
    pub place: usize,
    pub replaces: Option<usize>,
    pub price: f64,
    pub last_chance: bool,
}

/// What is bought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Good {
    Panels(KindIdx),
    Controller(usize),
}

/// One purchase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Purchase {
    pub good: Good,
    pub phase: usize,
    pub count: usize,
    pub each: Option<f64>,
}

impl Supply {
    pub(super) fn of(installation: &Installation, inputs: &[InputRef]) -> Self {
        let n_kinds = installation.kinds.len();
        let mut own = vec![0; n_kinds];
        for wiring in installation.installed.iter().filter(|w| inputs.contains(&w.at)) {
            let counts = wiring.array.count_by_kind(n_kinds);
            own.iter_mut().zip(counts).for_each(|(sum, n)| *sum += n);
        }
        let mut offered = vec![0; n_kinds];
        let mut price = vec![None; n_kinds];
        for spare in &installation.spares {
            match spare.price {
                None => own[spare.kind.0] += spare.count,
                Some(_) => {
                    offered[spare.kind.0] += spare.count;
                    price[spare.kind.0] = spare.price;
                }
            }
        }
        let mut supply = Self {
            own,
            offered: Vec::new(),
            price: Vec::new(),
            last: vec![None; n_kinds],
            controllers: Vec::new(),
            budgets: installation.phases.iter().map(|p| p.budget).collect(),
            carries: installation.phases.iter().map(|p| p.carry).collect(),
        };
        for (t, phase) in installation.phases.iter().enumerate() {
            for spare in &phase.spares {
                let k = spare.kind.0;
                offered[k] += spare.count;
                price[k] = spare.price;
                if spare.last_chance {
                    supply.last[k] = Some(t);
                }
            }
            supply.controllers.extend(phase.controllers.iter().enumerate().map(|(place, c)| {
                OnOffer {
                    phase: t,
                    place,
                    replaces: c.replaces,
                    price: c.price.unwrap_or(0.0),
                    last_chance: c.last_chance,
                }
            }));
            supply.offered.push(offered.clone());
            supply.price.push(price.clone());
        }
        supply
    }

    pub(super) fn n_phases(&self) -> usize {
        self.budgets.len()
    }

    /// The first of the phases whose money can be there in a phase, by budgets that carry over.
    pub(super) fn purse_since(&self, phase: usize) -> usize {
        let goes_on = |s: usize| {
            self.carries[s] && self.budgets[s].is_some() && self.budgets[s + 1].is_some()
        };
        (0..phase).rev().find(|s| !goes_on(*s)).map_or(0, |s| s + 1)
    }

    /// All money that there is from the first of some phases to the last, with what can have been
    /// carried over into them; `None`: any sum.
    pub(super) fn purse(&self, from: usize, until: usize) -> Option<f64> {
        let own: f64 = self.budgets[from..=until].iter().copied().sum::<Option<f64>>()?;
        let before = self.budgets[self.purse_since(from)..from].iter().flatten();
        Some(own + before.sum::<f64>())
    }

    /// What is left of the money of each phase for the next, by what is spent in each.
    pub(super) fn carried_on(&self, spent: &[f64]) -> Vec<f64> {
        let mut before = 0.0;
        let left = |(t, spent): (usize, &f64)| {
            let goes_on = t + 1 < self.n_phases() && self.purse_since(t + 1) <= t;
            let budget = self.budgets[t].filter(|_| goes_on);
            before = budget.map_or(0.0, |budget| before + budget - spent);
            before
        };
        spent.iter().enumerate().map(left).collect()
    }

    /// Panels of each kind that can be wired in a phase.
    pub(super) fn stock(&self, phase: usize) -> Vec<usize> {
        self.own.iter().zip(&self.offered[phase]).map(|(own, more)| own + more).collect()
    }

    /// Panels beyond those that need not be bought.
    pub(super) fn beyond_own(&self, counts: &[usize]) -> Vec<usize> {
        counts.iter().zip(&self.own).map(|(n, own)| n.saturating_sub(*own)).collect()
    }

    /// Lowest price of a kind up to a phase.
    pub(super) fn cheapest(&self, kind: usize, phase: usize) -> f64 {
        let prices = (0..=phase).filter(|s| self.offered[*s][kind] > 0);
        prices.map(|s| self.price[s][kind].unwrap_or(0.0)).fold(f64::INFINITY, f64::min).min(1e12)
    }

    /// The cheapest purchases by which every phase has what it needs, as late as possible; `None`
    /// where the budgets do not allow it.
    ///
    /// `needs` has for each phase the panels of each kind that must have been bought by then, rising;
    /// `used` has for each controller on offer the phase from which it is used.
    pub(super) fn purchases(
        &self,
        needs: &[Vec<usize>],
        used: &[Option<usize>],
    ) -> Option<Vec<Purchase>> {
        let mut choices: Vec<(Good, Vec<Spread>)> = Vec::new();
        let last_phase = needs.len().checked_sub(1)?;
        for k in (0..self.own.len()).filter(|k| needs[last_phase][*k] > 0) {
            let spreads = self.spreads(needs, k);
            if spreads.is_empty() {
                return None;
            }
            choices.push((Good::Panels(KindIdx(k)), spreads));
        }
        for (c, used) in used.iter().enumerate() {
            let Some(used) = used.filter(|used| *used <= last_phase) else { continue };
            let offer = self.controllers[c];
            let last = if offer.last_chance { offer.phase.min(used) } else { used };
            let first = offer.phase;
            let spread = |s: usize| {
                let mut counts = vec![0; needs.len()];
                counts[s] = 1;
                Spread { counts, cost: offer.price }
            };
            choices.push((Good::Controller(c), (first..=last).rev().map(spread).collect()));
        }
        let mut search = Search { supply: self, choices: &choices, steps: STEPS, best: None };
        search.descend(&mut Vec::new(), &mut vec![0.0; needs.len()], 0.0);
        let (_, taken) = search.best?;
        let mut bought: Vec<Purchase> = Vec::new();
        for ((good, spreads), at) in choices.iter().zip(taken) {
            for (phase, &count) in spreads[at].counts.iter().enumerate().filter(|(_, n)| **n > 0) {
                let each = match good {
                    Good::Panels(k) => self.price[phase][k.0],
                    Good::Controller(c) => Some(self.controllers[*c].price),
                };
                bought.push(Purchase { good: *good, phase, count, each });
            }
        }
        bought.sort_by_key(|p| p.phase);
        Some(bought)
    }

    /// What one of a good costs in a phase.
    fn each(&self, good: Good, phase: usize) -> f64 {
        match good {
            Good::Panels(k) => self.price[phase][k.0].unwrap_or(0.0),
            Good::Controller(c) => self.controllers[c].price,
        }
    }

    /// Ways to buy one kind, the cheapest first, of equals the latest.
    fn spreads(&self, needs: &[Vec<usize>], k: usize) -> Vec<Spread> {
        let mut found = Vec::new();
        self.spread(needs, k, &mut Vec::new(), 0, &mut found);
        found.sort_by(|a: &Spread, b: &Spread| {
            a.cost.total_cmp(&b.cost).then_with(|| a.counts.cmp(&b.counts))
        });
        found
    }

    fn spread(
        &self,
        needs: &[Vec<usize>],
        k: usize,
        counts: &mut Vec<usize>,
        before: usize,
        found: &mut Vec<Spread>,
    ) {
        let t = counts.len();
        if t == needs.len() {
            let cost = counts
                .iter()
                .enumerate()
                .map(|(s, n)| *n as f64 * self.each(Good::Panels(KindIdx(k)), s))
                .sum();
            found.push(Spread { counts: counts.clone(), cost });
            return;
        }
        let all = needs[needs.len() - 1][k];
        let gone = self.last[k].is_some_and(|last| t > last);
        let most = if gone { before } else { self.offered[t][k].min(all).max(before) };
        for by_now in needs[t][k].max(before)..=most {
            if found.len() == SPREADS {
                return;
            }
            counts.push(by_now - before);
            self.spread(needs, k, counts, by_now, found);
            counts.pop();
        }
    }
}

/// What all purchases cost.
pub(super) fn money(bought: &[Purchase]) -> f64 {
    bought.iter().map(|p| p.each.unwrap_or(0.0) * p.count as f64).sum()
}

/// What the purchases of one phase cost.
pub(super) fn spent_in(bought: &[Purchase], phase: usize) -> f64 {
    let own: Vec<Purchase> = bought.iter().copied().filter(|p| p.phase == phase).collect();
    money(&own)
}

struct Spread {
    counts: Vec<usize>,
    cost: f64,
}

struct Search<'a> {
    supply: &'a Supply,
    choices: &'a [(Good, Vec<Spread>)],
    steps: usize,
    best: Option<(f64, Vec<usize>)>,
}

impl Search<'_> {
    fn descend(&mut self, taken: &mut Vec<usize>, spent: &mut Vec<f64>, cost: f64) {
        let depth = taken.len();
        if self.best.as_ref().is_some_and(|(best, _)| cost >= best - CENT) || self.steps == 0 {
            return;
        }
        self.steps -= 1;
        let Some((good, spreads)) = self.choices.get(depth) else {
            self.best = Some((cost, taken.clone()));
            return;
        };
        for (at, spread) in spreads.iter().enumerate() {
            let sum = |s: usize| spread.counts[s] as f64 * self.supply.each(*good, s);
            (0..spent.len()).for_each(|s| spent[s] += sum(s));
            let kept = |s: usize| {
                let since = self.supply.purse_since(s);
                let most = self.supply.budgets[s].and_then(|_| self.supply.purse(since, s));
                most.is_none_or(|most| spent[since..=s].iter().sum::<f64>() <= most + CENT)
            };
            if (0..spent.len()).all(kept) {
                taken.push(at);
                self.descend(taken, spent, cost + spread.cost);
                taken.pop();
            }
            (0..spent.len()).for_each(|s| spent[s] -= sum(s));
        }
    }
}
