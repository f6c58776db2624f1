//! What is best for one input at given prices of panels.

use super::gates::{FaultGate, FloatGate, Keys};
use super::ground::{Ground, Item};
use super::shelf::Shelf;
use super::tariff::Tariff;
use crate::model::ControllerType;
use crate::solve::{
    Choice, Column, Effort, Gate, NoMoves, Problem, Rate, Row, Sense, Watch, maximise,
};

/// Items and how many of each, ascending.
pub(super) type Picked = Vec<(Item, usize)>;

/// Nodes that a question may take.
const NODES: usize = 400;
/// Steps that it may take.
const STEPS: usize = 2_000_000;
/// Gap at which it stops at once, as a fraction of its watts.
const CLOSED: f64 = 1e-6;

/// What is asked of one input.
pub(super) struct Asked<'a> {
    /// Of each kind, what panels cost besides their charges. \[W\]
    pub costs: &'a [Tariff],
    /// Panels of each kind that may be wired.
    pub caps: &'a [usize],
    /// Panels of each kind that must be wired, beyond those installed; none where nothing must.
    pub floors: &'a [(usize, usize)],
    /// Choices known to be good.
    pub known: &'a [&'a Picked],
    /// The answer need not be more exact than this. \[W\]
    pub tolerance: f64,
    /// Where the search is told to stop.
    pub watch: Watch,
}

/// What came of a question: watts are less charges and costs.
pub(super) struct Answered {
    pub best: Option<(Picked, f64)>,
    /// No choice has more; minus infinity if there is none.
    pub bound: f64,
}

/// Columns of one question.
pub(super) struct Columns {
    pub items: Vec<Item>,
    keys: Vec<Keys>,
    columns: Vec<Column>,
    rows: Vec<Row>,
}

impl Ground {
    /// The best choice at given costs.
    pub(super) fn answer(&self, asked: &Asked, shelf: &Shelf) -> Answered {
        if !self.sound {
            return Answered { best: None, bound: f64::NEG_INFINITY };
        }
        let dishes = self.worthwhile(asked);
        let columns = self.columns(&dishes, asked, shelf);
        let known: Vec<Choice> =
            asked.known.iter().filter_map(|picked| columns.choice(picked)).collect();
        let items = columns.items.clone();
        let keys = columns.keys.clone();
        let problem = self.problem(columns, &items, &keys);
        let effort = Effort {
            nodes: NODES,
            nodes_past_proof: 0,
            proof: 0.0,
            closed: CLOSED,
            negligible: asked.tolerance,
            all_steps: STEPS,
            tie_nodes: 0,
            tie_steps: 0,
            tie_counts: 0,
            watch: asked.watch.quietly(),
            ..Effort::default()
        };
        let outcome = maximise(&problem, &known, &NoMoves, effort);
        let picked = |choice: &Choice| choice.iter().map(|&(j, n)| (items[j], n)).collect();
        let bound = match &outcome.best {
            None if outcome.complete => f64::NEG_INFINITY,
            _ => outcome.bound,
        };
        Answered { best: outcome.best.map(|best| (picked(&best.choice), best.value)), bound }
    }

    /// Dishes that may be part of a best choice: those that by themselves bring more than they cost.
    fn worthwhile(&self, asked: &Asked) -> Vec<u32> {
        let joint = self.terms.joint / self.terms.watt;
        let worth = |d: &usize| {
            let dish = &self.menu.dishes[*d];
            let net = self.net(*d) - joint * f64::from(self.joints[*d]);
            if net.is_infinite() {
                return true;
            }
            let mut left = net;
            let mut wanted = false;
            for (k, n) in self.added(dish) {
                if n > asked.caps[k] {
                    return false;
                }
                left -= asked.costs[k].of(n);
                wanted |= asked.floors.iter().any(|(kind, _)| *kind == k);
            }
            left > 0.0 || wanted
        };
        (0..self.menu.dishes.len()).filter(worth).map(|d| d as u32).collect()
    }

