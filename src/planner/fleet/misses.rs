//! Which limit keeps a kind out, and by how much.

use super::ground::Ground;
use crate::model::KindIdx;
use crate::patterns::{Miss, Obstacle};
use crate::plan::{CheckRule, Unit};
use crate::solve::{Problem, Sense};

/// A figure beyond a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SiteMiss {
    pub rule: CheckRule,
    pub value: f64,
    pub limit: f64,
    pub unit: Unit,
}

impl SiteMiss {
    /// How far off, as a fraction of the limit.
    pub(super) fn distance(&self) -> f64 {
        (self.value - self.limit).abs() / self.limit.abs().max(1e-9)
    }

    /// The nearer of this and another.
    pub(super) fn nearer(self, other: Option<Self>) -> Self {
        match other {
            Some(other) if other.distance() <= self.distance() => other,
            _ => self,
        }
    }
}

impl From<&Miss> for SiteMiss {
    fn from(miss: &Miss) -> Self {
        let (rule, unit) = match miss.obstacle {
            Obstacle::ColdVoc => (CheckRule::ColdVoc, Unit::Volts),
            Obstacle::SystemVoltage => (CheckRule::SystemVoltage, Unit::Volts),
            Obstacle::HotWindow => (CheckRule::HotWindow, Unit::Percent),
            Obstacle::StartVoltage => (CheckRule::StartVoltage, Unit::Volts),
            Obstacle::BlockFault => (CheckRule::FaultReverseCurrent, Unit::Amps),
        };
        Self { rule, value: miss.value, limit: miss.limit, unit }
    }
}

impl Ground {
    /// The nearest miss of strings with a kind of the stock.
    pub(super) fn nearest_miss(&self, stock: usize) -> Option<SiteMiss> {
        let misses = self.menu.misses.of(KindIdx(self.n_own + stock)).map(SiteMiss::from);
        misses.reduce(|a, b| b.nearer(Some(a)))
    }

    /// No place on the combiner for one more string.
    pub(super) fn no_port(&self) -> SiteMiss {
        SiteMiss {
            rule: CheckRule::StringPorts,
            value: self.today.strings.len() as f64 + 1.0,
            limit: self.controller.string_ports as f64,
            unit: Unit::Strings,
        }
    }

    /// The limit of the whole array that a choice breaks.
    pub(super) fn broken(&self, problem: &Problem, choice: &[(usize, usize)]) -> SiteMiss {
        for (r, row) in problem.rows.iter().enumerate().filter(|(_, r)| r.sense == Sense::AtMost) {
            let used: f64 = choice
                .iter()
                .flat_map(|&(j, n)| {
                    let uses = problem.columns[j].uses.iter();
                    uses.filter(|u| u.0 == r).map(move |u| u.1 * n as f64)
                })
                .sum();
            if used <= row.rhs * (1.0 + 1e-9) {
                continue;
            }
            let miss = |rule, factor: f64, unit| SiteMiss {
                rule,
                value: used * factor,
                limit: row.rhs * factor,
                unit,
            };
            match row.name {
                "input_current" => {
                    return miss(CheckRule::InputCurrent, self.isc_factor, Unit::Amps);
                }
                "battery_charge" => return miss(CheckRule::BatteryCharge, 1.0, Unit::Amps),
                "input_power" => return miss(CheckRule::InputPower, 1.0, Unit::Watts),
                "string_ports" => return miss(CheckRule::StringPorts, 1.0, Unit::Strings),
                _ => {}
            }
        }
        // What is left are the gates: the current that the whole array could push backwards.
        let closed = problem.closed_gate(choice);
        let idle = closed.is_some_and(|(g, _)| problem.gates[g].name() == "idle_reverse_current");
        let (value, limit) = closed.map_or((0.0, 0.0), |(g, key)| {
            let gate = &problem.gates[g];
            let load: f64 = choice.iter().map(|&(j, n)| gate.load(j, key) * n as f64).sum();
            (load, gate.cap(key))
        });
        let rule =
            if idle { CheckRule::IdleReverseCurrent } else { CheckRule::FaultReverseCurrent };
        SiteMiss { rule, value, limit, unit: Unit::Amps }
    }
}
