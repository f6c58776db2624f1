//! A year of one site: made once, asked for every wiring.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::cells::Cells;
use super::losses::efficiency;
use super::table::Grid;
use super::{SunHour, YearEnergy, kept_share, light_of, losses_of};
use crate::electrical::{Catalog, Condition, CurveSet, array_curve, cell_temperature};
use crate::model::{ArrayWiring, InputRef, InputWiring, Installation};
use crate::units::{Celsius, Irradiance, KilowattHours, Volts};

/// Judges wirings of one site by a year of sun.
#[derive(Debug)]
pub struct EnergyModel<'a> {
    installation: &'a Installation,
    catalog: &'a Catalog,
    hours: Vec<SunHour>,
    /// Share of power that is left before the controllers.
    kept: f64,
    nodes: Nodes,
    /// Every kind's curve at every node.
    curves: Vec<CurveSet>,
    /// Power over sun at every node of what was asked before. \[W per W/m²\]
    known: RefCell<BTreeMap<(InputRef, ArrayWiring), Vec<f64>>>,
}

/// Sun and air for which power is drawn by the curves; the hours lie between or beside them.
#[derive(Debug)]
enum Nodes {
    /// One plane: a table over sun and air.
    OnePlane(Grid),
    /// Several planes: the hours in cells, since a table would have a side for each plane.
    Planes(Cells),
}

impl Nodes {
    fn of(hours: &[SunHour], n_planes: usize) -> Self {
        if n_planes > 1 {
            return Self::Planes(Cells::of(hours));
        }
        let most_sun = hours.iter().map(|h| h.sun[0]).fold(1.0, f64::max);
        let air = hours.iter().map(|h| h.air);
        let least = air.clone().fold(f64::INFINITY, f64::min);
        let most = air.fold(f64::NEG_INFINITY, f64::max);
        let span = if least <= most { (least, most) } else { (20.0, 20.0) };
        Self::OnePlane(Grid::over(most_sun, span))
    }

    /// Sun on every plane and air of every node.
    fn all(&self) -> Vec<(Vec<f64>, f64)> {
        match self {
            Self::OnePlane(grid) => grid.nodes().map(|(sun, air)| (vec![sun], air)).collect(),
            Self::Planes(cells) => cells.nodes().collect(),
        }
    }
}

impl<'a> EnergyModel<'a> {
    /// A year at a site; `None` if its file does not say enough about the sun.
    #[must_use]
    pub fn of(installation: &'a Installation, catalog: &'a Catalog) -> Option<Self> {
        let sun = &installation.site.sun;
        let (source, planes) = light_of(sun)?;
        let hours = source.on_each(&planes);
        let nodes = Nodes::of(&hours, planes.len());
        let mut model = Self {
            installation,
            catalog,
            hours,
            kept: kept_share(&losses_of(sun)),
            curves: Vec::new(),
            known: RefCell::new(BTreeMap::new()),
            nodes,
        };
        let curves = |(sun, air): (Vec<f64>, f64)| model.curves_at(&sun, air);
        model.curves = model.nodes.all().into_iter().map(curves).collect();
        Some(model)
    }

    /// The hours with light on any panel.
    #[must_use]
    pub fn hours(&self) -> &[SunHour] {
        &self.hours
    }

    /// The year of a whole site's wiring.
    #[must_use]
    pub fn year(&self, wiring: &[InputWiring]) -> YearEnergy {
        for input in wiring {
            self.learn(input);
        }
        let known = self.known.borrow();
        let tables: Vec<(InputRef, Vec<f64>, &Vec<f64>)> = wiring
            .iter()
            .filter_map(|w| {
                let per_sun = known.get(&(w.at, w.array.canonical()))?;
                Some((w.at, self.shares(&w.array), per_sun))
            })
            .collect();
        self.sum(|at, hour| {
            let own = tables.iter().filter(|(table_at, ..)| *table_at == at);
            own.map(|(_, shares, per_sun)| self.looked_up(shares, per_sun, hour)).sum()
        })
    }

    /// The same with the curves drawn anew for every hour: slow, and what [`Self::year`] is tested by.
    #[must_use]
    pub fn year_hour_by_hour(&self, wiring: &[InputWiring]) -> YearEnergy {
        self.sum(|at, hour| {
            let SunHour { sun, air, .. } = &self.hours[hour];
            let own = wiring.iter().filter(|w| w.at == at);
            own.map(|w| self.power(w, &self.curves_at(sun, *air))).sum()
        })
    }

    pub(super) fn installation(&self) -> &Installation {
        self.installation
    }

    /// Share of power that is left before the controllers.
    pub(super) fn kept(&self) -> f64 {
        self.kept
    }