    pub(super) fn columns(&self, dishes: &[u32], asked: &Asked, shelf: &Shelf) -> Columns {
        let (costs, caps) = (asked.costs, asked.caps);
        let joint = self.terms.joint / self.terms.watt;
        let ports = self.controller.string_ports;
        let mut rows = vec![Row { name: "string_ports", sense: Sense::AtMost, rhs: ports as f64 }];
        let mut limit = |name, limit: Option<f64>| {
            limit.map(|rhs| {
                rows.push(Row { name, sense: Sense::AtMost, rhs });
                rows.len() - 1
            })
        };
        let current = limit(
            "input_current",
            self.controller.max_pv_current.map(|i| i.amps() / self.isc_factor),
        );
        let power = limit("input_power", self.controller.max_pv_power.map(|p| p.watts()));
        let battery = limit("battery_charge", self.most_pushed);
        let kept: Vec<usize> = self
            .groups
            .iter()
            .map(|g| {
                let rhs = g.n as f64;
                rows.push(Row { name: "installed string kept", sense: Sense::Exactly, rhs });
                rows.len() - 1
            })
            .collect();
        let once = self.base.as_ref().map(|_| {
            rows.push(Row { name: "stays as it is", sense: Sense::Exactly, rhs: 1.0 });
            rows.len() - 1
        });
        // Only kinds that could run out need a row.
        let added: Vec<Vec<(usize, usize)>> =
            dishes.iter().map(|d| self.added(&self.menu.dishes[*d as usize])).collect();
        let mut most = vec![0; caps.len()];
        for (k, n) in added.iter().flatten() {
            most[*k] = most[*k].max(*n);
        }
        let stock: Vec<Option<usize>> = (0..caps.len())
            .map(|k| {
                (most[k] > 0 && most[k] * ports > caps[k]).then(|| {
                    rows.push(Row { name: "stock", sense: Sense::AtMost, rhs: caps[k] as f64 });
                    rows.len() - 1
                })
            })
            .collect();
        let floors: Vec<(usize, usize)> = asked
            .floors
            .iter()
            .map(|(k, n)| {
                let rhs = -(*n as f64);
                rows.push(Row { name: "must be wired", sense: Sense::AtMost, rhs });
                (*k, rows.len() - 1)
            })
            .collect();
        let mut made = Columns { items: Vec::new(), keys: Vec::new(), columns: Vec::new(), rows };
        let shares = |i_sc: f64, label: f64| {
            let rows = [(current, i_sc), (power, label), (battery, self.pushed(i_sc, label))];
            rows.into_iter().filter_map(|(row, used)| Some((row?, used)))
        };
        if let (Some(base), Some(once)) = (&self.base, once) {
            let n_strings = self.today.strings.len();
            let mut uses = vec![(0, n_strings as f64), (once, 1.0)];
            uses.extend(shares(base.i_sc, base.label));
            let counts = self.today.count_by_kind(self.charges.len());
            let charge = counts.iter().zip(&self.charges).map(|(n, c)| *n as f64 * c).sum();
            let keys = Keys {
                float_limit: base.float_limit,
                most_array_i_sc: base.most_array_i_sc,
                i_sc: base.i_sc,
            };
            made.push(Item::Base, keys, uses, base.rate.clone(), charge);
        }
        let rates = self.rates(dishes, shelf);
        for ((d, rate), added) in dishes.iter().zip(rates).zip(&added) {
            let dish = &self.menu.dishes[*d as usize];
            let parts = || self.menu.code(dish).iter().map(|at| &self.menu.parts[*at as usize]);
            let i_sc = parts().map(|p| p.i_sc).fold(0.0, f64::max);
            let label = parts().map(|p| p.label).sum();
            let mut uses = vec![(0, 1.0)];
            uses.extend(shares(i_sc, label));
            uses.extend(dish.group.map(|g| (kept[g as usize], 1.0)));
            uses.extend(added.iter().filter_map(|(k, n)| stock[*k].map(|row| (row, *n as f64))));
            for (kind, row) in &floors {
                let of_kind = added.iter().find(|(k, _)| k == kind);
                uses.extend(of_kind.map(|(_, n)| (*row, -(*n as f64))));
            }
            let members = parts().flat_map(|p| p.element.members());
            let charge: f64 = members.map(|k| self.charges[k.0]).sum();
            let paid: f64 = added.iter().map(|(k, n)| costs[*k].of(*n)).sum();
            let keys =
                Keys { float_limit: dish.float_limit, most_array_i_sc: dish.most_array_i_sc, i_sc };
            let cost = charge + paid + joint * f64::from(self.joints[*d as usize]);
            made.push(Item::Dish(*d), keys, uses, rate, cost);
        }
        made
    }

    /// What strings can push into the battery. \[A\]
    fn pushed(&self, i_sc: f64, label: f64) -> f64 {
        match (self.controller.battery(), self.controller.controller_type) {
            (Some(nominal), ControllerType::Mppt) => label / nominal.volts(),
            (Some(_), ControllerType::Pwm) => i_sc,
            (None, _) => 0.0,
        }
    }

    pub(super) fn problem<'a>(
        &'a self,
        columns: Columns,
        items: &'a [Item],
        keys: &'a [Keys],
    ) -> Problem<'a> {
        let mut gates: Vec<Box<dyn Gate + 'a>> = Vec::new();
        for condition in [0, 1] {
            if keys.iter().any(|k| k.float_limit[condition].is_finite()) {
                gates.push(Box::new(FloatGate::new(self, items, keys, condition)));
            }
        }
        if keys.iter().any(|k| k.most_array_i_sc.is_finite()) {
            gates.push(Box::new(FaultGate { keys }));
        }
        Problem {
            columns: columns.columns,
            rows: columns.rows,
            gates,
            levels: self.levels(),
            most_columns: self.controller.string_ports + self.today.strings.len(),
            most_gross: self.most_passed,
        }
    }
}

impl Columns {
    fn push(&mut self, item: Item, keys: Keys, uses: Vec<(usize, f64)>, rate: Rate, cost: f64) {
        self.items.push(item);
        self.keys.push(keys);
        self.columns.push(Column { uses, rate, cost, size: 0, least_moves: 0 });
    }

    pub(super) fn keys(&self) -> &[Keys] {
        &self.keys
    }

    /// The choice that stands for what was picked, if all of it is among the columns.
    pub(super) fn choice(&self, picked: &Picked) -> Option<Choice> {
        let place = |item: &Item| self.items.binary_search(item).ok();
        let mut choice: Choice = Vec::with_capacity(picked.len());
        for (item, n) in picked {
            choice.push((place(item)?, *n));
        }
        Some(choice)
    }
}
