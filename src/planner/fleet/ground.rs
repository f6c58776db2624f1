//! One input of one site, laid out once: what could be wired there, and what stands.
//!
//! Kinds are numbered as in the site file, and behind those as in the stock.

use super::joints::{joints_of_extension, joints_of_new};
use super::rates::rate_over;
use super::shelf::Shelf;
use super::terms::SiteTerms;
use crate::electrical::{
    BLOCKING_DIODE_DROP, Catalog, Condition, Curve, CurveSet, array_curve, cold_morning,
    element_curve, stc, string_curve,
};
use crate::model::{
    ArrayWiring, Controller, Element, InputRef, Installation, KindIdx, PanelString, Spare,
};
use crate::patterns::{
    Arithmetic, Bench, Dish, Menu, Order, Pattern, describe_pattern, keeps_own_limits,
};
use crate::plan::Touch;
use crate::planner::columns::sorts_of_strings;
use crate::solve::Rate;

/// Most new strings that are listed for one input, and most extensions.
const MOST_DISHES: usize = 3_000;
/// A dish that is no string of the stock alone.
const OWN: u32 = u32::MAX;

/// Installed strings of one sort, kept together.
pub(super) struct Group {
    pub string: PanelString,
    pub n: usize,
    pub curve: Curve,
    /// Places of its elements, ascending; empty if the string itself breaks a limit.
    pub code: Vec<u16>,
}

/// What stays as it is, as one column.
pub(super) struct Base {
    pub rate: Rate,
    pub i_sc: f64,
    pub label: f64,
    pub float_limit: [f64; 2],
    pub most_array_i_sc: f64,
}

/// What a choice of an input is made of, in order: the base first, then dishes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Item {
    Base,
    Dish(u32),
}

/// One input of one site.
pub(super) struct Ground {
    pub touch: Touch,
    pub n_own: usize,
    pub menu: Menu,
    /// What each dish brings at most by itself, or more than the string that it extends, less the
    /// charges of its panels. \[W\]
    nets: Vec<f32>,
    /// Joints that each dish opens and makes.
    pub joints: Vec<u16>,
    /// Place on the shelf, for strings of the stock alone.
    shelved: Vec<u32>,
    pub groups: Vec<Group>,
    pub base: Option<Base>,
    pub today: ArrayWiring,
    /// Watts less charges as it stands. \[W\]
    pub today_charged: f64,
    /// Does today's wiring keep all limits of single strings, where it must stay?
    pub sound: bool,
    pub controller: Controller,
    pub isc_factor: f64,
    /// The coldest morning.
    pub cold: Condition,
    /// Charge on a panel of each kind. \[W\]
    pub charges: Vec<f64>,
    /// Panels of each kind that may be wired in all: the stock's, and its own.
    pub caps: Vec<usize>,
    pub catalog: Catalog,
    pub terms: SiteTerms,
    own_stc: CurveSet,
}

impl Ground {
    /// Lists what could be wired on an input.
    pub(super) fn new(
        installation: &Installation,
        own_catalog: &Catalog,
        at: InputRef,
        touch: Touch,
        terms: SiteTerms,
        shelf: &Shelf,
    ) -> Self {
        let n_own = installation.kinds.len();
        let seen = seen_from(installation, shelf);
        let catalog = own_catalog.followed_by(&shelf.catalog);
        let bench = Bench::new(&seen, &catalog, at);
        let wired = seen.installed.iter().find(|w| w.at == at);
        let today = wired.map(|w| w.array.clone()).unwrap_or_default();
        let installed = today.count_by_kind(seen.kinds.len());
        let spares: Vec<usize> = (0..seen.kinds.len()).map(|k| seen.n_spare(KindIdx(k))).collect();
        let mut free = spares.clone();
        if touch == Touch::Free {
            free.iter_mut().zip(&installed).for_each(|(n, own)| *n += own);
        }
        let sorts = match touch {
            Touch::Extend => sorts_of_strings(&today),
            _ => Vec::new(),
        };
        let strings: Vec<PanelString> = sorts.iter().map(|(s, _)| s.clone()).collect();
        let order = Order { free: &free, added: &spares, groups: &strings, most: MOST_DISHES };
        let menu = Menu::list(&bench, order);
        let own_stc = own_catalog.curves(stc());
        let sound =
            touch == Touch::Free || today.strings.iter().all(|s| keeps_own_limits(s, &bench));
        let charges: Vec<f64> = seen
            .kinds
            .iter()
            .map(|k| terms.threshold_watts.max(terms.threshold_share * k.label.p_mp.watts()))
            .collect();
        let mut ground = Self {
            touch,
            n_own,
            nets: Vec::new(),
            joints: Vec::new(),
            shelved: Vec::new(),
            groups: Vec::new(),
            base: None,
            today_charged: 0.0,
            sound,
            controller: bench.controller().clone(),
            isc_factor: seen.site.isc_factor,
            cold: cold_morning(&seen.site),
            charges,
            caps: free,
            catalog: catalog.clone(),
            terms,
            own_stc,
            today,
            menu,
        };
        ground.groups = sorts.into_iter().map(|(s, n)| ground.group(s, n)).collect();
        ground.stand(&bench);
        ground.weigh_dishes(shelf);
        ground
    }

