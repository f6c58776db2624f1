//! The elements that strings are made of, with the figures that limits are held against.

use std::collections::HashMap;
use std::rc::Rc;

use super::Miss;
use crate::electrical::{Curve, element_i_sc};
use crate::model::{ControllerType, Element, Output};
use crate::patterns::bench::ElementCurves;
use crate::patterns::pattern::{FAULT_FACTOR, fault_margin};
use crate::patterns::screen::{LEAST_WINDOW_SHARE, ROUNDING, RUN_MARGIN, unfit};
use crate::patterns::{Bench, Obstacle};
use crate::units::{Amps, Volts};

/// An element with the figures of its labels.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The element.
    pub element: Element,
    /// Short-circuit current by the labels. \[A\]
    pub i_sc: f64,
    /// Sum of label watts. \[W\]
    pub label: f64,
    /// Current at maximum power by the labels. \[A\]
    pub i_mp: f64,
}

/// What is looked up while strings are listed.
struct Figures {
    /// Open-circuit voltage on the coldest morning. \[V\]
    cold: f64,
    /// Lowest maximum system voltage of its labels. \[V\]
    system: f64,
    /// What may be pushed backwards through it; `None` where no label says. \[A\]
    bears: Option<f64>,
    /// Voltage, current and power where it gives most on the hottest noon.
    hot: (f64, f64, f64),
    hot_v_oc: f64,
    curves: Rc<ElementCurves>,
}

/// The elements met so far.
pub(super) struct Parts<'a, 'b> {
    pub(super) bench: &'b Bench<'a>,
    parts: Vec<Part>,
    figures: Vec<Figures>,
    places: HashMap<Element, u16>,
    /// Elements of the string that is being looked at.
    elements: Vec<Element>,
}

impl<'a, 'b> Parts<'a, 'b> {
    pub(super) fn new(bench: &'b Bench<'a>) -> Self {
        Self {
            bench,
            parts: Vec::new(),
            figures: Vec::new(),
            places: HashMap::new(),
            elements: Vec::new(),
        }
    }

    pub(super) fn finish(self) -> Vec<Part> {
        self.parts
    }

    pub(super) fn element(&self, part: u16) -> &Element {
        &self.parts[part as usize].element
    }

    pub(super) fn part(&self, part: u16) -> &Part {
        &self.parts[part as usize]
    }

    pub(super) fn cold(&self, part: u16) -> f64 {
        self.figures[part as usize].cold
    }

    pub(super) fn system(&self, part: u16) -> f64 {
        self.figures[part as usize].system
    }

    /// Place of an element.
    pub(super) fn place(&mut self, element: &Element) -> u16 {
        if let Some(&at) = self.places.get(element) {
            return at;
        }
        let kinds = &self.bench.installation.kinds;
        let labels = || element.members().iter().map(|k| &kinds[k.0]);
        let curves = self.bench.element(element);
        let top = curves.hot.max_power(Volts(0.0), curves.hot.v_oc().max(Volts(1.0)));
        let lowest = labels().filter_map(|k| k.max_fuse).reduce(Amps::min);
        self.figures.push(Figures {
            cold: curves.cold_v_oc,
            system: labels()
                .filter_map(|k| k.max_system)
                .map(Volts::volts)
                .fold(f64::INFINITY, f64::min),
            bears: lowest.map(|lowest| lowest.amps() * element.members().len() as f64),
            hot: (top.v.volts(), top.i.amps(), top.power().watts()),
            hot_v_oc: curves.hot.voltage_at(Amps(0.0)).volts(),
            curves,
        });
        self.parts.push(Part {
            element: element.clone(),
            i_sc: element_i_sc(element, kinds).amps(),
            label: labels().map(|k| k.label.p_mp.watts()).sum(),
            i_mp: labels().map(|k| k.label.i_mp.amps()).sum(),
        });
        let at = (self.parts.len() - 1) as u16;
        self.places.insert(element.clone(), at);
        at
    }

    /// Too many volts on the coldest morning, which adding elements can only make worse?
    pub(super) fn too_many_volts(&self, cold: f64, system: f64) -> Option<Miss> {
        let max_pv = self.bench.controller().max_pv.volts();
        if cold > max_pv * (1.0 + ROUNDING) {
            return Some(Miss { obstacle: Obstacle::ColdVoc, value: cold, limit: max_pv });
        }
        (cold > system * (1.0 + ROUNDING)).then_some(Miss {
            obstacle: Obstacle::SystemVoltage,
            value: cold,
            limit: system,
        })
    }

