//! Other ways to go about it: greedily phase by phase, and all at once in the end.

use super::answer::{counts, energy_of};
use super::ground::{Ground, Stand};
use super::nearby::offer_fewer_joints;
use super::orders::{Chosen, Search, on_site};
use super::path::{Steps, Way};
use super::sequence::{Used, in_use, laid_on};
use super::supply::{Good, Purchase, money, spent_in};
use crate::energy::EnergyModel;
use crate::model::{InputWiring, KindIdx};
use crate::plan::{Foil, FoilKind, Joints, PhaseStep, Totals, fewest_joints};
use crate::planner::Failure;
use crate::units::{KilowattHours, Watts};

/// Money below which two sums are one.
const CENT: f64 = 1e-6;

/// What a way through the phases reaches and costs.
pub(super) struct Account {
    /// Wirings after each phase, the whole site.
    pub wirings: Vec<Vec<InputWiring>>,
    /// Watts behind the outputs after each phase.
    pub watts: Vec<Watts>,
    pub joints: Vec<Joints>,
    pub bought: Vec<Purchase>,
    pub energy: Option<KilowattHours>,
}

/// Both, where there is more than one phase.
pub(super) fn foils(
    search: &mut Search,
    chosen: &Chosen,
    greedy: Option<Account>,
) -> Result<Vec<Foil>, Failure> {
    if search.supply.n_phases() < 2 || chosen.way.is_none() {
        return Ok(Vec::new());
    }
    let at_once = search.at_once(chosen)?;
    let of = |(kind, account): (FoilKind, Account)| Foil {
        kind,
        totals: account.totals(search),
        watts: account.watts,
        joints: account.joints,
    };
    let both = [(FoilKind::Greedy, greedy), (FoilKind::AtOnce, at_once)];
    Ok(both.into_iter().filter_map(|(kind, account)| account.map(|a| of((kind, a)))).collect())
}

impl Account {
    /// The plan's own.
    pub(super) fn of_plan(way: Option<&Way>, steps: &[PhaseStep]) -> Self {
        Self {
            wirings: steps.iter().map(|s| s.plan().state.wiring()).collect(),
            watts: steps.iter().map(|s| s.plan().state.passed()).collect(),
            joints: steps.iter().map(|s| s.plan().joints).collect(),
            bought: way.map_or_else(Vec::new, |w| w.bought.clone()),
            energy: energy_of(steps),
        }
    }

    /// Summed up.
    pub(super) fn totals(&self, search: &Search) -> Totals {
        let installation = search.installation;
        let years = installation.phases.iter().map(|p| p.years());
        let joints = self.joints.iter().fold(Joints::default(), |sum, j| Joints {
            opened: sum.opened + j.opened,
            made: sum.made + j.made,
        });
        let end = self.wirings.last().map_or(&installation.installed[..], Vec::as_slice);
        let at_once = fewest_joints(&installation.installed, end).joints;
        let idle = search.idle_of(&self.bought, end);
        Totals {
            watt_years: self.watts.iter().zip(years).map(|(w, years)| w.watts() * years).sum(),
            energy: self.energy,
            money: money(&self.bought),
            joints,
            repeated: joints.total().saturating_sub(at_once.total()),
            // Nothing comes to zero, not to minus zero as an empty sum does.
            idle_money: idle
                .iter()
                .map(|(k, n)| search.dearest(&self.bought, *k, *n))
                .fold(0.0, |sum, money| sum + money),
            idle,
        }
    }
}

impl Search<'_, '_> {
    /// Panels bought that a wiring does not have.
    pub(super) fn idle_of(
        &self,
        bought: &[Purchase],
        wiring: &[InputWiring],
    ) -> Vec<(KindIdx, usize)> {
        let free: Vec<InputWiring> =
            wiring.iter().filter(|w| !self.installation.kept.contains(&w.at)).cloned().collect();
        let wired = counts(&free, self.supply.own.len());
        let beyond = self.supply.beyond_own(&wired);
        let had = |k: usize| -> usize {
            let of = bought.iter().filter(|p| p.good == Good::Panels(KindIdx(k)));
            of.map(|p| p.count).sum()
        };
        let idle = |k: usize| (KindIdx(k), had(k).saturating_sub(beyond[k]));
        (0..wired.len()).map(idle).filter(|(_, n)| *n > 0).collect()
    }

