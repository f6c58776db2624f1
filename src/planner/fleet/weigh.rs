//! What each string that could stand at an input brings at most, and its rate.

use std::borrow::Cow;

use super::ground::Ground;
use super::joints::{joints_of_extension, joints_of_new};
use super::rates::rate_over;
use super::shelf::{Ends, Shelf};
use crate::electrical::{BLOCKING_DIODE_DROP, Curve};
use crate::model::{Element, KindIdx, PanelString};
use crate::patterns::Dish;
use crate::plan::Touch;
use crate::solve::Rate;

/// A dish that is no string of the stock alone.
const OWN: u32 = u32::MAX;

impl Ground {
    /// What each dish brings at most; those that cannot bring their charges are left out.
    pub(super) fn weigh_dishes(&mut self, shelf: &Shelf) {
        let (lo, hi) = self.levels();
        let ends = if self.controller.blocking_diodes { Ends::BehindDiode } else { Ends::Bare };
        let base_rates: Vec<Rate> =
            self.groups.iter().map(|g| rate_over(&g.curve, lo, hi)).collect();
        let n = self.menu.dishes.len();
        let mut shelved = vec![OWN; n];
        let mut nets = vec![0.0; n];
        let mut fresh: Vec<Option<Rate>> = vec![None; n];
        for (d, dish) in self.menu.dishes.iter().enumerate() {
            let string = match dish.group {
                None => self.stock_string(dish),
                Some(_) => None,
            };
            let plain = self.plain_kind(dish).is_some();
            let most = if let Some(string) = string {
                shelved[d] = shelf.place(string, ends);
                shelf.rates(std::iter::once(shelved[d]))[0].most_in(lo, hi).unwrap_or(0.0)
            } else {
                let rate = self.own_rate(dish, shelf);
                fresh[d] = plain.then(|| rate.clone());
                match dish.group {
                    Some(g) if *self.menu.code(dish) == *self.groups[g as usize].code => {
                        f64::INFINITY
                    }
                    Some(g) => rate.most_above(&base_rates[g as usize], lo, hi),
                    None => rate.most_in(lo, hi).unwrap_or(0.0),
                }
            };
            let charge: f64 =
                self.added(dish).iter().map(|(k, n)| self.charges[*k] * *n as f64).sum();
            nets[d] = most - charge;
        }
        let joints: Vec<usize> = self.menu.dishes.iter().map(|dish| self.joints_of(dish)).collect();
        self.menu.retain(|at, _| nets[at] > 0.0);
        let kept = (0..n).filter(|d| nets[*d] > 0.0);
        // Rounded up, so that nothing is left out for rounding.
        self.nets = kept.clone().map(|d| (nets[d] * (1.0 + 1e-6)) as f32).collect();
        self.shelved = kept.clone().map(|d| shelved[d]).collect();
        self.fresh = kept.clone().map(|d| fresh[d].take()).collect();
        self.joints = kept.map(|d| joints[d] as u16).collect();
    }

    fn joints_of(&self, dish: &Dish) -> usize {
        let elements = |code: &[u16]| -> Vec<&Element> {
            code.iter().map(|at| &self.menu.parts[*at as usize].element).collect()
        };
        let own = elements(self.menu.code(dish));
        match dish.group {
            None if self.touch == Touch::Free => self.joints_of_free(dish, &own),
            None => joints_of_new(&own),
            Some(g) => {
                let base = self.groups[g as usize].string.elements().iter().collect::<Vec<_>>();
                joints_of_extension(&base, &own)
            }
        }
    }

    /// Where everything may be rewired, the joints that a string needs at least: all of one that is of the
    /// stock alone; else one for each panel of the stock, each of which has two ends to join.
    fn joints_of_free(&self, dish: &Dish, elements: &[&Element]) -> usize {
        let panels = || elements.iter().flat_map(|e| e.members());
        let new = panels().filter(|k| k.0 >= self.n_own).count();
        if new == panels().count() {
            joints_of_new(elements)
        } else {
            new.max(usize::from(!self.stands(dish)))
        }
    }

    fn stands(&self, dish: &Dish) -> bool {
        let string = self.menu.string(dish);
        self.today.strings.iter().any(|s| s.canonical() == string)
    }

