//! What strings bring over a part of the year, in figures that the search can add up.
//!
//! A search needs one level for all that is in parallel. Over many hours the best voltage follows the
//! weather nearly alike for every wiring, so each typical hour gets its share of one common voltage:
//! what the search finds best there is then reckoned hour by hour, each at its own best voltage.
//! What no voltage can pass, hour by hour, are the ceilings.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::electrical::{
    BLOCKING_DIODE_DROP, Catalog, Condition, Curve, CurveSet, cell_temperature, element_curve,
};
use crate::energy::{EnergyModel, Grain, Slopes, Span, TypicalHour};
use crate::model::{ArrayWiring, Element, Installation, KindIdx, PanelString};
use crate::patterns::Bench;
use crate::plan::Yield;
use crate::units::{KilowattHours, Volts, whole_power};

/// Two levels next to each other differ by this factor.
const STEP: f64 = 1.01;

/// Typical hours and true ones differ by less than this about one panel.
const MARGIN: f64 = 1.001;
/// The same where each plane has its own sun: fewer hours stand for more of the year there.
const SEVERAL_SUNS_MARGIN: f64 = 1.003;

/// A part of the year as the search sees it.
///
/// Values are energy over what a label watt brings there, so that they are of the size of watts.
#[derive(Debug)]
pub(super) struct Season {
    pub span: Span,
    /// For each controller the hours that stand for all of them.
    hours: Vec<Vec<TypicalHour>>,
    /// What a label watt brings, by the mean of all kinds. \[kWh/W\]
    per_watt: f64,
    /// Value of each kind's own best over its label watts, if nothing held it back.
    own: Vec<f64>,
    /// No hours reckoned otherwise make more of it than this many times.
    margin: f64,
}

/// One typical hour at one input.
struct Hour {
    /// Value of a watt.
    worth: f64,
    /// Its voltage over the common one.
    scale: f64,
    curves: CurveSet,
    elements: RefCell<BTreeMap<Element, Curve>>,
}

/// Describes strings on one input.
pub(super) struct Describer<'b> {
    bench: &'b Bench<'b>,
    hours: Vec<Hour>,
    levels: Vec<f64>,
}

impl Season {
    /// A part of the year at a site, each hour with its slope.
    pub(super) fn new(
        model: &EnergyModel,
        installation: &Installation,
        catalog: &Catalog,
        (span, grain): (Span, Grain),
        slopes: &Slopes,
    ) -> Self {
        let n_controllers = installation.controllers.len();
        // On the controller that loses least.
        let free = (0..n_controllers)
            .map(|c| model.typical((span, Grain::Fine), &model.without_limits(), c))
            .reduce(|a, b| if worth(&b) > worth(&a) { b } else { a })
            .unwrap_or_default();
        let own_kwh = |kind: KindIdx| -> f64 {
            let power = |hour: &TypicalHour| {
                let condition = condition(installation, kind, hour);
                if condition.irradiance.watts_per_m2() <= 0.0 {
                    return 0.0;
                }
                let curve = catalog.model(kind).curve(condition);
                hour.worth * curve.max_power(Volts(0.0), curve.v_oc()).power().watts()
            };
            free.iter().map(power).sum::<f64>() / installation.kind(kind).label.p_mp.watts()
        };
        let own: Vec<f64> = (0..installation.kinds.len()).map(|k| own_kwh(KindIdx(k))).collect();
        let several_suns = installation.site.sun.planes.len() > 1;
        let per_watt = (own.iter().sum::<f64>() / own.len().max(1) as f64).max(1e-12);
        Self {
            span,
            hours: (0..n_controllers).map(|c| model.typical((span, grain), slopes, c)).collect(),
            per_watt,
            own: own.into_iter().map(|kwh| kwh / per_watt).collect(),
            margin: if several_suns { SEVERAL_SUNS_MARGIN } else { MARGIN },
        }
    }

    /// The same with every hour worth so many times as much.
    pub(super) fn times(mut self, factor: f64) -> Self {
        self.hours.iter_mut().flatten().for_each(|hour| hour.worth *= factor);
        self.margin *= factor.max(1.0);
        self
    }

    /// The same in the measure of another season: values of both then compare.
    pub(super) fn measured_by(self, other: &Self) -> Self {
        let kwh = |season: &Self, own: &f64| own * season.per_watt;
        let more = |(own, of_other): (&f64, &f64)| {
            kwh(&self, own) / kwh(other, of_other).max(f64::MIN_POSITIVE)
        };
        let most = self.own.iter().zip(&other.own).map(more).fold(1.0, f64::max);
        let margin = self.margin * most;
        Self { per_watt: other.per_watt, own: other.own.clone(), margin, ..self }
    }

    /// Value of what a kind's label watt brings by itself.
    pub(super) fn own(&self, kind: usize) -> f64 {
        self.own[kind]
    }

    /// The most that a kind's label watt can come to.
    pub(super) fn own_most(&self, kind: usize) -> f64 {
        self.own[kind] * self.margin
    }

    /// The energy of a value.
    pub(super) fn energy(&self, value: f64) -> KilowattHours {
        KilowattHours(value * self.per_watt)
    }

    /// The same, and in which part of the year.
    pub(super) fn yields(&self, value: f64) -> Yield {
        Yield { energy: self.energy(value), span: self.span }
    }