    /// Everything else that one string must keep by itself.
    pub(super) fn unfit(&mut self, code: &[u16]) -> Option<Miss> {
        let controller = self.bench.controller();
        let figures = || code.iter().map(|at| &self.figures[*at as usize]);
        let drop = if controller.blocking_diodes {
            crate::electrical::BLOCKING_DIODE_DROP.volts()
        } else {
            0.0
        };
        if controller.controller_type == ControllerType::Mppt {
            let needed = match controller.output {
                Output::Battery(bank) => Some(bank.charging_voltage() + RUN_MARGIN),
                Output::Converter { start, .. } => start,
            };
            let v_oc = figures().map(|f| f.hot_v_oc).sum::<f64>() - drop;
            if let Some(limit) = needed.map(Volts::volts)
                && v_oc < limit * (1.0 - ROUNDING)
            {
                return Some(Miss { obstacle: Obstacle::StartVoltage, value: v_oc, limit });
            }
            // At the current of its weakest element the string gives nearly all that its elements
            // could, inside the window: then it gives 90 % of its own maximum there.
            let i = figures().map(|f| f.hot.1).fold(f64::INFINITY, f64::min);
            let v = figures().map(|f| f.curves.hot.voltage_at(Amps(i)).volts()).sum::<f64>() - drop;
            let most = figures().map(|f| f.hot.2).sum::<f64>();
            let (lo, hi) = controller.hold_range();
            let inside = lo.volts() <= v && v <= hi.volts();
            if inside && v * i >= LEAST_WINDOW_SHARE * most && !self.has_block(code) {
                return None;
            }
        }
        if let Some(kept) = self.alike_at_battery(code) {
            return kept;
        }
        self.elements.clear();
        self.elements.extend(code.iter().map(|at| self.parts[*at as usize].element.clone()));
        let curves: Vec<&Curve> =
            code.iter().map(|at| &self.figures[*at as usize].curves.hot).collect();
        let hot = Curve::in_series(&curves);
        let miss = unfit(&self.elements, &self.bench.behind_diode(&hot), self.bench)?;
        Some(Miss { obstacle: miss.obstacle, value: miss.value, limit: miss.limit })
    }

    /// A string of one single panel repeated, held at battery voltage: its share of its own current is
    /// that of one panel at its part of the voltage. `None` for any other string.
    fn alike_at_battery(&self, code: &[u16]) -> Option<Option<Miss>> {
        let controller = self.bench.controller();
        let alike = code.iter().all(|at| *at == code[0]) && !self.has_block(code);
        let held = controller.controller_type == ControllerType::Pwm && !controller.blocking_diodes;
        if !alike || !held {
            return None;
        }
        let figures = &self.figures[code[0] as usize];
        let v = controller.hold_range().0.volts() / code.len() as f64;
        let share = (figures.curves.hot.current_at(Volts(v)).amps() / figures.hot.1).min(1.0);
        let miss = Miss {
            obstacle: Obstacle::HotWindow,
            value: 100.0 * share,
            limit: 100.0 * LEAST_WINDOW_SHARE,
        };
        Some((share < LEAST_WINDOW_SHARE - ROUNDING).then_some(miss))
    }

    fn has_block(&self, code: &[u16]) -> bool {
        code.iter().any(|at| self.element(*at).is_block())
    }

    /// Where currents backwards become too much: bus voltages at STC and cold, and the array's
    /// short-circuit current.
    pub(super) fn backwards(&mut self, code: &[u16]) -> ([f64; 2], f64) {
        let figures = || code.iter().map(|at| &self.figures[*at as usize]);
        let borne = figures().filter_map(|f| f.bears).reduce(f64::min);
        let float_limit = match borne {
            Some(limit) if !self.bench.controller().blocking_diodes => {
                let at = |curve: &Curve| curve.voltage_at(Amps(-limit)).volts();
                [
                    figures().map(|f| at(&f.curves.idle[0])).sum(),
                    figures().map(|f| at(&f.curves.idle[1])).sum(),
                ]
            }
            _ => [f64::INFINITY; 2],
        };
        let i_sc = code.iter().map(|at| self.parts[*at as usize].i_sc).fold(0.0, f64::max);
        self.elements.clear();
        self.elements.extend(code.iter().map(|at| self.parts[*at as usize].element.clone()));
        let margin = fault_margin(&self.elements, &self.bench.installation.kinds).1;
        (float_limit, i_sc + margin / FAULT_FACTOR)
    }
}
