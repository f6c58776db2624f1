//! The best order in which controllers come into use, and the best way under it.

use super::PhaseOptions;
use super::answer::counts;
use super::campaign::{Answer, Campaign};
use super::ground::{Ground, Stand};
use super::path::{Measures, Steps, Way};
use super::sequence::{Used, in_use};
use super::supply::{Good, Supply};
use super::{JOINT_MINUTES, PANEL_MINUTES};
use crate::electrical::Catalog;
use crate::energy::EnergyModel;
use crate::model::{InputWiring, Installation};
use crate::plan::{Aim, Evaluator, Plan, State, Touch};
use crate::planner::Failure;
use crate::planner::desk::Desk;
use crate::planner::preferred::preferred_plan;
use crate::planner::season::Season;
use crate::planner::site::{plan_together, planned_together};

/// Orders of controllers that are worked out; how many are not is told.
const ORDERS: usize = 40;

/// Everything that the search over orders of controllers works with.
pub(super) struct Search<'a, 'b> {
    pub installation: &'a Installation,
    pub catalog: &'a Catalog,
    pub options: &'a PhaseOptions,
    /// What the phases are planned for.
    pub aim: Aim,
    /// How much of the wiring before it a step may disturb.
    pub touch: Touch,
    /// Measures energy, where that is sought.
    pub basis: Option<&'a Season>,
    pub supply: &'a Supply,
    /// Today's wirings on the inputs that may be rewired.
    pub today: Vec<InputWiring>,
    pub grounds: Vec<Ground<'b>>,
    pub steps: Steps,
}

/// The best way under one order of controllers.
pub(super) struct Chosen {
    pub used: Used,
    pub way: Option<Way>,
    pub bound: f64,
    /// Were all ways through the wirings met compared?
    pub compared: bool,
    /// Was every other order ruled out, or worked out to the end?
    pub settled: bool,
    /// Orders that were not worked out at all.
    pub n_unsearched: usize,
}

impl<'a, 'b> Search<'a, 'b> {
    /// The order whose best way has most watts behind the outputs, less charges, joints and money; of
    /// equals the one with fewest controllers.
    pub(super) fn best_order(&mut self, mut orders: Vec<Used>) -> Result<Chosen, Failure> {
        let n_used = |used: &Used| used.iter().flatten().count();
        orders.sort_by_key(n_used);
        let n_unsearched = orders.len().saturating_sub(ORDERS);
        orders.truncate(ORDERS);
        let proof = self.options.plan.effort.proof;
        let mut best: Option<(f64, Chosen)> = None;
        let mut settled = n_unsearched == 0;
        for used in orders {
            let floor = best.as_ref().map(|(v, _)| *v).filter(|v| v.is_finite());
            if self.is_stopped() && floor.is_some() {
                settled = false;
                break;
            }
            let Answer { way, bound, compared } = self.solve(&used, floor)?;
            let value = match &way {
                Some(way) => self.behind_outputs(&used, way),
                None => f64::NEG_INFINITY,
            };
            if let Some(floor) = floor {
                let closed = way.as_ref().is_some_and(|w| bound - w.value <= proof * w.value.abs());
                settled &= closed || bound <= floor + proof * floor.abs();
            }
            let better = match floor {
                Some(floor) => value > floor + proof * floor.abs(),
                None => best.is_none() || value.is_finite(),
            };
            if better {
                let settled = true;
                best = Some((value, Chosen { used, way, bound, compared, settled, n_unsearched }));
            }
        }
        let (_, chosen) = best.expect("no controller at all is an order, too");
        Ok(Chosen { settled, ..chosen })
    }

    pub(super) fn is_stopped(&self) -> bool {
        self.options.plan.effort.watch.is_stopped()
    }

    /// Shows what is being done.
    pub(super) fn shows(&self, words: &str) {
        self.options.plan.effort.watch.doing(|| words.to_owned());
    }

    /// Enters today's wiring in every phase.
    pub(super) fn begin(&mut self) {
        let today = self.today.clone();
        self.grounds.iter_mut().for_each(|ground| ground.begin(&today));
    }

