//! Everything that candidates on one input share: curves of elements, the controller, the site.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::enumerate::{PatternSet, free_patterns};
use super::{Arithmetic, Shelf};
use crate::electrical::{
    BLOCKING_DIODE_DROP, Catalog, Curve, CurveSet, cold_morning, cold_v_oc, element_curve,
    hot_noon, stc,
};
use crate::model::{Controller, Element, InputRef, Installation, PanelString};
use crate::units::Amps;

/// Curves of one element at the three conditions.
#[derive(Debug)]
pub(super) struct ElementCurves {
    pub stc: Curve,
    pub cold: Curve,
    pub hot: Curve,
    /// Open-circuit voltage on the coldest morning by the labels. \[V\]
    pub cold_v_oc: f64,
}

/// Curves of a string at full sun and on the hottest noon.
#[derive(Debug)]
pub(super) struct SeriesCurves {
    pub stc: Curve,
    pub hot: Curve,
}

/// A workbench for one input of one installation.
pub struct Bench<'a> {
    /// The installation.
    pub installation: &'a Installation,
    /// Its fitted kinds.
    pub catalog: &'a Catalog,
    /// The input.
    pub at: InputRef,
    stc: CurveSet,
    cold: CurveSet,
    hot: CurveSet,
    elements: RefCell<BTreeMap<Element, Rc<ElementCurves>>>,
    shelf: Option<&'a Shelf>,
}

/// A condition under which a string floats on an idle controller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Idle {
    /// Full sun, cells at 25 °C.
    Stc,
    /// Full sun on the coldest morning.
    Cold,
}

impl<'a> Bench<'a> {
    /// Lays out the curves of every kind.
    #[must_use]
    pub fn new(installation: &'a Installation, catalog: &'a Catalog, at: InputRef) -> Self {
        let site = &installation.site;
        Self {
            installation,
            catalog,
            at,
            stc: catalog.curves(stc()),
            cold: catalog.curves(cold_morning(site)),
            hot: catalog.curves_at(|k| hot_noon(site, installation.kind(k))),
            elements: RefCell::new(BTreeMap::new()),
            shelf: None,
        }
    }

    /// The same with a shelf of lists that inputs of this installation share.
    #[must_use]
    pub fn with_shelf(self, shelf: &'a Shelf) -> Self {
        Self { shelf: Some(shelf), ..self }
    }

    /// [`free_patterns`](super::free_patterns), from the shelf if there is one.
    #[must_use]
    pub fn free_patterns(&self, stock: &[usize], arithmetic: Arithmetic) -> Rc<PatternSet> {
        match self.shelf {
            Some(shelf) => shelf.free(self, stock, arithmetic),
            None => Rc::new(free_patterns(self, stock, arithmetic)),
        }
    }

    /// The controller of the input.
    #[must_use]
    pub fn controller(&self) -> &'a Controller {
        self.installation.controller(self.at)
    }

    pub(super) fn element(&self, element: &Element) -> Rc<ElementCurves> {
        let mut cache = self.elements.borrow_mut();
        if let Some(curves) = cache.get(element) {
            return Rc::clone(curves);
        }
        let curves = Rc::new(ElementCurves {
            stc: element_curve(element, &self.stc),
            cold: element_curve(element, &self.cold),
            hot: element_curve(element, &self.hot),
            cold_v_oc: cold_v_oc(
                &PanelString::new(vec![element.clone()]),
                &self.installation.kinds,
                self.installation.site.coldest,
            )
            .v_oc
            .volts(),
        });
        cache.insert(element.clone(), Rc::clone(&curves));
        curves
    }

    /// Curves of a string with one more element in series.
    pub(super) fn lengthen(
        &self,
        string: Option<&SeriesCurves>,
        element: &Element,
    ) -> SeriesCurves {
        let added = self.element(element);
        match string {
            None => SeriesCurves { stc: added.stc.clone(), hot: added.hot.clone() },
            Some(string) => SeriesCurves {
                stc: Curve::in_series(&[&string.stc, &added.stc]),
                hot: Curve::in_series(&[&string.hot, &added.hot]),
            },
        }
    }

    /// Curves of a whole string.
    pub(super) fn series(&self, string: &PanelString) -> SeriesCurves {
        let parts: Vec<Rc<ElementCurves>> =
            string.elements().iter().map(|e| self.element(e)).collect();
        SeriesCurves {
            stc: Curve::in_series(&parts.iter().map(|p| &p.stc).collect::<Vec<_>>()),
            hot: Curve::in_series(&parts.iter().map(|p| &p.hot).collect::<Vec<_>>()),
        }
    }

    /// A string's curve as the combiner sees it: behind its blocking diode, if it has one.
    pub(super) fn behind_diode<'c>(&self, curve: &'c Curve) -> Cow<'c, Curve> {
        if self.controller().blocking_diodes {
            Cow::Owned(curve.behind_diode(BLOCKING_DIODE_DROP))
        } else {
            Cow::Borrowed(curve)
        }
    }

    /// Voltage at which a string carries a current while the controller idles. \[V\]
    pub(super) fn idle_voltage(&self, string: &PanelString, idle: Idle, i: f64) -> f64 {
        let volts = |e| pick_idle(&self.element(e), idle).voltage_at(Amps(i)).volts();
        string.elements().iter().map(volts).sum()
    }

    /// Current of a string at a voltage while the controller idles, by bisection. \[A\]
    pub(super) fn idle_current(&self, string: &PanelString, idle: Idle, v: f64) -> f64 {
        let elements: Vec<Rc<ElementCurves>> =
            string.elements().iter().map(|e| self.element(e)).collect();
        let curves: Vec<&Curve> = elements.iter().map(|e| pick_idle(e, idle)).collect();
        series_current(&curves, v)
    }
}

/// Current that curves in series carry at a voltage in all, by bisection. \[A\]
#[must_use]
pub fn series_current(curves: &[&Curve], v: f64) -> f64 {
    let voltage = |i: f64| -> f64 { curves.iter().map(|c| c.voltage_at(Amps(i)).volts()).sum() };
    let (mut lo, mut hi) = (-1.0, 1.0);
    while voltage(lo) < v {
        lo *= 2.0;
    }
    while voltage(hi) > v {
        hi *= 2.0;
    }
    for _ in 0..60 {
        let mid = 0.5 * (lo + hi);
        if voltage(mid) > v { lo = mid } else { hi = mid }
    }
    0.5 * (lo + hi)
}

fn pick_idle(element: &ElementCurves, idle: Idle) -> &Curve {
    match idle {
        Idle::Stc => &element.stc,
        Idle::Cold => &element.cold,
    }
}