    /// The value of an energy.
    pub(super) fn value(&self, energy: KilowattHours) -> f64 {
        energy.kilowatt_hours() / self.per_watt
    }

    /// Lays out the curves of an input's typical hours.
    pub(super) fn describer<'b>(&self, bench: &'b Bench<'b>) -> Describer<'b> {
        let (installation, catalog) = (bench.installation, bench.catalog);
        let hours: Vec<Hour> = self.hours[bench.at.controller]
            .iter()
            .map(|hour| {
                let curves = catalog.curves_at(|kind| condition(installation, kind, hour));
                Hour {
                    worth: hour.worth / self.per_watt,
                    scale: voltage_share(installation, hour, &curves),
                    curves,
                    elements: RefCell::default(),
                }
            })
            .collect();
        let (lo, hi) = bench.controller().hold_range();
        let scales = || hours.iter().map(|h| h.scale);
        let (least, most) = (scales().fold(1.0, f64::min), scales().fold(1.0, f64::max));
        let (lo, hi) = if lo < hi {
            (lo.volts().max(1e-3) / most, hi.volts() / least)
        } else {
            (lo.volts(), lo.volts())
        };
        let n = ((hi / lo).ln() / STEP.ln()).ceil() as i32;
        let levels = (0..n).map(|k| lo * whole_power(STEP, k)).chain([hi]).collect();
        Describer { bench, hours, levels }
    }
}

impl Describer<'_> {
    /// Lowest and highest common level.
    pub(super) fn levels(&self) -> (f64, f64) {
        (self.levels[0], self.levels[self.levels.len() - 1])
    }

    /// What a whole array brings at the common level that suits it best.
    pub(super) fn value(&self, array: &ArrayWiring) -> f64 {
        if array.strings.is_empty() {
            return 0.0;
        }
        let levels = self.rate(&array.strings).into_iter();
        levels.map(|(level, rate)| level * rate).fold(0.0, f64::max)
    }

    /// What some strings bring in parallel, over the common level, divided by it.
    pub(super) fn rate(&self, strings: &[PanelString]) -> Vec<(f64, f64)> {
        let (lo, hi) = self.bench.controller().hold_range();
        let mut values = vec![0.0; self.levels.len()];
        for hour in &self.hours {
            let curve = self.curve_of_all(hour, strings);
            for (value, level) in values.iter_mut().zip(&self.levels) {
                let v = Volts(hour.scale * level).max(lo).min(hi);
                *value += hour.worth * (v * curve.current_at(v)).watts();
            }
        }
        self.levels.iter().zip(values).map(|(t, value)| (*t, value / t)).collect()
    }

    /// What some strings bring in parallel at the best voltage of each hour: no level gives more.
    pub(super) fn ceiling(&self, strings: &[PanelString]) -> f64 {
        let (lo, hi) = self.bench.controller().hold_range();
        let most = |hour: &Hour| {
            let curve = self.curve_of_all(hour, strings);
            hour.worth * curve.max_power(lo, hi).power().watts().max(0.0)
        };
        self.hours.iter().map(most).sum()
    }

    fn curve_of_all(&self, hour: &Hour, strings: &[PanelString]) -> Curve {
        if let [alone] = strings {
            return self.curve(hour, alone);
        }
        let strings: Vec<Curve> = strings.iter().map(|s| self.curve(hour, s)).collect();
        Curve::in_parallel(&strings.iter().collect::<Vec<_>>())
    }

    /// A string's curve in an hour as the combiner sees it.
    fn curve(&self, hour: &Hour, string: &PanelString) -> Curve {
        let mut known = hour.elements.borrow_mut();
        for element in string.elements() {
            if !known.contains_key(element) {
                known.insert(element.clone(), element_curve(element, &hour.curves));
            }
        }
        let elements: Vec<&Curve> = string.elements().iter().map(|e| &known[e]).collect();
        let curve = Curve::in_series(&elements);
        if self.bench.controller().blocking_diodes {
            curve.behind_diode(BLOCKING_DIODE_DROP)
        } else {
            curve
        }
    }
}

fn worth(hours: &[TypicalHour]) -> f64 {
    hours.iter().map(|hour| hour.worth).sum()
}

fn condition(installation: &Installation, kind: KindIdx, hour: &TypicalHour) -> Condition {
    let kind = installation.kind(kind);
    let irradiance = hour.sun[kind.sun_place()];
    Condition { irradiance, temp_cell: cell_temperature(kind, hour.air, irradiance) }
}

/// Voltage of best power over that on the label, by the mean of all kinds, each by the sun it has.
fn voltage_share(installation: &Installation, hour: &TypicalHour, curves: &CurveSet) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for (k, kind) in installation.kinds.iter().enumerate() {
        let sun = hour.sun[kind.sun_place()].watts_per_m2();
        if sun > 0.0 {
            let curve = curves.panel(KindIdx(k));
            let v = curve.max_power(Volts(0.0), curve.v_oc()).v.volts();
            sum += sun * v / kind.label.v_mp.volts();
            weights += sun;
        }
    }
    // Where no panel has light no voltage is better than another.
    if weights > 0.0 { sum / weights } else { 1.0 }
}
