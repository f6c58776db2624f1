//! The best way through the phases, from wiring to wiring, among those that were met.

use std::collections::HashMap;

use super::ground::Stand;
use super::kept::may_follow;
use super::supply::{Purchase, Supply, money};
use crate::model::InputWiring;
use crate::plan::{Joints, PanelSource, Rewiring, Touch, fewest_joints};
use crate::solve::Watch;

/// Steps in search of the best way.
const STEPS: usize = 400_000;
/// Ways as good as the best of which joints are compared.
const COMPARED: usize = 400;
/// A panel is wired or it is not: rounding of watt-years.
const ROUNDING: f64 = 1e-9;

/// What a way through the phases is held against.
pub(super) struct Measures<'a> {
    pub supply: &'a Supply,
    /// Years that each phase lasts.
    pub years: Vec<f64>,
    /// Watt-years that a joint, opened or made, must bring.
    pub joint: f64,
    /// Watt-years that a unit of money must bring; `None`: what was bought stays wired.
    pub money: Option<f64>,
    /// Most joints in each phase.
    pub joints: Vec<Option<usize>>,
    /// Most hours in each phase.
    pub hours: Vec<Option<f64>>,
    /// Hours for a joint, and for a panel put up or taken down.
    pub hours_each: (f64, f64),
    /// Ways within this part of the best are as good.
    pub tie: f64,
    /// Controllers in use, for what they cost.
    pub used: Vec<Option<usize>>,
    /// Where the search is told to stop.
    pub watch: Watch,
    /// How much of the wiring before it a step may disturb.
    pub touch: Touch,
}

/// One way: a wiring for each phase.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub stands: Vec<Stand>,
    pub bought: Vec<Purchase>,
    /// Years times charged watts, less what joints and money are worth.
    pub value: f64,
    /// Joints opened and made in each phase.
    pub joints: Vec<Joints>,
}

/// The work of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Work {
    joints: Joints,
    /// Panels put up or taken down.
    panels: usize,
}

/// Works out what steps between wirings take, each once.
#[derive(Default)]
pub(super) struct Steps {
    ids: HashMap<Vec<InputWiring>, usize>,
    work: HashMap<(usize, usize), Work>,
}

impl Steps {
    fn id(&mut self, wiring: &[InputWiring]) -> usize {
        let canonical: Vec<InputWiring> = wiring
            .iter()
            .filter(|w| !w.array.strings.is_empty())
            .map(|w| InputWiring { at: w.at, array: w.array.canonical() })
            .collect();
        let next = self.ids.len();
        *self.ids.entry(canonical).or_insert(next)
    }

    fn work(&mut self, from: &[InputWiring], to: &[InputWiring]) -> Work {
        let key = (self.id(from), self.id(to));
        if key.0 == key.1 {
            return Work { joints: Joints::default(), panels: 0 };
        }
        *self.work.entry(key).or_insert_with(|| {
            let rewiring = fewest_joints(from, to);
            Work { joints: rewiring.joints, panels: panels_handled(from, &rewiring) }
        })
    }
}

/// Panels put up, and panels taken down.
pub(super) fn panels_handled(from: &[InputWiring], rewiring: &Rewiring) -> usize {
    let up = rewiring.panels.iter().filter(|p| p.from == PanelSource::Spare).count();
    let before: usize = from.iter().map(|w| w.array.panels().count()).sum();
    let after: usize = rewiring.inputs.iter().map(|w| w.array.panels().count()).sum();
    up + (before + up).saturating_sub(after)
}

