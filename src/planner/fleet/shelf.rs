//! The stock as all sites see it: fitted once, and the curves of its strings drawn once.

use std::collections::HashMap;
use std::sync::RwLock;

use super::FleetFailure;
use super::rates::rate_over;
use crate::electrical::{BLOCKING_DIODE_DROP, Catalog, Curve, CurveSet, stc, string_curve};
use crate::model::{Kind, PanelString, StockItem};
use crate::solve::Rate;
use crate::units::Amps;

/// A string that takes so many of its short-circuit currents backwards costs more than it could ever
/// bring to an array: its rate ends there, and so may arrays with it.
const BACKWARDS: f64 = 3.0;

/// Voltage at which a string's rate ends. \[V\]
fn end_of(curve: &Curve) -> f64 {
    curve.voltage_at(Amps(-BACKWARDS * curve.i_sc().amps())).volts()
}

/// How a string meets its combiner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Ends {
    Bare,
    BehindDiode,
}

/// The stock, fitted, with the rates of its strings met so far.
pub(super) struct Shelf {
    pub kinds: Vec<Kind>,
    pub counts: Vec<usize>,
    pub catalog: Catalog,
    stc: CurveSet,
    known: RwLock<Known>,
}

#[derive(Default)]
struct Known {
    rates: Vec<Rate>,
    places: HashMap<(PanelString, Ends), u32>,
}

impl Shelf {
    pub(super) fn new(stock: &[StockItem]) -> Result<Self, FleetFailure> {
        let kinds: Vec<Kind> = stock.iter().map(|item| item.kind.clone()).collect();
        let catalog = Catalog::fit(&kinds)
            .map_err(|(kind, error)| FleetFailure::Stock { stock: kind.0, error })?;
        Ok(Self {
            counts: stock.iter().map(|item| item.count).collect(),
            stc: catalog.curves(stc()),
            kinds,
            catalog,
            known: RwLock::default(),
        })
    }

    pub(super) fn len(&self) -> usize {
        self.kinds.len()
    }

    /// Curve of one panel at standard test conditions.
    pub(super) fn panel(&self, stock: usize) -> &Curve {
        self.stc.panel(crate::model::KindIdx(stock))
    }

    /// Place of a string of the stock; its rate is worked out the first time.
    pub(super) fn place(&self, string: PanelString, ends: Ends) -> u32 {
        let key = (string, ends);
        {
            let known = self.known.read().expect("no holder of the lock panics");
            if let Some(&at) = known.places.get(&key) {
                return at;
            }
        }
        let curve = string_curve(&key.0, &self.stc);
        let curve = match ends {
            Ends::Bare => curve,
            Ends::BehindDiode => curve.behind_diode(BLOCKING_DIODE_DROP),
        };
        let rate = rate_over(&curve, 0.0, end_of(&curve));
        let mut known = self.known.write().expect("no holder of the lock panics");
        // Another thread may have been faster.
        if let Some(&at) = known.places.get(&key) {
            return at;
        }
        let at = known.rates.len() as u32;
        known.rates.push(rate);
        known.places.insert(key, at);
        at
    }

    /// Rates of strings, by their places.
    pub(super) fn rates(&self, places: impl Iterator<Item = u32>) -> Vec<Rate> {
        let known = self.known.read().expect("no holder of the lock panics");
        places.map(|at| known.rates[at as usize].clone()).collect()
    }
}
