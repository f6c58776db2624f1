//! A year of one site: made once, asked for every wiring.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::losses::efficiency;
use super::table::Grid;
use super::{YearEnergy, kept_share, light_of, losses_of};
use crate::electrical::{Catalog, Condition, CurveSet, array_curve, cell_temperature};
use crate::model::{ArrayWiring, InputRef, InputWiring, Installation};
use crate::sun::PlaneHour;
use crate::units::{Celsius, Irradiance, KilowattHours, Volts};

/// Judges wirings of one site by a year of sun.
#[derive(Debug)]
pub struct EnergyModel<'a> {
    installation: &'a Installation,
    catalog: &'a Catalog,
    hours: Vec<PlaneHour>,
    /// Share of power that is left before the controllers.
    kept: f64,
    grid: Grid,
    /// Every kind's curve at every node.
    curves: Vec<CurveSet>,
    /// Power over sun at every node of what was asked before. \[W per W/m²\]
    known: RefCell<BTreeMap<(InputRef, ArrayWiring), Vec<f64>>>,
}

impl<'a> EnergyModel<'a> {
    /// A year at a site; `None` if its file does not say enough about the sun.
    #[must_use]
    pub fn of(installation: &'a Installation, catalog: &'a Catalog) -> Option<Self> {
        let sun = &installation.site.sun;
        let (source, plane) = light_of(sun)?;
        let hours = source.on(plane);
        let most_sun = hours.iter().map(|h| h.irradiance.watts_per_m2()).fold(1.0, f64::max);
        let air = hours.iter().map(|h| h.air.celsius());
        let least = air.clone().fold(f64::INFINITY, f64::min);
        let most = air.fold(f64::NEG_INFINITY, f64::max);
        let span = if least <= most { (least, most) } else { (20.0, 20.0) };
        let grid = Grid::over(most_sun, span);
        let mut model = Self {
            installation,
            catalog,
            hours,
            kept: kept_share(&losses_of(sun)),
            grid,
            curves: Vec::new(),
            known: RefCell::new(BTreeMap::new()),
        };
        model.curves = model.grid.nodes().map(|(sun, air)| model.curves_at(sun, air)).collect();
        Some(model)
    }

    /// The hours with light on the panels.
    #[must_use]
    pub fn hours(&self) -> &[PlaneHour] {
        &self.hours
    }

    /// The year of a whole site's wiring.
    #[must_use]
    pub fn year(&self, wiring: &[InputWiring]) -> YearEnergy {
        for input in wiring {
            self.learn(input);
        }
        let known = self.known.borrow();
        let tables: Vec<(InputRef, &Vec<f64>)> = wiring
            .iter()
            .filter_map(|w| Some((w.at, known.get(&(w.at, w.array.canonical()))?)))
            .collect();
        self.sum(|at, sun, air| {
            let own = tables.iter().filter(|(table_at, _)| *table_at == at);
            own.map(|(_, per_sun)| self.grid.power(per_sun, sun, air)).sum()
        })
    }

    /// The same with the curves drawn anew for every hour: slow, and what [`Self::year`] is tested by.
    #[must_use]
    pub fn year_hour_by_hour(&self, wiring: &[InputWiring]) -> YearEnergy {
        self.sum(|at, sun, air| {
            let own = wiring.iter().filter(|w| w.at == at);
            own.map(|w| self.power(w, &self.curves_at(sun, air))).sum()
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
            let tables: Vec<&Vec<f64>> =
                own.filter_map(|w| known.get(&(w.at, w.array.canonical()))).collect();
            let at = |hour: &PlaneHour| {
                let (sun, air) = (hour.irradiance.watts_per_m2(), hour.air.celsius());
                let powers = tables.iter().map(|per_sun| self.grid.power(per_sun, sun, air));
                share * powers.sum::<f64>()
            };
            self.hours.iter().map(at).collect()
        };
        self.installation.controllers.iter().enumerate().map(of_one).collect()
    }

    /// Adds up the year from the power of each input \[W\] under some sun \[W/m²\] and air \[°C\].
    fn sum(&self, power: impl Fn(InputRef, f64, f64) -> f64) -> YearEnergy {
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
        for hour in &self.hours {
            let (sun, air) = (hour.irradiance.watts_per_m2(), hour.air.celsius());
            let month = &mut year.months[hour.month];
            let mut at_limit = false;
            for (own, share, limit) in &controllers {
                let free = share * own.iter().map(|at| power(*at, sun, air)).sum::<f64>();
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
        let nodes = self.grid.nodes().zip(&self.curves);
        let per_sun = nodes.map(|((sun, _), curves)| self.power(wiring, curves) / sun).collect();
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

    /// Every kind's curve under some sun, its cells as warm as its label has them. \[W/m²\], \[°C\]
    fn curves_at(&self, sun: f64, air: f64) -> CurveSet {
        let irradiance = Irradiance(sun);
        self.catalog.curves_at(|kind| Condition {
            irradiance,
            temp_cell: cell_temperature(self.installation.kind(kind), Celsius(air), irradiance),
        })
    }
}
