//! Curves of panels and strings as they may really be, at the light and warmth of a set of readings.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::built::{BuiltPanel, Chain};
use crate::electrical::{Catalog, Condition, Curve, Point};
use crate::units::{Amps, Celsius, Irradiance, Volts};

/// How a conducting bypass diode's voltage rises with its current, leads included. \[Ω\] (common practice,
/// no source)
const BYPASS_RESISTANCE: f64 = 0.01;

/// Light in tenths of a W/m² and cell temperature in hundredths of a kelvin: a condition that can be a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Sky {
    light: i64,
    warmth: i64,
}

impl Sky {
    pub(super) fn new(irradiance: f64, temp_cell: f64) -> Self {
        Self {
            light: (10.0 * irradiance).round() as i64,
            warmth: (100.0 * temp_cell).round() as i64,
        }
    }
}

/// A string's curve; `None` where no current can pass.
type ChainCurve = Option<Rc<Curve>>;

/// Every curve that was ever asked for, so that hypotheses that share strings share their work.
pub(super) struct Curves<'a> {
    catalog: &'a Catalog,
    panels: RefCell<HashMap<(BuiltPanel, Sky), Rc<Curve>>>,
    chains: RefCell<HashMap<(Chain, Sky), ChainCurve>>,
}

impl<'a> Curves<'a> {
    pub(super) fn new(catalog: &'a Catalog) -> Self {
        Self { catalog, panels: RefCell::default(), chains: RefCell::default() }
    }

    /// Sections of a panel that a bypass diode each can take out.
    pub(super) fn sections(&self, kind: crate::model::KindIdx) -> usize {
        self.catalog.model(kind).bypass_diodes
    }

    /// The curve of one panel by itself.
    pub(super) fn panel(&self, panel: BuiltPanel, sky: Sky) -> Rc<Curve> {
        if let Some(known) = self.panels.borrow().get(&(panel, sky)) {
            return Rc::clone(known);
        }
        let curve = Rc::new(self.draw_panel(panel, sky));
        self.panels.borrow_mut().insert((panel, sky), Rc::clone(&curve));
        curve
    }

    fn draw_panel(&self, panel: BuiltPanel, sky: Sky) -> Curve {
        let model = self.catalog.model(panel.kind);
        let light = sky.light as f64 / 10.0 * f64::from(panel.light) / 1000.0;
        let condition = Condition {
            irradiance: Irradiance(light),
            temp_cell: Celsius(sky.warmth as f64 / 100.0),
        };
        let mut knots = model.curve(condition).knots().to_vec();
        // A bypass diode carries more at a little more volts: currents that circulate stay finite.
        let (first, second) = (knots[0], knots[1]);
        knots[0].v = first.v - Volts(BYPASS_RESISTANCE * (first.i.0 - second.i.0));
        if panel.sections_out > 0 {
            let left = 1.0 - panel.sections_out as f64 / model.bypass_diodes.max(1) as f64;
            for knot in &mut knots {
                knot.v = knot.v * left;
            }
        }
        if panel.reversed {
            knots = turned(&knots);
        }
        Curve::from_knots(knots)
    }

    /// The curve of a string by itself; `None` where no current can pass.
    pub(super) fn chain(&self, chain: &Chain, sky: Sky) -> Option<Rc<Curve>> {
        let key = (chain.clone(), sky);
        if let Some(known) = self.chains.borrow().get(&key) {
            return known.clone();
        }
        let curve = self.draw_chain(chain, sky).map(Rc::new);
        self.chains.borrow_mut().insert(key, curve.clone());
        curve
    }

    fn draw_chain(&self, chain: &Chain, sky: Sky) -> Option<Curve> {
        if chain.open || chain.elements.is_empty() {
            return None;
        }
        let elements: Vec<Curve> = chain
            .elements
            .iter()
            .map(|members| {
                let parts: Vec<Rc<Curve>> = members.iter().map(|p| self.panel(*p, sky)).collect();
                match &parts[..] {
                    [one] => one.as_ref().clone(),
                    _ => Curve::in_parallel(&parts.iter().map(Rc::as_ref).collect::<Vec<_>>()),
                }
            })
            .collect();
        let curve = Curve::in_series(&elements.iter().collect::<Vec<_>>());
        Some(if chain.reversed { Curve::from_knots(turned(curve.knots())) } else { curve })
    }
}

/// The same with plus and minus exchanged.
fn turned(knots: &[Point]) -> Vec<Point> {
    let turn = |k: &Point| Point { v: Volts(-k.v.0), i: Amps(-k.i.0) };
    knots.iter().rev().map(turn).collect()
}