    /// The way of an order; none where its bound is below a floor.
    fn solve(&mut self, used: &Used, floor: Option<f64>) -> Result<Answer, Failure> {
        if self.is_plain() {
            return self.as_advised(used);
        }
        let campaign = self.campaign(used);
        let mut steps = std::mem::take(&mut self.steps);
        let mut grounds = self.grounds_of(used);
        let answer = campaign.solve(&mut grounds, &mut steps, floor);
        self.steps = steps;
        answer
    }

    pub(super) fn campaign(&self, used: &Used) -> Campaign<'a> {
        let phases = &self.installation.phases;
        let years: Vec<f64> = phases.iter().map(|p| p.years()).collect();
        let all: f64 = years.iter().sum();
        let plan = &self.options.plan;
        let measures = Measures {
            supply: self.supply,
            joint: plan.joint_worth.unwrap_or(0.0) * all,
            money: self.options.money_worth.map(|worth| worth * all),
            joints: phases.iter().map(|p| p.joints).collect(),
            hours: phases.iter().map(|p| p.hours).collect(),
            hours_each: (JOINT_MINUTES / 60.0, PANEL_MINUTES / 60.0),
            tie: plan.effort.proof,
            used: used.clone(),
            watch: plan.effort.watch,
            touch: self.touch,
            years,
        };
        Campaign { catalog: self.catalog, options: plan, measures, today: self.today.clone() }
    }

    /// The grounds of an order, phase by phase.
    pub(super) fn grounds_of(&mut self, used: &Used) -> Vec<&mut Ground<'b>> {
        let of_order = |g: &&mut Ground<'b>| g.lot.in_use == in_use(used, g.lot.phase);
        self.grounds.iter_mut().filter(of_order).collect()
    }

    /// The ground of one phase of an order.
    pub(super) fn ground_of(&self, used: &Used, t: usize) -> &Ground<'b> {
        let now = in_use(used, t);
        let found = self.grounds.iter().find(|g| g.lot.phase == t && g.lot.in_use == now);
        found.expect("every phase of every order has its ground")
    }

    /// What a wiring gives in a phase of an order, the whole site.
    pub(super) fn state_of(&self, used: &Used, t: usize, wiring: &[InputWiring]) -> State {
        let site = &self.ground_of(used, t).lot.site;
        Evaluator::new(site, self.catalog).state(&on_site(site, wiring))
    }

    /// Watts that outputs hold back of a wiring in a phase; energy is reckoned behind them anyway. \[W\]
    pub(super) fn held_back(&self, used: &Used, t: usize, stand: &Stand) -> f64 {
        if self.basis.is_some() {
            return 0.0;
        }
        let state = self.state_of(used, t, &stand.wiring);
        state.watts().watts() - state.passed().watts()
    }

    /// Years times watts behind the outputs, less charges (of controllers, too), joints and money.
    fn behind_outputs(&self, used: &Used, way: &Way) -> f64 {
        let years = self.installation.phases.iter().map(|p| p.years());
        let stands = way.stands.iter().zip(years).enumerate();
        let clipped = stands.map(|(t, (stand, years))| years * self.held_back(used, t, stand));
        let phases = &self.installation.phases;
        let in_use: f64 =
            used.iter().flatten().flat_map(|from| &phases[*from..]).map(|p| p.years()).sum();
        way.value - clipped.sum::<f64>() - self.options.plan.controller_watts * in_use
    }

    /// Is there one phase, and nothing in it that a single answer does not know?
    fn is_plain(&self) -> bool {
        let [phase] = &self.installation.phases[..] else { return false };
        let free = phase.budget.is_none() && phase.joints.is_none() && phase.hours.is_none();
        free && self.supply.controllers.is_empty() && self.options.money_worth.is_none()
    }

    /// One phase by itself is what `advise` plans.
    fn as_advised(&mut self, used: &Used) -> Result<Answer, Failure> {
        let campaign = self.campaign(used);
        let [ground] = &mut self.grounds[..] else { unreachable!("one phase, no controllers") };
        let site = &ground.lot.site;
        let desk = Desk::new(site, self.catalog, &self.options.plan);
        let model = EnergyModel::of(site, self.catalog);
        let sun = (self.aim, model.as_ref());
        let (plans, best): (Vec<Plan>, Option<usize>) =
            if let Some(inputs) = planned_together(site, &self.options.plan) {
                let today = desk.evaluator.state(&site.installed);
                let (planned, _) = plan_together(&desk, inputs, sun, &today)?;
                (planned.plans, planned.best)
            } else {
                let (today, mut planned) = desk.plan_site()?;
                desk.choose_for_energy(&mut planned, sun, &today)?;
                (planned.plans, planned.best)
            };
        let best = best.or_else(|| preferred_plan(&plans));
        let none = Answer { way: None, bound: f64::NEG_INFINITY, compared: true };
        let Some(plan) = best.map(|b| &plans[b]) else { return Ok(none) };
        let inputs = ground.lot.inputs.clone();
        let wiring: Vec<InputWiring> =
            plan.state.wiring().into_iter().filter(|w| inputs.contains(&w.at)).collect();
        let Some(tags) = ground.known(&wiring) else { return Ok(none) };
        ground.enter(&tags);
        let array = |w: &InputWiring| (w.at, w.array.canonical());
        let wanted: Vec<_> = wiring.iter().map(array).collect();
        let same = |s: &&Stand| s.wiring.iter().map(array).eq(wanted.iter().cloned());
        let Some(stand) = ground.stands.iter().find(same).cloned() else { return Ok(none) };
        let Some(way) = campaign.measures.way(&self.today, &[&stand], &mut self.steps) else {
            return Ok(none);
        };
        let more = match (&plan.energy, self.basis) {
            (Some(energy), Some(basis)) => basis.value(energy.bound - energy.brings.energy),
            _ => {
                let watts = desk.by_rule(plan.state.watts(), plan.state.nameplate());
                plan.bound.watts.watts() - watts
            }
        };
        let gap = more.max(0.0) * campaign.measures.years[0];
        Ok(Answer { bound: way.value + gap, way: Some(way), compared: true })
    }
}

