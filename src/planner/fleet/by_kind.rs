//! The plainest choices: panels of one kind of the stock, beside what stands or behind it.

use super::ground::{Ground, Item};
use super::misses::SiteMiss;
use super::question::{Asked, Picked};
use super::shelf::Shelf;
use super::tariff::Tariff;
use crate::solve::Watch;

/// A plain choice.
pub(super) enum Plain {
    /// It keeps all limits; its watts less charges and joints.
    Keeps(Picked, f64),
    Breaks(SiteMiss),
}

impl Ground {
    /// Choices with panels of one kind of the stock alone, and the kind. At most a few for each.
    pub(super) fn by_kind(&self, shelf: &Shelf) -> Vec<(usize, Plain)> {
        let plain = self.plain_dishes();
        let stands = self.stands_by_dishes();
        let mut dishes: Vec<u32> = plain.iter().map(|(d, ..)| *d).collect();
        dishes.extend(stands.iter().flatten().filter_map(|(item, _)| match item {
            Item::Dish(d) => Some(*d),
            Item::Base => None,
        }));
        dishes.sort_unstable();
        dishes.dedup();
        let costs = vec![Tariff::default(); self.charges.len()];
        let columns = self.columns(&dishes, &self.at_no_cost(&costs), shelf);
        let (items, keys) = (columns.items.clone(), columns.keys().to_vec());
        let places: Vec<(Item, usize)> = items.iter().copied().zip(0..).collect();
        let place = |item: Item| {
            let at = places.binary_search_by(|(other, _)| other.cmp(&item));
            at.ok().map(|at| places[at].1)
        };
        let problem = self.problem(columns, &items, &keys);
        let Some(stands) = stands else { return Vec::new() };
        let free_ports = self.controller.string_ports.saturating_sub(self.today.strings.len());
        let mut found = Vec::new();
        for (d, kind, n_each) in plain {
            let group = self.menu.dishes[d as usize].group;
            let room = match group {
                None => free_ports,
                Some(g) => self.groups[g as usize].n,
            };
            if room == 0 {
                found.push((kind, Plain::Breaks(self.no_port())));
                continue;
            }
            let most = room.min(self.caps[self.n_own + kind] / n_each);
            let mut numbers = vec![1, most];
            numbers.dedup();
            for n in numbers.into_iter().filter(|n| *n > 0 && *n <= most) {
                let picked = self.beside(&stands, d, n);
                let choice: Option<Vec<(usize, usize)>> =
                    picked.iter().map(|(item, n)| Some((place(*item)?, *n))).collect();
                let Some(choice) = choice else { continue };
                match problem.weigh(&choice) {
                    Some(solution) => found.push((kind, Plain::Keeps(picked, solution.value))),
                    None if n == 1 => {
                        found.push((kind, Plain::Breaks(self.broken(&problem, &choice))));
                    }
                    None => {}
                }
            }
        }
        found
    }

    /// A question that only lays out columns.
    pub(super) fn at_no_cost<'a>(&'a self, costs: &'a [Tariff]) -> Asked<'a> {
        Asked {
            costs,
            caps: &self.caps,
            floors: &[],
            known: &[],
            tolerance: 0.0,
            watch: Watch::default(),
        }
    }

    /// Dishes that add panels of one kind of the stock alone: the dish, the kind, and how many.
    fn plain_dishes(&self) -> Vec<(u32, usize, usize)> {
        let plain = |(d, dish)| self.plain_kind(dish).map(|(kind, n)| (d as u32, kind, n));
        self.menu.dishes.iter().enumerate().filter_map(plain).collect()
    }

    /// What stands today, as items; `None` if it is not among them.
    fn stands_by_dishes(&self) -> Option<Picked> {
        if self.today.strings.is_empty() {
            return Some(Vec::new());
        }
        if self.base.is_some() {
            return Some(vec![(Item::Base, 1)]);
        }
        let sorts = crate::planner::columns::sorts_of_strings(&self.today);
        let mut picked = Vec::new();
        for (string, n) in sorts {
            let stands = |dish: &crate::patterns::Dish| {
                let kept = match dish.group {
                    Some(g) => self.groups[g as usize].string == string,
                    None => self.groups.is_empty(),
                };
                kept && self.menu.string(dish) == string.canonical()
            };
            let at = self.menu.dishes.iter().position(stands)?;
            picked.push((Item::Dish(at as u32), n));
        }
        picked.sort_unstable();
        Some(picked)
    }

    /// What stands, with so many of a dish beside it or in the place of what the dish extends.
    fn beside(&self, stands: &Picked, dish: u32, n: usize) -> Picked {
        let mut picked = stands.clone();
        if let Some(g) = self.menu.dishes[dish as usize].group {
            let extends = |item: &Item| match item {
                Item::Dish(d) => self.menu.dishes[*d as usize].group == Some(g),
                Item::Base => false,
            };
            if let Some(held) = picked.iter_mut().find(|(item, _)| extends(item)) {
                held.1 = held.1.saturating_sub(n);
            }
            picked.retain(|(_, n)| *n > 0);
        }
        picked.push((Item::Dish(dish), n));
        picked.sort_unstable();
        picked
    }
}