    /// A dish as a string over the stock's own kinds, if it has no other panels.
    fn stock_string(&self, dish: &Dish) -> Option<PanelString> {
        let element = |at: &u16| {
            let members = self.menu.parts[*at as usize].element.members();
            let stock: Option<Vec<KindIdx>> =
                members.iter().map(|k| k.0.checked_sub(self.n_own).map(KindIdx)).collect();
            stock.map(Element::block)
        };
        let elements: Option<Vec<Element>> = self.menu.code(dish).iter().map(element).collect();
        elements.map(|elements| PanelString::new(elements).canonical())
    }

    pub(super) fn behind_diode(&self, curve: Curve) -> Curve {
        if self.controller.blocking_diodes {
            curve.behind_diode(BLOCKING_DIODE_DROP)
        } else {
            curve
        }
    }

    /// Curve of an element at standard test conditions.
    fn element_curve<'c>(&'c self, part: u16, shelf: &'c Shelf) -> Cow<'c, Curve> {
        let panel = |k: &KindIdx| match k.0.checked_sub(self.n_own) {
            Some(stock) => shelf.panel(stock),
            None => self.own_stc.panel(*k),
        };
        match self.menu.parts[part as usize].element.members() {
            [one] => Cow::Borrowed(panel(one)),
            members => {
                Cow::Owned(Curve::in_parallel(&members.iter().map(panel).collect::<Vec<_>>()))
            }
        }
    }

    /// Rate of a string that has panels of the site's own.
    fn own_rate(&self, dish: &Dish, shelf: &Shelf) -> Rate {
        let code = self.menu.code(dish);
        let group = dish.group.map(|g| &self.groups[g as usize]);
        // An installed string that is only lengthened need not be put together again.
        let rest =
            group.filter(|_| !self.controller.blocking_diodes).and_then(|g| beyond(code, &g.code));
        let curve = match (group, rest) {
            (Some(group), Some(rest)) => {
                let more: Vec<Cow<Curve>> =
                    rest.iter().map(|part| self.element_curve(*part, shelf)).collect();
                let all = std::iter::once(&group.curve).chain(more.iter().map(|c| &**c));
                Curve::in_series(&all.collect::<Vec<_>>())
            }
            _ => {
                let all: Vec<Cow<Curve>> =
                    code.iter().map(|part| self.element_curve(*part, shelf)).collect();
                let all: Vec<&Curve> = all.iter().map(|c| &**c).collect();
                self.behind_diode(Curve::in_series(&all))
            }
        };
        let (lo, hi) = self.levels();
        rate_over(&curve, lo, hi)
    }

    /// Rates of some dishes.
    pub(super) fn rates(&self, dishes: &[u32], shelf: &Shelf) -> Vec<Rate> {
        let on_shelf = dishes.iter().map(|d| self.shelved[*d as usize]).filter(|at| *at != OWN);
        let mut shelved = shelf.rates(on_shelf).into_iter();
        dishes
            .iter()
            .map(|d| {
                let fresh = self.fresh.get(*d as usize).and_then(Option::as_ref);
                if let Some(rate) = fresh {
                    rate.clone()
                } else if self.shelved[*d as usize] == OWN {
                    self.own_rate(&self.menu.dishes[*d as usize], shelf)
                } else {
                    shelved.next().expect("one rate for each string on the shelf")
                }
            })
            .collect()
    }

    pub(super) fn net(&self, dish: usize) -> f64 {
        f64::from(self.nets[dish])
    }

    /// The kind of the stock that a dish adds, and how many, if it adds nothing else.
    pub(super) fn plain_kind(&self, dish: &Dish) -> Option<(usize, usize)> {
        match self.added(dish)[..] {
            [(k, n)] if k >= self.n_own => Some((k - self.n_own, n)),
            _ => None,
        }
    }
}

/// What a code has beyond another; `None` if it lacks some of it. Both ascending.
fn beyond(code: &[u16], base: &[u16]) -> Option<Vec<u16>> {
    let mut rest = code.to_vec();
    for part in base {
        let at = rest.iter().position(|p| p == part)?;
        rest.remove(at);
    }
    (!base.is_empty()).then_some(rest)
}