impl Measures<'_> {
    /// The best way through pools of wirings, one pool for each phase; `None` if none keeps every
    /// limit. With whether everything was compared.
    pub(super) fn best(
        &self,
        today: &[InputWiring],
        pools: &[&[Stand]],
        steps: &mut Steps,
    ) -> (Option<Way>, bool) {
        let sorted: Vec<Vec<&Stand>> = pools
            .iter()
            .map(|pool| {
                let mut sorted: Vec<&Stand> = pool.iter().collect();
                sorted.sort_by(|a, b| b.charged.total_cmp(&a.charged));
                sorted
            })
            .collect();
        let mut later = vec![0.0; pools.len() + 1];
        for t in (0..pools.len()).rev() {
            let most = sorted[t].first().map_or(f64::NEG_INFINITY, |s| s.charged);
            later[t] = later[t + 1] + self.years[t] * most;
        }
        let mut walk = Walk {
            measures: self,
            today,
            sorted,
            later,
            steps,
            left: STEPS,
            found: Vec::new(),
            best: f64::NEG_INFINITY,
            costs: HashMap::new(),
        };
        walk.descend(&mut Vec::new(), 0.0);
        let complete = walk.left > 0 && !walk.is_stopped();
        let found = std::mem::take(&mut walk.found);
        (self.preferred(today, found, steps), complete)
    }

    /// Of ways as good as the best: fewest panels, then fewest joints, then least money, then most
    /// watt-years. Where joints or money are worth something, they have been weighed already.
    fn preferred(
        &self,
        today: &[InputWiring],
        mut found: Vec<Found>,
        steps: &mut Steps,
    ) -> Option<Way> {
        let best = found.iter().map(|f| f.value).fold(f64::NEG_INFINITY, f64::max);
        let tie = if self.weighs() { ROUNDING } else { self.tie };
        found.retain(|f| f.value >= best - tie * best.abs());
        let n_panels = |f: &Found| f.stands.iter().map(|s| s.n_panels()).sum::<usize>();
        let fewest = found.iter().map(n_panels).min()?;
        if !self.weighs() {
            found.retain(|f| n_panels(f) == fewest);
        }
        found.sort_by(|a, b| b.value.total_cmp(&a.value));
        found.truncate(COMPARED);
        let mut ways: Vec<Way> =
            found.iter().filter_map(|f| self.way(today, &f.stands, steps)).collect();
        let joints = |w: &Way| w.joints.iter().map(|j| j.total()).sum::<usize>();
        ways.sort_by(|a, b| {
            let by_joints = joints(a).cmp(&joints(b));
            let by_money =
                (money(&a.bought) * 1e6).round().total_cmp(&(money(&b.bought) * 1e6).round());
            by_joints.then(by_money).then(b.value.total_cmp(&a.value))
        });
        ways.into_iter().next()
    }

    fn weighs(&self) -> bool {
        self.joint > 0.0 || self.money.is_some()
    }

    /// Are there limits on the work of a phase?
    fn limits_work(&self, t: usize) -> bool {
        self.joints[t].is_some() || self.hours[t].is_some()
    }

    /// Does what stands before a phase rule some of its wirings out?
    fn holds_back(&self, t: usize) -> bool {
        self.limits_work(t) || self.touch != Touch::Free
    }

    /// A way with what it costs; `None` if it does not keep budgets or limits on work.
    pub(super) fn way(
        &self,
        today: &[InputWiring],
        stands: &[&Stand],
        steps: &mut Steps,
    ) -> Option<Way> {
        let mut value = 0.0;
        let mut joints = Vec::with_capacity(stands.len());
        let mut before = today;
        for (t, stand) in stands.iter().enumerate() {
            let work = steps.work(before, &stand.wiring);
            if !self.allows(t, work) || !may_follow(self.touch, before, &stand.wiring) {
                return None;
            }
            value += self.years[t] * stand.charged - self.joint * work.joints.total() as f64;
            joints.push(work.joints);
            before = &stand.wiring;
        }
        let bought = self.supply.purchases(&self.needs(stands), &self.used)?;
        value -= self.money.unwrap_or(0.0) * money(&bought);
        let stands = stands.iter().map(|s| (*s).clone()).collect();
        Some(Way { stands, bought, value, joints })
    }

    fn allows(&self, t: usize, work: Work) -> bool {
        let (joint, panel) = self.hours_each;
        let hours = joint * work.joints.total() as f64 + panel * work.panels as f64;
        self.joints[t].is_none_or(|most| work.joints.total() <= most)
            && self.hours[t].is_none_or(|most| hours <= most + ROUNDING)
    }

    /// The best wiring of one phase alone after another: as in a whole way, of equals the one with
    /// fewest panels, then fewest joints.
    pub(super) fn next(
        &self,
        before: &[InputWiring],
        pool: &[Stand],
        t: usize,
        steps: &mut Steps,
    ) -> Option<Stand> {
        let mut found: Vec<(f64, usize, &Stand)> = Vec::new();
        let most = pool.iter().map(|s| s.charged).fold(f64::NEG_INFINITY, f64::max);
        let matters = |s: &&Stand| {
            self.joint > 0.0 || self.holds_back(t) || s.charged >= most - self.tie * most.abs()
        };
        for stand in pool.iter().filter(matters) {
            let work = steps.work(before, &stand.wiring);
            if self.allows(t, work) && may_follow(self.touch, before, &stand.wiring) {
                let joints = work.joints.total();
                let value = self.years[t] * stand.charged - self.joint * joints as f64;
                found.push((value, joints, stand));
            }
        }
        let best = found.iter().map(|f| f.0).fold(f64::NEG_INFINITY, f64::max);
        let tie = if self.joint > 0.0 { ROUNDING } else { self.tie };
        found.retain(|f| f.0 >= best - tie * best.abs());
        found.sort_by(|a, b| {
            let by_panels = a.2.n_panels().cmp(&b.2.n_panels());
            by_panels.then(a.1.cmp(&b.1)).then(b.0.total_cmp(&a.0))
        });
        found.first().map(|f| f.2.clone())
    }

    /// Panels that must have been bought by each phase.
    pub(super) fn needs(&self, stands: &[&Stand]) -> Vec<Vec<usize>> {
        let mut needs: Vec<Vec<usize>> = Vec::with_capacity(stands.len());
        for stand in stands {
            let mut now = self.supply.beyond_own(&stand.counts);
            if let Some(before) = needs.last() {
                now.iter_mut().zip(before).for_each(|(n, b)| *n = (*n).max(*b));
            }
            needs.push(now);
        }
        needs
    }

    /// May a phase have this wiring after the one before: is nothing left idle that was bought?
    fn keeps_what_was_bought(&self, before: Option<&&Stand>, next: &Stand) -> bool {
        let Some(before) = before.filter(|_| self.money.is_none()) else { return true };
        let (then, now) =
            (self.supply.beyond_own(&before.counts), self.supply.beyond_own(&next.counts));
        then.iter().zip(now).all(|(then, now)| now >= *then)
    }
}

