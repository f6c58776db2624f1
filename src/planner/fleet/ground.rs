//! One input of one site, laid out once: what could be wired there, and what stands.
//!
//! Kinds are numbered as in the site file, and behind those as in the stock.

use super::rates::rate_over;
use super::shelf::Shelf;
use super::terms::SiteTerms;
use crate::electrical::{
    Catalog, Condition, Curve, CurveSet, array_curve, cold_morning, stc, string_curve,
};
use crate::model::{
    ArrayWiring, Controller, Element, InputRef, Installation, KindIdx, PanelString, Spare,
};
use crate::patterns::{
    Arithmetic, Bench, Dish, Menu, Order, Pattern, describe_pattern, keeps_own_limits,
};
use crate::plan::Touch;
use crate::planner::charging::{left_for, pushed};
use crate::planner::columns::sorts_of_strings;
use crate::planner::site::movable;
use crate::solve::Rate;

/// Most new strings that are listed for one input in any but the narrowest scope.
const MOST_NEW: usize = 2_500;
/// The same of extensions.
const MOST_EXTENDED: usize = 1_000;

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
    pub(super) nets: Vec<f32>,
    /// Joints that each dish opens and makes.
    pub joints: Vec<u16>,
    /// Place on the shelf, for strings of the stock alone.
    pub(super) shelved: Vec<u32>,
    /// Rates of dishes, while the input is being laid out.
    pub(super) fresh: Vec<Option<Rate>>,
    pub groups: Vec<Group>,
    pub base: Option<Base>,
    pub today: ArrayWiring,
    /// Watts less charges as it stands. \[W\]
    pub today_charged: f64,
    /// Does today's wiring keep all limits of single strings, where it must stay?
    pub sound: bool,
    pub controller: Controller,
    pub isc_factor: f64,
    /// What may be pushed into a battery of limited charge; `None` where that is no matter. \[A\]
    pub most_pushed: Option<f64>,
    /// What of its array's watts counts, where its controller's output is limited. \[W\]
    pub most_passed: Option<f64>,
    /// The coldest morning.
    pub cold: Condition,
    /// Charge on a panel of each kind. \[W\]
    pub charges: Vec<f64>,
    /// Panels of each kind that may be wired in all: the stock's, and its own.
    pub caps: Vec<usize>,
    pub catalog: Catalog,
    pub terms: SiteTerms,
    pub(super) own_stc: CurveSet,
}

impl Ground {
    /// Lists what could be wired on an input.
    pub(super) fn new(
        installation: &Installation,
        own_catalog: &Catalog,
        at: InputRef,
        touch: Touch,
        (terms, most_passed): (SiteTerms, Option<f64>),
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
        let order = Order {
            free: &free,
            added: &spares,
            groups: &strings,
            most_new: MOST_NEW,
            most_extended: MOST_EXTENDED,
        };
        let menu = Menu::list(&bench, order);
        let own_stc = own_catalog.curves(stc());
        let sound =
            touch != Touch::None || today.strings.iter().all(|s| keeps_own_limits(s, &bench));
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
            fresh: Vec::new(),
            groups: Vec::new(),
            base: None,
            today_charged: 0.0,
            sound,
            controller: bench.controller().clone(),
            isc_factor: seen.site.isc_factor,
            most_pushed: most_pushed(installation, at),
            most_passed,
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
        let gives = rate.most_in(lo, hi).unwrap_or(0.0).max(0.0);
        self.today_charged = self.most_passed.map_or(gives, |most| gives.min(most)) - charge;
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

    /// Lowest and highest voltage at which the input holds its array. \[V\]
    pub(super) fn levels(&self) -> (f64, f64) {
        let (lo, hi) = self.controller.hold_range();
        (lo.volts(), hi.volts())
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

/// What an input may push into a battery of limited charge. \[A\]
///
/// Several inputs are planned apart: of what is left today each may take its part.
pub(super) fn most_pushed(installation: &Installation, at: InputRef) -> Option<f64> {
    let most = left_for(installation, at)?.most;
    let n_inputs = movable(installation).len().max(1);
    let stands = installation.installed.iter().find(|w| w.at == at);
    let today = stands.map_or(0.0, |w| pushed(installation, at, &w.array).amps());
    Some(today + (most - today) / n_inputs as f64)
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
        places: Vec::new(),
    };
    seen.spares.extend(shelf.counts.iter().enumerate().map(spare));
    seen
}