    /// What the dearest of some panels of a kind cost.
    pub(super) fn dearest(&self, bought: &[Purchase], kind: KindIdx, n: usize) -> f64 {
        let of = bought.iter().filter(|p| p.good == Good::Panels(kind));
        let mut prices: Vec<f64> =
            of.flat_map(|p| std::iter::repeat_n(p.each.unwrap_or(0.0), p.count)).collect();
        prices.sort_by(|a, b| b.total_cmp(a));
        prices.iter().take(n).sum()
    }

    /// The account of wirings under an order of controllers.
    fn account(&self, used: &Used, wirings: &[Vec<InputWiring>], bought: Vec<Purchase>) -> Account {
        let phases = &self.installation.phases;
        let mut account = Account {
            wirings: Vec::new(),
            watts: Vec::new(),
            joints: Vec::new(),
            bought,
            energy: Some(KilowattHours(0.0)),
        };
        let mut before = self.installation.installed.clone();
        for (t, wiring) in wirings.iter().enumerate() {
            let site = &self.ground_of(used, t).lot.site;
            let wanted = on_site(site, wiring);
            let rewiring = fewest_joints(&laid_on(&site.controllers, &before), &wanted);
            let laid = laid_on(&site.controllers, &rewiring.inputs);
            account.watts.push(self.state_of(used, t, &laid).passed());
            account.joints.push(rewiring.joints);
            let year = EnergyModel::of(site, self.catalog).map(|model| model.year(&laid).out());
            account.energy =
                account.energy.zip(year).map(|(sum, year)| sum + year * phases[t].years());
            before.clone_from(&laid);
            account.wirings.push(laid);
        }
        account
    }

    /// In each phase what is best there with the money of the phase, as if no other came.
    pub(super) fn greedy(&mut self) -> Result<Option<Account>, Failure> {
        let n = self.supply.n_phases();
        let mut used: Used = vec![None; self.supply.controllers.len()];
        let mut bought: Vec<Purchase> = Vec::new();
        let mut had = vec![0; self.supply.own.len()];
        let mut before = self.today.clone();
        let mut wirings = Vec::with_capacity(n);
        for t in 0..n {
            let spent: Vec<f64> = (0..t).map(|s| spent_in(&bought, s)).collect();
            let carried = self.supply.carried_on(&spent).last().copied().unwrap_or(0.0);
            let options = self.greedy_orders(&used, t);
            let mut best: Option<(f64, Used, Stand, Vec<Purchase>)> = None;
            for order in options {
                let Some((stand, buys)) =
                    self.greedy_step(&order, &used, (t, carried), &had, &before)?
                else {
                    continue;
                };
                let value = stand.charged - self.held_back(&order, t, &stand);
                if best.as_ref().is_none_or(|(v, ..)| value > v + 1e-3 * v.abs()) {
                    best = Some((value, order, stand, buys));
                }
            }
            let Some((_, order, stand, buys)) = best else { return Ok(None) };
            for buy in &buys {
                if let Good::Panels(kind) = buy.good {
                    had[kind.0] += buy.count;
                }
            }
            used = order;
            bought.extend(buys);
            before.clone_from(&stand.wiring);
            wirings.push(stand.wiring);
        }
        Ok(Some(self.account(&used, &wirings, bought)))
    }

    /// The controllers that may come into use in a phase beside those in use, of the orders at hand.
    fn greedy_orders(&self, used: &Used, t: usize) -> Vec<Used> {
        let mut orders = vec![used.clone()];
        for (c, offer) in self.supply.controllers.iter().enumerate() {
            let gone = offer.last_chance && offer.phase < t;
            if used[c].is_some() || offer.phase > t || gone {
                continue;
            }
            let with: Vec<Used> = orders
                .iter()
                .map(|order| {
                    let mut order = order.clone();
                    order[c] = Some(t);
                    order
                })
                .collect();
            orders.extend(with);
        }
        let known = |order: &Used| {
            let now = in_use(order, t);
            self.grounds.iter().any(|g| g.lot.phase == t && g.lot.in_use == now)
        };
        orders.retain(known);
        orders
    }

