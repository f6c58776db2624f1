//! Wirings whose year has been reckoned hour by hour.

use crate::energy::{EnergyModel, Grain, Span, YearEnergy};
use crate::model::{ArrayWiring, InputRef, InputWiring};
use crate::plan::{Aim, Touch, fewest_joints, spare_controllers_used};
use crate::planner::Desk;
use crate::planner::season::Season;
use crate::planner::site::rewired;
use crate::units::KilowattHours;

/// Near-ties differ by at most this part of the best.
const NEAR: f64 = 1e-3;

/// One wiring of the inputs that are planned.
pub(in crate::planner) struct Met {
    pub arrays: Vec<ArrayWiring>,
    /// The least touch level that is known to allow it.
    pub touch: Touch,
    /// Part of the year that decides about it.
    pub span: Span,
    /// What it brings there, the whole site.
    pub brings: KilowattHours,
    /// The same as a value, less the charges on its panels.
    pub charged: f64,
    n_panels: usize,
}

/// All that were met.
pub(in crate::planner) struct Pool<'d> {
    pub desk: &'d Desk<'d>,
    pub model: &'d EnergyModel<'d>,
    pub inputs: &'d [InputRef],
    aim: Aim,
    /// Gives values and charges: those of the month that was the worst at first, or of the year.
    pub basis: Season,
    pub met: Vec<Met>,
}

/// The part of a year that counts.
fn span_of(aim: Aim, year: &YearEnergy) -> Span {
    match aim {
        Aim::WorstMonth => Span::DayOf(year.worst_month()),
        Aim::Watts | Aim::Year => Span::Year,
    }
}

fn energy_in(year: &YearEnergy, span: Span) -> KilowattHours {
    match span {
        Span::Year => year.out(),
        Span::DayOf(month) => year.per_day(month),
    }
}

impl<'d> Pool<'d> {
    /// An empty pool; charges are those of the month that is worst for a first wiring.
    pub(in crate::planner) fn new(
        desk: &'d Desk<'d>,
        model: &'d EnergyModel<'d>,
        inputs: &'d [InputRef],
        aim: Aim,
        first: &[ArrayWiring],
    ) -> Self {
        let span = span_of(aim, &model.year(&rewired(desk, inputs, first)));
        let free = model.without_limits();
        let hours = (span, Grain::Fine);
        let basis = Season::new(model, desk.installation, desk.catalog, hours, &free);
        Self { desk, model, inputs, aim, basis, met: Vec::new() }
    }

    /// The site with some wirings on the inputs that are planned.
    pub(in crate::planner) fn site(&self, arrays: &[ArrayWiring]) -> Vec<InputWiring> {
        rewired(self.desk, self.inputs, arrays)
    }

    /// Reckons a wiring's year, unless it is known. Gives its place, and whether it is new.
    pub(in crate::planner) fn enter(
        &mut self,
        arrays: Vec<ArrayWiring>,
        touch: Touch,
    ) -> (usize, bool) {
        let canonical: Vec<ArrayWiring> = arrays.iter().map(ArrayWiring::canonical).collect();
        let same = |met: &Met| met.arrays.iter().map(ArrayWiring::canonical).eq(canonical.clone());
        if let Some(at) = self.met.iter().position(same) {
            self.met[at].touch = self.met[at].touch.min(touch);
            return (at, false);
        }
        let site = self.site(&arrays);
        let controllers = spare_controllers_used(self.desk.installation, &site).len() as f64;
        let year = self.model.year(&site);
        let span = span_of(self.aim, &year);
        let brings = energy_in(&year, span);
        let kinds = &self.desk.installation.kinds;
        let charge: f64 = arrays
            .iter()
            .flat_map(ArrayWiring::panels)
            .map(|kind| {
                let label = kinds[kind.0].label.p_mp.watts();
                let options = self.desk.options;
                let watts = options.threshold_watts.max(options.threshold_share * label);
                watts * self.basis.own(kind.0)
            })
            .sum();
        self.met.push(Met {
            charged: self.basis.value(brings)
                - charge
                - controllers * self.desk.options.controller_watts,
            n_panels: arrays.iter().map(|a| a.panels().count()).sum(),
            arrays,
            touch,
            span,
            brings,
        });
        (self.met.len() - 1, true)
    }

    /// The part of the year that decides about a wiring.
    pub(in crate::planner) fn span_of(&self, arrays: &[ArrayWiring]) -> Span {
        span_of(self.aim, &self.model.year(&self.site(arrays)))
    }

    /// Wirings that a level allows.
    pub(in crate::planner) fn allowed(&self, touch: Touch) -> impl Iterator<Item = usize> + '_ {
        (0..self.met.len()).filter(move |&k| self.met[k].touch <= touch)
    }

    /// The wiring of most charged energy that a level allows; of equals the first.
    pub(in crate::planner) fn highest(&self, touch: Touch) -> Option<usize> {
        let charged = |k: usize| self.met[k].charged;
        self.allowed(touch).reduce(|a, b| if charged(b) > charged(a) { b } else { a })
    }

    /// The same less the worth of its joints; among near-ties the one with fewest panels, then
    /// joints. None is taken that would fall out of the proof.
    pub(in crate::planner) fn preferred(&self, touch: Touch, bound: f64) -> Option<usize> {
        let worth = self.desk.joint_worth();
        if worth > 0.0 {
            let value = |k: usize| self.met[k].charged - worth * self.joints(k) as f64;
            let mut all = self.allowed(touch).map(|k| (k, value(k)));
            let first = all.next()?;
            return Some(all.fold(first, |a, b| if b.1 > a.1 { b } else { a }).0);
        }
        let most = self.met[self.highest(touch)?].charged;
        let within = bound / (1.0 + NEAR);
        let floor = most - NEAR * most.abs();
        let floor = if within <= most { floor.max(within) } else { floor };
        let near = self.allowed(touch).filter(|&k| self.met[k].charged >= floor);
        near.min_by_key(|&k| (self.met[k].n_panels, self.joints(k), k))
    }

    fn joints(&self, at: usize) -> usize {
        let wanted = self.site(&self.met[at].arrays);
        fewest_joints(&self.desk.installation.installed, &wanted).joints.total()
    }
}