    /// What each controller would put out in each hour if its output had no limit. \[W\]
    pub(super) fn unlimited(&self, wiring: &[InputWiring]) -> Vec<Vec<f64>> {
        for input in wiring {
            self.learn(input);
        }
        let known = self.known.borrow();
        let of_one = |(c, controller)| {
            let share = self.kept * efficiency(controller);
            let own = wiring.iter().filter(|w| w.at.controller == c);
            let tables: Vec<(Vec<f64>, &Vec<f64>)> = own
                .filter_map(|w| {
                    let per_sun = known.get(&(w.at, w.array.canonical()))?;
                    Some((self.shares(&w.array), per_sun))
                })
                .collect();
            let at = |hour: usize| {
                let powers =
                    tables.iter().map(|(shares, per_sun)| self.looked_up(shares, per_sun, hour));
                share * powers.sum::<f64>()
            };
            (0..self.hours.len()).map(at).collect()
        };
        self.installation.controllers.iter().enumerate().map(of_one).collect()
    }

    /// Power of an input in an hour, from its power over sun at the nodes. \[W\]
    fn looked_up(&self, shares: &[f64], per_sun: &[f64], hour: usize) -> f64 {
        let SunHour { sun, air, .. } = &self.hours[hour];
        match &self.nodes {
            Nodes::OnePlane(grid) => grid.power(per_sun, sun[0], *air),
            Nodes::Planes(cells) => per_sun[cells.of_hour(hour)] * weighed(sun, shares),
        }
    }

    /// Share of an array's label watts on each plane.
    fn shares(&self, array: &ArrayWiring) -> Vec<f64> {
        let n_planes = self.installation.site.sun.planes.len().max(1);
        if n_planes == 1 {
            return vec![1.0];
        }
        let mut shares = vec![0.0; n_planes];
        for k in array.panels() {
            shares[self.installation.kind(k).sun_place()] +=
                self.installation.kind(k).label.p_mp.watts();
        }
        let all: f64 = shares.iter().sum();
        shares.into_iter().map(|watts| watts / all).collect()
    }

    /// Adds up the year from the power of each input in each hour. \[W\]
    fn sum(&self, power: impl Fn(InputRef, usize) -> f64) -> YearEnergy {
        let inputs: Vec<InputRef> = self.installation.installed.iter().map(|w| w.at).collect();
        let controllers: Vec<(Vec<InputRef>, f64, Option<f64>)> = self
            .installation
            .controllers
            .iter()
            .enumerate()
            .map(|(c, controller)| {
                let own = inputs.iter().copied().filter(|at| at.controller == c).collect();
                let limit = controller.clip_limit().map(|w| w.watts());
                (own, self.kept * efficiency(controller), limit)
            })
            .collect();
        let mut year = YearEnergy::default();
        for (h, hour) in self.hours.iter().enumerate() {
            let month = &mut year.months[hour.month];
            let mut at_limit = false;
            for (own, share, limit) in &controllers {
                let free = share * own.iter().map(|at| power(*at, h)).sum::<f64>();
                let out = limit.map_or(free, |limit| free.min(limit));
                at_limit |= free > out;
                month.out += KilowattHours(out * hour.hours / 1000.0);
                month.clipped += KilowattHours((free - out) * hour.hours / 1000.0);
            }
            if at_limit {
                month.clipped_hours += hour.hours;
            }
        }
        year
    }

    /// Tabulates an input's power, unless it is known.
    fn learn(&self, wiring: &InputWiring) {
        let key = (wiring.at, wiring.array.canonical());
        if wiring.array.strings.is_empty() || self.known.borrow().contains_key(&key) {
            return;
        }
        let shares = self.shares(&wiring.array);
        let per_sun = |((sun, _), curves): ((Vec<f64>, f64), &CurveSet)| {
            let sun = weighed(&sun, &shares);
            // In the dark it gives nothing.
            if sun > 0.0 { self.power(wiring, curves) / sun } else { 0.0 }
        };
        let per_sun = self.nodes.all().into_iter().zip(&self.curves).map(per_sun).collect();
        self.known.borrow_mut().insert(key, per_sun);
    }

    /// What the input draws from its array: the most in its window, or what comes at battery
    /// voltage. \[W\]
    fn power(&self, wiring: &InputWiring, curves: &CurveSet) -> f64 {
        let controller = self.installation.controller(wiring.at);
        let (lo, hi): (Volts, Volts) = controller.hold_range();
        array_curve(&wiring.array, curves, controller.blocking_diodes)
            .map_or(0.0, |curve| curve.max_power(lo, hi).power().watts().max(0.0))
    }

    /// Every kind's curve under the sun on its plane, its cells as warm as its label has them. \[W/m²\],
    /// \[°C\]
    fn curves_at(&self, sun: &[f64], air: f64) -> CurveSet {
        self.catalog.curves_at(|kind| {
            let irradiance = Irradiance(sun[self.installation.kind(kind).sun_place()]);
            let label = self.installation.kind(kind);
            Condition { irradiance, temp_cell: cell_temperature(label, Celsius(air), irradiance) }
        })
    }
}

/// Sun on an array: that of each plane by its share of the array.
fn weighed(sun: &[f64], shares: &[f64]) -> f64 {
    sun.iter().zip(shares).map(|(sun, share)| sun * share).sum()
}
