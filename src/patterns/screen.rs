//! Limits of one string alone, and the nearest miss at each of them.

use std::collections::BTreeMap;

use super::Bench;
use super::pattern::fault_margin;
use crate::electrical::Curve;
use crate::model::{ControllerType, Element, KindIdx, Output, PanelString};
use crate::units::Volts;

/// A string is held inside the window for at least this share of its own maximum.
pub(super) const LEAST_WINDOW_SHARE: f64 = 0.90;
/// Volts above charging voltage that a tracker needs to run (common practice, no source).
pub(super) const RUN_MARGIN: Volts = Volts(1.0);
/// A limit met exactly is kept.
pub(super) const ROUNDING: f64 = 1e-9;

/// What keeps a string out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    /// Too many volts on the coldest morning for the controller. \[V\]
    ColdVoc,
    /// Too many volts on the coldest morning for a panel's label. \[V\]
    SystemVoltage,
    /// Too little of its power inside the window on the hottest noon. \[%\]
    HotWindow,
    /// Too few volts to start on the hottest noon. \[V\]
    StartVoltage,
    /// A block whose members feed a fault in one of them beyond any standard fuse. \[A\]
    BlockFault,
}

/// The string that came nearest to a limit and failed.
#[derive(Debug, Clone, PartialEq)]
pub struct NearMiss {
    /// Which limit.
    pub obstacle: Obstacle,
    /// The string.
    pub string: PanelString,
    /// Its figure.
    pub value: f64,
    /// The limit.
    pub limit: f64,
}

/// For every kind, the nearest miss at each limit.
#[derive(Debug, Clone, Default)]
pub struct Screening {
    misses: BTreeMap<(KindIdx, Obstacle), NearMiss>,
}

impl Screening {
    /// The nearest misses of a kind, by obstacle.
    pub fn near_misses(&self, kind: KindIdx) -> impl Iterator<Item = &NearMiss> {
        self.misses.iter().filter(move |((k, _), _)| *k == kind).map(|(_, miss)| miss)
    }

    /// Takes over the misses of another screening.
    pub fn merge(&mut self, other: Screening) {
        other.misses.into_values().for_each(|miss| self.note(&miss));
    }

    /// Notes a failed string for every kind in it.
    pub(super) fn note(&mut self, miss: &NearMiss) {
        let distance = |m: &NearMiss| (m.value - m.limit).abs();
        for kind in miss.string.panels() {
            let entry = self.misses.entry((kind, miss.obstacle)).or_insert_with(|| miss.clone());
            if distance(miss) < distance(entry) {
                *entry = miss.clone();
            }
        }
    }
}

/// Does a string keep every limit that is its own?
#[must_use]
pub fn keeps_own_limits(string: &PanelString, bench: &Bench) -> bool {
    let hot = bench.series(string).hot;
    too_many_volts(string.elements(), bench).is_none()
        && unfit(string.elements(), &bench.behind_diode(&hot), bench).is_none()
}

/// Volts on the coldest morning: the ceiling that adding panels can only come nearer to.
pub(super) fn too_many_volts(elements: &[Element], bench: &Bench) -> Option<NearMiss> {
    let kinds = &bench.installation.kinds;
    let cold: f64 = elements.iter().map(|e| bench.element(e).cold_v_oc).sum();
    let miss = |obstacle, limit: f64| NearMiss {
        obstacle,
        string: PanelString::new(elements.to_vec()),
        value: cold,
        limit,
    };
    let max_pv = bench.controller().max_pv.volts();
    if cold > max_pv * (1.0 + ROUNDING) {
        return Some(miss(Obstacle::ColdVoc, max_pv));
    }
    let system = elements
        .iter()
        .flat_map(Element::members)
        .filter_map(|k| kinds[k.0].max_system)
        .map(Volts::volts)
        .fold(f64::INFINITY, f64::min);
    (cold > system * (1.0 + ROUNDING)).then(|| miss(Obstacle::SystemVoltage, system))
}

/// Everything else that one string must keep by itself, from its curve on the hottest noon.
pub(super) fn unfit(elements: &[Element], hot: &Curve, bench: &Bench) -> Option<NearMiss> {
    let miss = |obstacle, value, limit| NearMiss {
        obstacle,
        string: PanelString::new(elements.to_vec()),
        value,
        limit,
    };
    let controller = bench.controller();
    if controller.controller_type == ControllerType::Mppt {
        let needed = match controller.output {
            Output::Battery(bank) => Some(bank.charging_voltage() + RUN_MARGIN),
            Output::Converter { start, .. } => start,
        };
        let v_oc = hot.v_oc().volts();
        if let Some(needed) = needed.map(Volts::volts)
            && v_oc < needed * (1.0 - ROUNDING)
        {
            return Some(miss(Obstacle::StartVoltage, v_oc, needed));
        }
    }
    let (lo, hi) = controller.hold_range();
    let own = hot.max_power(Volts(0.0), hot.v_oc().max(Volts(1.0)));
    let share = match controller.controller_type {
        ControllerType::Mppt => hot.max_power(lo, hi).power().watts() / own.power().watts(),
        ControllerType::Pwm => (hot.current_at(lo).amps() / own.i.amps()).min(1.0),
    };
    if share < LEAST_WINDOW_SHARE - ROUNDING {
        return Some(miss(Obstacle::HotWindow, 100.0 * share, 100.0 * LEAST_WINDOW_SHARE));
    }
    let (value, limit) = fault_margin(elements, &bench.installation.kinds);
    (limit < 0.0).then(|| miss(Obstacle::BlockFault, value, limit + value))
}