    /// The best wiring of one phase with what was bought before and what the phase's own money buys.
    fn greedy_step(
        &mut self,
        order: &Used,
        used: &Used,
        (t, carried): (usize, f64),
        had: &[usize],
        before: &[InputWiring],
    ) -> Result<Option<(Stand, Vec<Purchase>)>, Failure> {
        let supply = self.supply;
        let fresh = |c: usize| order[c] == Some(t) && used[c].is_none();
        let controllers: f64 =
            (0..order.len()).filter(|c| fresh(*c)).map(|c| supply.controllers[c].price).sum();
        let left = supply.budgets[t].map(|b| b + carried - controllers);
        if left.is_some_and(|left| left < -CENT) {
            return Ok(None);
        }
        // What is gone can be wired as far as it was bought; the rest as far as it is on offer.
        let most: Vec<usize> = (0..had.len())
            .map(|k| {
                let gone = supply.last[k].is_some_and(|last| last < t);
                supply.own[k] + if gone { had[k] } else { supply.offered[t][k].max(had[k]) }
            })
            .collect();
        let prices: Vec<f64> = (0..had.len()).map(|k| supply.price[t][k].unwrap_or(0.0)).collect();
        let base: Vec<usize> = had.iter().zip(&supply.own).map(|(h, own)| h + own).collect();
        let campaign = self.campaign(order);
        let buys = |stand: &Stand| -> Vec<usize> {
            stand.counts.iter().zip(&base).map(|(n, base)| n.saturating_sub(*base)).collect()
        };
        let cost = |stand: &Stand| -> f64 {
            buys(stand).iter().zip(&prices).map(|(n, p)| *n as f64 * p).sum()
        };
        let mut steps = std::mem::take(&mut self.steps);
        let mut grounds = self.grounds_of(order);
        campaign.this_phase(&mut grounds, t, &most, (&base, &prices), left);
        let allowed = |stand: &&Stand| {
            stand.counts.iter().zip(&most).all(|(n, most)| n <= most)
                && left.is_none_or(|left| cost(stand) <= left + CENT)
        };
        let pool = |ground: &Ground| -> Vec<Stand> {
            ground.stands.iter().filter(allowed).cloned().collect()
        };
        let mut stand = campaign.measures.next(before, &pool(grounds[t]), t, &mut steps);
        if let Some(first) = &stand {
            offer_fewer_joints(&campaign, grounds[t], before, first, t)?;
            stand = campaign.measures.next(before, &pool(grounds[t]), t, &mut steps);
        }
        self.steps = steps;
        let Some(stand) = stand else { return Ok(None) };
        let mut bought: Vec<Purchase> = buys(&stand)
            .into_iter()
            .enumerate()
            .filter(|(_, count)| *count > 0)
            .map(|(k, count)| Purchase {
                good: Good::Panels(KindIdx(k)),
                phase: t,
                count,
                each: supply.price[t][k],
            })
            .collect();
        bought.extend((0..order.len()).filter(|c| fresh(*c)).map(|c| Purchase {
            good: Good::Controller(c),
            phase: t,
            count: 1,
            each: Some(supply.controllers[c].price),
        }));
        Ok(Some((stand, bought)))
    }

    /// Nothing until the last phase, then the best end state within all budgets.
    fn at_once(&mut self, chosen: &Chosen) -> Result<Option<Account>, Failure> {
        let last = self.supply.n_phases() - 1;
        let used: Used = chosen.used.iter().map(|used| used.map(|_| last)).collect();
        let campaign = self.campaign(&used);
        let (today, waiting) = (self.today.clone(), vec![self.stand_today()]);
        let mut steps = std::mem::take(&mut self.steps);
        let mut grounds = self.grounds_of(&used);
        let best = |ground: &Ground, steps: &mut Steps| {
            let pools: Vec<&[Stand]> = (0..=last)
                .map(|t| if t < last { &waiting[..] } else { &ground.stands[..] })
                .collect();
            campaign.measures.best(&today, &pools, steps).0
        };
        campaign.share(&mut grounds, &[last], campaign.purse_rows(&[last]));
        let end = grounds.pop().expect("there is a last phase");
        let mut way = best(end, &mut steps);
        if let Some(first) = &way {
            offer_fewer_joints(&campaign, end, &today, &first.stands[last], last)?;
            way = best(end, &mut steps);
        }
        self.steps = steps;
        let Some(way) = way else { return Ok(None) };
        let wirings: Vec<Vec<InputWiring>> = way.stands.iter().map(|s| s.wiring.clone()).collect();
        Ok(Some(self.account(&used, &wirings, way.bought)))
    }

    /// Today's wiring as one to wait with; what it brings is the same in every way.
    pub(super) fn stand_today(&self) -> Stand {
        let counts = counts(&self.today, self.supply.own.len());
        Stand { wiring: self.today.clone(), charged: 0.0, counts }
    }
}
