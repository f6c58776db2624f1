//! From a wiring to what it gives and which limits it keeps.

use super::battery::battery_charge;
use super::limits::{FuseNeed, StringCurves, Wired, above, check_limits, fuse_needs};
use super::outputs::share_outputs;
use super::peaks::other_peaks;
use super::{Check, InputState, State, StringState};
use crate::electrical::{
    BLOCKING_DIODE_DROP, Catalog, Condition, Curve, CurveSet, IdleSky, Point, array_curve,
    cold_v_oc, compared, element_curve, hot_noon, idle_skies, label_watts, nameplate_array,
    string_curve,
};
use crate::model::{Controller, InputRef, InputWiring, Installation, KindIdx, PanelString};
use crate::units::{Amps, Volts, Watts};

/// An element counts as bypassed from this part of its clamp voltage on: between it and the clamp
/// only leakage changes, so that a panel on the way to its clamp is as good as there.
const NEAR_CLAMP: f64 = 0.9;

/// Judges wirings of one site: made once, asked often.
#[derive(Debug, Clone)]
pub struct Evaluator<'a> {
    installation: &'a Installation,
    catalog: &'a Catalog,
    /// Where watts are compared.
    compared: CurveSet,
    skies: Vec<IdleSky>,
    /// One for each sky of an idle array; the first is full sun on all panels, cells at 25 °C.
    idle: Vec<CurveSet>,
    hot: CurveSet,
}

impl<'a> Evaluator<'a> {
    /// Draws every kind's curve where watts are compared, under each sky of an idle array, and on the
    /// hot noon.
    #[must_use]
    pub fn new(installation: &'a Installation, catalog: &'a Catalog) -> Self {
        let site = &installation.site;
        let skies = idle_skies(site);
        let under =
            |sky: &IdleSky| catalog.curves_at(|k| sky.condition(site, installation.kind(k)));
        Self {
            installation,
            catalog,
            compared: catalog.curves_at(|k| compared(installation.kind(k))),
            idle: skies.iter().map(under).collect(),
            skies,
            hot: catalog.curves_at(|k| hot_noon(site, installation.kind(k))),
        }
    }

    /// A whole site at standard test conditions, with every limit of every wired input.
    #[must_use]
    pub fn state(&self, wiring: &[InputWiring]) -> State {
        let inputs = wiring.iter().map(|w| self.input_state(w)).collect();
        let checks = wiring.iter().flat_map(|w| self.checks(w)).collect();
        let mut state = share_outputs(self.installation, State { inputs, checks });
        state.checks.extend(battery_charge(self.installation, wiring));
        state
    }

    /// One input at standard test conditions; all zeros with nothing wired.
    #[must_use]
    pub fn input_state(&self, wiring: &InputWiring) -> InputState {
        let kinds = &self.installation.kinds;
        let controller = self.installation.controller(wiring.at);
        let (lo, hi) = controller.hold_range();
        let Some(curve) = self.connected(wiring) else {
            return nothing_wired(wiring);
        };
        let op = self.operating_point(&curve, wiring.at);
        let power = op.power();
        InputState {
            at: wiring.at,
            v: op.v,
            i: op.i,
            power,
            clipped: controller.clip_limit().filter(|limit| above(power.0, limit.0)),
            label: label_watts(&wiring.array, kinds),
            nameplate: nameplate_array(&wiring.array, kinds, lo, hi)
                .map_or(Watts(0.0), Point::power),
            strings: wiring
                .array
                .strings
                .iter()
                .map(|s| self.string_state(s, controller, op.v))
                .collect(),
            other_peaks: other_peaks(&curve, lo, hi, op),
        }
    }