    fn group(&self, string: PanelString, n: usize) -> Group {
        let curve = self.behind_diode(string_curve(&string, &self.own_stc));
        let place = |e: &Element| self.menu.parts.iter().position(|p| p.element == *e);
        let code: Option<Vec<u16>> =
            string.elements().iter().map(|e| place(e).map(|p| p as u16)).collect();
        let mut code = code.unwrap_or_default();
        code.sort_unstable();
        Group { string, n, curve, code }
    }

    /// What stands today: its watts, and where it must stay as it is, its column.
    fn stand(&mut self, bench: &Bench) {
        let diodes = self.controller.blocking_diodes;
        let Some(curve) = array_curve(&self.today, &self.own_stc, diodes) else { return };
        let (lo, hi) = self.levels();
        let rate = rate_over(&curve, lo, hi);
        let counts = self.today.count_by_kind(self.charges.len());
        let charge: f64 = counts.iter().zip(&self.charges).map(|(n, c)| *n as f64 * c).sum();
        self.today_charged = rate.most_in(lo, hi).unwrap_or(0.0).max(0.0) - charge;
        if self.touch != Touch::None {
            return;
        }
        let parts: Vec<Pattern> = self
            .today
            .strings
            .iter()
            .map(|s| {
                let arithmetic = Arithmetic::Curve;
                describe_pattern(s.clone(), bench, arithmetic)
            })
            .collect();
        let lowest =
            |f: &dyn Fn(&Pattern) -> f64| parts.iter().map(f).fold(f64::INFINITY, f64::min);
        self.base = Some(Base {
            rate,
            i_sc: parts.iter().map(|p| p.i_sc).sum(),
            label: parts.iter().map(|p| p.label).sum(),
            float_limit: [lowest(&|p| p.float_limit[0]), lowest(&|p| p.float_limit[1])],
            most_array_i_sc: lowest(&|p| p.most_array_i_sc),
        });
    }