/// A site's wiring with some inputs rewired.
pub(super) fn on_site(site: &Installation, wiring: &[InputWiring]) -> Vec<InputWiring> {
    let rewired =
        |stands: &InputWiring| wiring.iter().find(|w| w.at == stands.at).unwrap_or(stands).clone();
    let fresh = |stands: &InputWiring| !site.kept.contains(&stands.at);
    site.installed
        .iter()
        .map(|stands| if fresh(stands) { rewired(stands) } else { stands.clone() })
        .collect()
}

impl Search<'_, '_> {
    /// What the best wiring found with these panels kept would have less in a phase, in watts or as a
    /// value of energy; `None` if there is none.
    pub(super) fn gain_of_taking_out(
        &mut self,
        chosen: &Chosen,
        t: usize,
        kept: &[usize],
    ) -> Option<f64> {
        let way = chosen.way.as_ref()?;
        let stand = &way.stands[t];
        let mut most = self.supply.own.clone();
        for purchase in way.bought.iter().filter(|p| p.phase <= t) {
            if let Good::Panels(kind) = purchase.good {
                most[kind.0] += purchase.count;
            }
        }
        let fixed = counts(&fixed_wiring(self.installation), kept.len());
        let kept: Vec<usize> = kept.iter().zip(fixed).map(|(n, fixed)| n - fixed).collect();
        let campaign = self.campaign(&chosen.used);
        let mut grounds = self.grounds_of(&chosen.used);
        let best = campaign.with_all_kept(&mut grounds, t, &kept, &most)?;
        Some(stand.charged - best)
    }
}

/// The wiring of inputs that are to be kept as they are.
fn fixed_wiring(installation: &Installation) -> Vec<InputWiring> {
    let kept = |w: &&InputWiring| installation.kept.contains(&w.at);
    installation.installed.iter().filter(kept).cloned().collect()
}