    /// Every limit of one input; none with nothing wired.
    #[must_use]
    pub fn checks(&self, wiring: &InputWiring) -> Vec<Check> {
        if wiring.array.strings.is_empty() {
            return Vec::new();
        }
        let controller = self.installation.controller(wiring.at);
        let strings = wiring.array.strings.iter().map(|s| StringCurves {
            idle: self.idle.iter().map(|curves| string_curve(s, curves)).collect(),
            hot: connect(string_curve(s, &self.hot), controller),
        });
        check_limits(&Wired {
            at: wiring.at,
            array: &wiring.array,
            controller,
            site: &self.installation.site,
            kinds: &self.installation.kinds,
            strings: strings.collect(),
            skies: &self.skies,
            power: self.watts(wiring),
        })
    }

    /// The fuses that the fault rules ask for on one input: what `string_fuse` says in words.
    #[must_use]
    pub fn fuses(&self, wiring: &InputWiring) -> Vec<FuseNeed> {
        fuse_needs(wiring, &self.installation.kinds)
    }

    /// Operating power of one input at standard test conditions, and nothing else. \[W\]
    #[must_use]
    pub fn watts(&self, wiring: &InputWiring) -> Watts {
        self.connected(wiring)
            .map_or(Watts(0.0), |curve| self.operating_point(&curve, wiring.at).power())
    }

    /// Every kind's curve under each sky of an idle array: first at full sun and on the cold morning.
    pub(super) fn floating_curves(&self) -> &[CurveSet] {
        &self.idle
    }

    /// Every kind's curve, each at its own condition.
    pub(super) fn curves(&self, condition: impl Fn(KindIdx) -> Condition) -> CurveSet {
        self.catalog.curves_at(condition)
    }

    /// The array's curve as the input sees it; `None` with nothing wired.
    fn connected(&self, wiring: &InputWiring) -> Option<Curve> {
        let controller = self.installation.controller(wiring.at);
        array_curve(&wiring.array, &self.compared, controller.blocking_diodes)
    }

    /// Where the input holds the array: highest power in the window, or at charging voltage.
    ///
    /// An array that gives nothing there is not drawn from: it floats where its currents sum to zero.
    fn operating_point(&self, curve: &Curve, at: InputRef) -> Point {
        let (lo, hi) = self.installation.controller(at).hold_range();
        let best = curve.max_power(lo, hi);
        if best.power().0 > 0.0 {
            return best;
        }
        Point { v: curve.v_oc(), i: Amps(0.0) }
    }

    fn string_state(&self, string: &PanelString, controller: &Controller, v: Volts) -> StringState {
        let curve = connect(string_curve(string, &self.compared), controller);
        let current = curve.current_at(v);
        let coldest = self.installation.site.coldest;
        StringState {
            wiring: string.clone(),
            current,
            power: v * current,
            own_maximum: curve.max_power(Volts(0.0), curve.v_oc()).power(),
            cold_v_oc: cold_v_oc(string, &self.installation.kinds, coldest).v_oc,
            bypassed: self.bypassed(string, current),
        }
    }

    /// Elements that a string's current drives to their clamp.
    fn bypassed(&self, string: &PanelString, current: Amps) -> Vec<usize> {
        let at_clamp = |idx: &usize| {
            let element = &string.elements()[*idx];
            let clamp = element
                .members()
                .iter()
                .filter_map(|k| self.catalog.model(*k).clamp_voltage())
                .reduce(f64::max);
            let v = || element_curve(element, &self.compared).voltage_at(current).volts();
            clamp.is_some_and(|clamp| v() <= NEAR_CLAMP * clamp)
        };
        (0..string.elements().len()).filter(at_clamp).collect()
    }
}

/// A string's curve as the input sees it.
fn connect(curve: Curve, controller: &Controller) -> Curve {
    if controller.blocking_diodes { curve.behind_diode(BLOCKING_DIODE_DROP) } else { curve }
}

/// An input with nothing wired.
fn nothing_wired(wiring: &InputWiring) -> InputState {
    InputState {
        at: wiring.at,
        v: Volts(0.0),
        i: Amps(0.0),
        power: Watts(0.0),
        clipped: None,
        label: Watts(0.0),
        nameplate: Watts(0.0),
        strings: Vec::new(),
        other_peaks: Vec::new(),
    }
}