    /// What each dish brings at most; those that cannot bring their charges are left out.
    fn weigh_dishes(&mut self, shelf: &Shelf) {
        let (lo, hi) = self.levels();
        let diodes = self.controller.blocking_diodes;
        let base_rates: Vec<Rate> =
            self.groups.iter().map(|g| rate_over(&g.curve, lo, hi)).collect();
        let n = self.menu.dishes.len();
        let mut shelved = vec![OWN; n];
        let mut nets = vec![0.0; n];
        for (d, dish) in self.menu.dishes.iter().enumerate() {
            let string = match dish.group {
                None => self.stock_string(dish),
                Some(_) => None,
            };
            let most = if let Some(string) = string {
                shelved[d] = shelf.place(string, diodes);
                shelf.rates(std::iter::once(shelved[d]))[0].most_in(lo, hi).unwrap_or(0.0)
            } else {
                let rate = self.own_rate(dish, shelf);
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
        self.joints = kept.map(|d| joints[d] as u16).collect();
    }

    fn joints_of(&self, dish: &Dish) -> usize {
        let elements = |code: &[u16]| -> Vec<&Element> {
            code.iter().map(|at| &self.menu.parts[*at as usize].element).collect()
        };
        let own = elements(self.menu.code(dish));
        match dish.group {
            None if self.touch == Touch::Free => usize::from(!self.stands(dish)),
            None => joints_of_new(&own),
            Some(g) => {
                let base = self.groups[g as usize].string.elements().iter().collect::<Vec<_>>();
                joints_of_extension(&base, &own)
            }
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

    /// Lowest and highest voltage at which the input holds its array. \[V\]
    pub(super) fn levels(&self) -> (f64, f64) {
        let (lo, hi) = self.controller.hold_range();
        (lo.volts(), hi.volts())
    }

    fn behind_diode(&self, curve: Curve) -> Curve {
        if self.controller.blocking_diodes {
            curve.behind_diode(BLOCKING_DIODE_DROP)
        } else {
            curve
        }
    }

    /// Curve of an element at standard test conditions.
    fn element_curve(&self, part: u16, shelf: &Shelf) -> Curve {
        let element = &self.menu.parts[part as usize].element;
        let panel = |k: &KindIdx| match k.0.checked_sub(self.n_own) {
            Some(stock) => shelf.panel(stock).clone(),
            None => element_curve(&Element::single(*k), &self.own_stc),
        };
        match element.members() {
            [one] => panel(one),
            members => {
                let curves: Vec<Curve> = members.iter().map(panel).collect();
                Curve::in_parallel(&curves.iter().collect::<Vec<_>>())
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
                let more: Vec<Curve> =
                    rest.iter().map(|part| self.element_curve(*part, shelf)).collect();
                let all = std::iter::once(&group.curve).chain(&more);
                Curve::in_series(&all.collect::<Vec<_>>())
            }
            _ => {
                let all: Vec<Curve> =
                    code.iter().map(|part| self.element_curve(*part, shelf)).collect();
                self.behind_diode(Curve::in_series(&all.iter().collect::<Vec<_>>()))
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
                if self.shelved[*d as usize] == OWN {
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

    /// Kinds and numbers of panels that a dish wires beyond the installed string that it extends.
    pub(super) fn added(&self, dish: &Dish) -> Vec<(usize, usize)> {
        let mut counts: Vec<(usize, usize)> = Vec::new();
        let members = |at: &u16| self.menu.parts[*at as usize].element.members();
        for k in self.menu.code(dish).iter().flat_map(members) {
            match counts.iter_mut().find(|(kind, _)| *kind == k.0) {
                Some((_, n)) => *n += 1,
                None => counts.push((k.0, 1)),
            }
        }
        if let Some(g) = dish.group {
            for k in self.groups[g as usize].string.panels() {
                if let Some((_, n)) = counts.iter_mut().find(|(kind, _)| *kind == k.0) {
                    *n -= 1;
                }
            }
        }
        counts.retain(|(_, n)| *n > 0);
        counts
    }

    /// The wiring that a choice stands for.
    pub(super) fn wiring(&self, choice: &[(Item, usize)]) -> ArrayWiring {
        let mut strings = Vec::new();
        for (item, n) in choice {
            match item {
                Item::Base => strings.extend(self.today.strings.iter().cloned()),
                Item::Dish(d) => {
                    let string = self.menu.string(&self.menu.dishes[*d as usize]);
                    strings.extend(std::iter::repeat_n(string, *n));
                }
            }
        }
        ArrayWiring { strings }
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

/// The site with the kinds of the stock behind its own, all of them spare.
fn seen_from(installation: &Installation, shelf: &Shelf) -> Installation {
    let n_own = installation.kinds.len();
    let mut seen = installation.clone();
    seen.kinds.extend(shelf.kinds.iter().cloned());
    let spare = |(stock, count): (usize, &usize)| Spare {
        kind: KindIdx(n_own + stock),
        count: *count,
        price: None,
    };
    seen.spares.extend(shelf.counts.iter().enumerate().map(spare));
    seen
}