struct Found<'p> {
    stands: Vec<&'p Stand>,
    value: f64,
}

struct Walk<'w, 'p> {
    measures: &'w Measures<'w>,
    today: &'w [InputWiring],
    sorted: Vec<Vec<&'p Stand>>,
    /// The most that the phases from each on can bring.
    later: Vec<f64>,
    steps: &'w mut Steps,
    left: usize,
    found: Vec<Found<'p>>,
    best: f64,
    /// What needs cost, `None` where the budgets do not allow them.
    costs: HashMap<Vec<Vec<usize>>, Option<f64>>,
}

impl<'p> Walk<'_, 'p> {
    /// Told to stop, with something to show.
    fn is_stopped(&self) -> bool {
        !self.found.is_empty() && self.measures.watch.is_stopped()
    }

    /// What a way must be worth to matter.
    fn floor(&self) -> f64 {
        let tie = if self.measures.weighs() { 0.0 } else { self.measures.tie };
        self.best - tie * self.best.abs()
    }

    fn descend(&mut self, taken: &mut Vec<&'p Stand>, value: f64) {
        let (t, measures) = (taken.len(), self.measures);
        if t == self.sorted.len() {
            self.finish(taken, value);
            return;
        }
        for i in 0..self.sorted[t].len() {
            let stand = self.sorted[t][i];
            let gross = value + measures.years[t] * stand.charged;
            if self.left == 0 || self.is_stopped() || gross + self.later[t + 1] < self.floor() {
                return;
            }
            self.left -= 1;
            if !measures.keeps_what_was_bought(taken.last(), stand) {
                continue;
            }
            let before = taken.last().map_or(self.today, |s| &s.wiring);
            if !may_follow(measures.touch, before, &stand.wiring) {
                continue;
            }
            let mut net = gross;
            if measures.joint > 0.0 || measures.limits_work(t) {
                let work = self.steps.work(before, &stand.wiring);
                if !measures.allows(t, work) {
                    continue;
                }
                net -= measures.joint * work.joints.total() as f64;
                if net + self.later[t + 1] < self.floor() {
                    continue;
                }
            }
            taken.push(stand);
            // What the beginning cannot pay for, no end can.
            if self.cost(taken).is_some() {
                self.descend(taken, net);
            }
            taken.pop();
        }
    }

    /// What the needs of a way, or of its beginning, cost.
    fn cost(&mut self, taken: &[&'p Stand]) -> Option<f64> {
        let measures = self.measures;
        let needs = measures.needs(taken);
        if let Some(known) = self.costs.get(&needs) {
            return *known;
        }
        let bought = measures.supply.purchases(&needs, &measures.used);
        let cost = bought.map(|b| money(&b));
        self.costs.insert(needs, cost);
        cost
    }

    fn finish(&mut self, taken: &[&'p Stand], value: f64) {
        let Some(cost) = self.cost(taken) else { return };
        let value = value - self.measures.money.unwrap_or(0.0) * cost;
        if value < self.floor() {
            return;
        }
        self.best = self.best.max(value);
        self.found.push(Found { stands: taken.to_vec(), value });
    }
}
