//! Everything that candidates on one input share: curves of elements, the controller, the site.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::enumerate::{PatternSet, free_patterns};
use super::{Arithmetic, Shelf, Stock};
use crate::electrical::{
    BLOCKING_DIODE_DROP, Catalog, Curve, CurveSet, IdleSky, cold_v_oc, compared, element_curve,
    hot_noon, idle_skies,
};
use crate::model::{Controller, Element, InputRef, Installation, KindIdx, PanelString};
use crate::units::{Amps, Volts};

/// Curves of one element at the conditions looked at.
#[derive(Debug)]
pub(super) struct ElementCurves {
    /// Where watts are compared.
    pub compared: Curve,
    /// Under each sky of an idle array.
    pub idle: Vec<Curve>,
    pub hot: Curve,
    /// Open-circuit voltage on the coldest morning by the labels. \[V\]
    pub cold_v_oc: f64,
}

/// Curves of a string where watts are compared and on the hottest noon.
#[derive(Debug)]
pub(super) struct SeriesCurves {
    pub compared: Curve,
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
    compared: CurveSet,
    skies: Vec<IdleSky>,
    /// One for each sky.
    idle: Vec<CurveSet>,
    hot: CurveSet,
    elements: RefCell<BTreeMap<Element, Rc<ElementCurves>>>,
    shelf: Option<&'a Shelf>,
}

impl<'a> Bench<'a> {
    /// Lays out the curves of every kind.
    #[must_use]
    pub fn new(installation: &'a Installation, catalog: &'a Catalog, at: InputRef) -> Self {
        let site = &installation.site;
        let skies = idle_skies(site);
        let under =
            |sky: &IdleSky| catalog.curves_at(|k| sky.condition(site, installation.kind(k)));
        Self {
            installation,
            catalog,
            at,
            compared: catalog.curves_at(|k| compared(installation.kind(k))),
            idle: skies.iter().map(under).collect(),
            skies,
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
    pub fn free_patterns(&self, stock: &Stock, arithmetic: Arithmetic) -> Rc<PatternSet> {
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

    /// The skies under which an idle array is looked at.
    #[must_use]
    pub fn skies(&self) -> &[IdleSky] {
        &self.skies
    }

    /// The most that one panel of a kind gives where watts are compared. \[W\]
    #[must_use]
    pub fn most_watts(&self, kind: KindIdx) -> f64 {
        let own = self.installation.kind(kind);
        let by_label = (own.label.v_mp * own.label.i_mp).watts();
        if own.placed.is_none() {
            return by_label;
        }
        let curve = self.compared.panel(kind);
        curve.max_power(Volts(0.0), curve.v_oc().max(Volts(1.0))).power().watts()
    }

    pub(super) fn element(&self, element: &Element) -> Rc<ElementCurves> {
        let mut cache = self.elements.borrow_mut();
        if let Some(curves) = cache.get(element) {
            return Rc::clone(curves);
        }
        let curves = Rc::new(ElementCurves {
            compared: element_curve(element, &self.compared),
            idle: self.idle.iter().map(|curves| element_curve(element, curves)).collect(),
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
            None => SeriesCurves { compared: added.compared.clone(), hot: added.hot.clone() },
            Some(string) => SeriesCurves {
                compared: Curve::in_series(&[&string.compared, &added.compared]),
                hot: Curve::in_series(&[&string.hot, &added.hot]),
            },
        }
    }

    /// Curves of a whole string.
    pub(super) fn series(&self, string: &PanelString) -> SeriesCurves {
        let parts: Vec<Rc<ElementCurves>> =
            string.elements().iter().map(|e| self.element(e)).collect();
        SeriesCurves {
            compared: Curve::in_series(&parts.iter().map(|p| &p.compared).collect::<Vec<_>>()),
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

    /// Voltage at which a string carries a current while the controller idles under a sky. \[V\]
    pub(super) fn idle_voltage(&self, string: &PanelString, sky: usize, i: f64) -> f64 {
        let volts = |e| self.element(e).idle[sky].voltage_at(Amps(i)).volts();
        string.elements().iter().map(volts).sum()
    }

    /// Current of a string at a voltage while the controller idles under a sky, by bisection. \[A\]
    pub(super) fn idle_current(&self, string: &PanelString, sky: usize, v: f64) -> f64 {
        let elements: Vec<Rc<ElementCurves>> =
            string.elements().iter().map(|e| self.element(e)).collect();
        let curves: Vec<&Curve> = elements.iter().map(|e| &e.idle[sky]).collect();
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
