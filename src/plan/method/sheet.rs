//! What a meter should show, string by string: expected figures with the band in which they pass.

use super::super::Evaluator;
use super::super::diagnose::LOW_BATTERY;
use crate::electrical::{
    BLOCKING_DIODE_DROP, Condition, Curve, CurveSet, Point, array_curve, compared, stc,
    string_curve,
};
use crate::model::{ControllerType, InputRef, InputWiring, Installation, Output, PanelString};
use crate::units::{Amps, Celsius, Irradiance, Volts};

/// How far an open-circuit voltage may be off: strings are held against what is expected within 5 %
/// (IEC 62446-1, test of open-circuit voltage; from memory, check your edition).
const V_OC_BAND: f64 = 0.05;
/// How far a short-circuit current may be off: 5 % as for the voltage (IEC 62446-1, from memory, check
/// your edition) and 7 % for a hand-held irradiance meter and its tilt against the panels (common practice,
/// no source). With a meter of 5 % and a clamp of 1 %, one standard deviation each, 97 of 100 pass.
const I_SC_BAND: f64 = 0.12;
/// How far the volts at work may be off: 5 % as above, 3 % for a tracker that searches and for the cable
/// (common practice, no source).
const WORK_V_BAND: f64 = 0.08;
/// How far a tracker stands beside its point: what that alone does to the amps (common practice, no source).
const TRACKER_SLACK: f64 = 0.02;
/// Steps of a bisection along the falling flank of a curve.
const FLANK_STEPS: usize = 40;
/// Cell temperatures for which the sheet says the open-circuit voltage beforehand. \[°C\]
pub const SHEET_TEMPERATURES: [Celsius; 5] =
    [Celsius(10.0), Celsius(25.0), Celsius(40.0), Celsius(55.0), Celsius(70.0)];

/// The sun and the cells while somebody measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Irradiance in the plane of the panels.
    pub irradiance: Irradiance,
    /// Temperature of the cells: the back of a panel, and a few degrees more.
    pub temp_cell: Celsius,
}

/// What a meter should show, and between what it passes; volts or amps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Expected.
    pub expected: f64,
    /// Passes from here.
    pub low: f64,
    /// Passes up to here.
    pub high: f64,
}

/// What to measure on every input that is wired.
#[derive(Debug, Clone, PartialEq)]
pub struct TestSheet {
    /// The sun and the cells for which `measured` figures stand, if they were passed.
    pub measured: Option<Measured>,
    /// Input by input.
    pub inputs: Vec<InputSheet>,
}

/// One input.
#[derive(Debug, Clone, PartialEq)]
pub struct InputSheet {
    /// Which.
    pub at: InputRef,
    /// String by string.
    pub strings: Vec<StringSheet>,
    /// At the open disconnect with all strings joined, at standard test conditions. \[V\]
    pub v_oc: Volts,
    /// The same as measured.
    pub v_oc_measured: Option<Reading>,
    /// Where the controller holds the array, at standard test conditions; on several planes with the
    /// sun as watts are compared.
    pub operating: Point,
    /// The same as measured; `None` on several planes, whose sun one reading does not tell.
    pub operating_measured: Option<Point>,
    /// Volts at work, under the conditions that the sheet stands for. \[V\]
    pub work_volts: Reading,
    /// Amps at work, the same. \[A\]
    pub work_amps: Reading,
}

/// One string.
#[derive(Debug, Clone, PartialEq)]
pub struct StringSheet {
    /// Open-circuit voltage at standard test conditions. \[V\]
    pub v_oc: Volts,
    /// Short-circuit current there. \[A\]
    pub i_sc: Amps,
    /// Open-circuit voltage at full sun and [`SHEET_TEMPERATURES`]. \[V\]
    pub v_oc_at: [Volts; SHEET_TEMPERATURES.len()],
    /// Open-circuit voltage as measured. \[V\]
    pub v_oc_measured: Option<Reading>,
    /// Short-circuit current as measured. \[A\]
    pub i_sc_measured: Option<Reading>,
    /// Current while the array works as there. \[A\]
    pub operating: Amps,
    /// The same as measured. \[A\]
    pub operating_measured: Option<Amps>,
    /// Amps at work, under the conditions that the sheet stands for. \[A\]
    pub work: Reading,
    /// Half of the pass band of the voltage, as a fraction.
    pub v_oc_band: f64,
    /// How far below what is expected the current may be, as a fraction.
    pub i_sc_band_low: f64,
    /// How far above.
    pub i_sc_band_high: f64,
}

/// The sheet for a wiring.
pub(in crate::plan) fn test_sheet(
    evaluator: &Evaluator,
    installation: &Installation,
    wiring: &[InputWiring],
    measured: Option<Measured>,
) -> TestSheet {
    let sets = Sets {
        installation,
        stc: evaluator.curves(|_| stc()),
        compared: evaluator.curves(|k| compared(installation.kind(k))),
        warm: SHEET_TEMPERATURES.map(|temp_cell| {
            evaluator.curves(|_| Condition { irradiance: stc().irradiance, temp_cell })
        }),
        measured: measured.map(|m| {
            evaluator.curves(|_| Condition { irradiance: m.irradiance, temp_cell: m.temp_cell })
        }),
    };
    let wired: Vec<&InputWiring> =
        wiring.iter().filter(|input| !input.array.strings.is_empty()).collect();
    let work: Vec<Point> = wired.iter().map(|input| sets.work_point(input)).collect();
    // What the other inputs of a controller may leave of its output.
    let left = |at: InputRef| {
        let others = wired.iter().zip(&work);
        let others = others.filter(|(w, _)| w.at != at && w.at.controller == at.controller);
        let taken: f64 = others.map(|(_, point)| point.power().watts()).sum();
        let limit = installation.controller(at).clip_limit()?.watts();
        Some((LOW_BATTERY * limit - taken).max(0.0))
    };
    let inputs = wired.iter().map(|input| sets.input(input, left(input.at)));
    TestSheet { measured, inputs: inputs.collect() }
}

/// Curves of every kind at the conditions of the sheet.
struct Sets<'a> {
    installation: &'a Installation,
    stc: CurveSet,
    /// Where watts are compared: there the array is held.
    compared: CurveSet,
    warm: [CurveSet; SHEET_TEMPERATURES.len()],
    measured: Option<CurveSet>,
}

impl Sets<'_> {
    /// Does one reading of the sun say what all panels have?
    fn has_one_sun(&self) -> bool {
        self.installation.site.sun.planes.len() < 2
    }

    /// The conditions that figures at work stand for.
    fn stands_for(&self) -> &CurveSet {
        if self.has_one_sun() {
            self.measured.as_ref().unwrap_or(&self.stc)
        } else {
            &self.compared
        }
    }

    fn array(&self, input: &InputWiring, curves: &CurveSet) -> Curve {
        let controller = self.installation.controller(input.at);
        array_curve(&input.array, curves, controller.blocking_diodes)
            .expect("an input with nothing wired has no sheet")
    }

    /// Where the controller holds an input, under the conditions that the sheet stands for.
    fn work_point(&self, input: &InputWiring) -> Point {
        let (lo, hi) = self.installation.controller(input.at).hold_range();
        self.array(input, self.stands_for()).max_power(lo, hi)
    }

    /// `left` is what the controller's output limit leaves to this input, if it has one. \[W\]
    fn input(&self, input: &InputWiring, left: Option<f64>) -> InputSheet {
        let controller = self.installation.controller(input.at);
        let array = |curves: &CurveSet| self.array(input, curves);
        let (lo, hi) = controller.hold_range();
        let operating = array(&self.compared).max_power(lo, hi);
        // One reading of the sun does not say what other planes have.
        let measured = self.measured.as_ref().filter(|_| self.has_one_sun());
        let operating_measured = measured.map(|c| array(c).max_power(lo, hi));
        let at_bus = |string: &PanelString, curves: &CurveSet, v: Volts| {
            let curve = string_curve(string, curves);
            let curve = if controller.blocking_diodes {
                curve.behind_diode(BLOCKING_DIODE_DROP)
            } else {
                curve
            };
            curve.current_at(v)
        };
        let work = self.work_band(input, left);
        let strings = input.array.strings.iter().map(|string| {
            let mut sheet = self.string(string);
            let at = |v: f64| at_bus(string, self.stands_for(), Volts(v)).amps();
            // Unequal strings stand on their flanks, where the current moves much with the voltage.
            sheet.work = widest(
                at(work.point.v.volts()),
                &[at(work.lowest), at(work.highest)],
                sheet.i_sc_band_low,
                sheet.i_sc_band_high,
            );
            sheet.operating = at_bus(string, &self.compared, operating.v);
            sheet.operating_measured =
                measured.zip(operating_measured).map(|(curves, op)| at_bus(string, curves, op.v));
            sheet
        });
        let strings: Vec<StringSheet> = strings.collect();
        let (below, above) = self.array_i_bands(input);
        let bus = array(self.stands_for());
        let at = |v: f64| bus.current_at(Volts(v)).amps();
        let work_amps =
            widest(work.point.i.amps(), &[at(work.lowest), at(work.highest)], below, above);
        let band = |curve: Curve| band(curve.v_oc().volts(), V_OC_BAND, V_OC_BAND);
        InputSheet {
            at: input.at,
            strings,
            work_volts: work.volts,
            work_amps,
            v_oc: array(&self.stc).v_oc(),
            v_oc_measured: self.measured.as_ref().map(|c| band(array(c))),
            operating,
            operating_measured,
        }
    }

    /// Between which volts an input may work.
    fn work_band(&self, input: &InputWiring, left: Option<f64>) -> WorkBand {
        let controller = self.installation.controller(input.at);
        let curve = self.array(input, self.stands_for());
        let point = self.work_point(input);
        let v = point.v.volts();
        if controller.controller_type == ControllerType::Pwm
            && let Output::Battery(bank) = controller.output
        {
            // A battery holds the array: from nearly empty to charged.
            let (low, high) = (LOW_BATTERY * v, v * (1.0 + V_OC_BAND));
            let low = low.min(bank.nominal.volts() * (1.0 - V_OC_BAND));
            let volts = Reading { expected: v, low, high };
            return WorkBand { point, volts, lowest: low, highest: high };
        }
        let v_oc = curve.v_oc().volts();
        let mut highest = v * (1.0 + TRACKER_SLACK);
        let mut volts = band(v, WORK_V_BAND, WORK_V_BAND);
        if let Some(left) = left.filter(|left| point.power().watts() > *left) {
            // The output limit pushes the array along its falling flank.
            let (mut near, mut far) = (v, v_oc);
            for _ in 0..FLANK_STEPS {
                let mid = 0.5 * (near + far);
                let power = mid * curve.current_at(Volts(mid)).amps();
                if power > left { near = mid } else { far = mid }
            }
            highest = highest.max(near);
            volts.high = volts.high.max(near * (1.0 + V_OC_BAND));
        }
        WorkBand { point, volts, lowest: v * (1.0 - TRACKER_SLACK), highest }
    }

    /// How far the current of an array may be off below and above: as that of its widest string.
    fn array_i_bands(&self, input: &InputWiring) -> (f64, f64) {
        let each = input.array.strings.iter().map(|s| self.i_sc_bands(s));
        each.fold((I_SC_BAND, I_SC_BAND), |(a, b), (c, d)| (a.max(c), b.max(d)))
    }

    fn string(&self, string: &PanelString) -> StringSheet {
        let curve = string_curve(string, &self.stc);
        let v_oc_band = v_oc_band(string, &self.stc);
        let (below, above) = self.i_sc_bands(string);
        let measured = self.measured.as_ref().map(|curves| string_curve(string, curves));
        StringSheet {
            v_oc: curve.v_oc(),
            i_sc: curve.i_sc(),
            v_oc_at: self.warm.each_ref().map(|curves| string_curve(string, curves).v_oc()),
            v_oc_measured: measured.as_ref().map(|c| band(c.v_oc().volts(), v_oc_band, v_oc_band)),
            i_sc_measured: measured.as_ref().map(|c| band(c.i_sc().amps(), below, above)),
            operating: Amps(0.0),
            operating_measured: None,
            work: band(0.0, 0.0, 0.0),
            v_oc_band,
            i_sc_band_low: below,
            i_sc_band_high: above,
        }
    }

    /// How far the current may be off below and above: what tolerance and age leave open counts too.
    fn i_sc_bands(&self, string: &PanelString) -> (f64, f64) {
        let bands = string.panels().filter_map(|k| self.installation.kind(k).power_band());
        let (low, high) =
            bands.fold((1.0_f64, 1.0_f64), |(low, high), (l, h)| (low.min(l), high.max(h)));
        (1.0 - low * (1.0 - I_SC_BAND), high * (1.0 + I_SC_BAND) - 1.0)
    }
}

/// Where an input may work: its point, the band of its volts, and the volts up to which its amps are taken.
struct WorkBand {
    point: Point,
    volts: Reading,
    lowest: f64,
    highest: f64,
}

/// Expected, and from the least to the most that other voltages make of it, with the band around them.
fn widest(expected: f64, others: &[f64], below: f64, above: f64) -> Reading {
    let low = others.iter().copied().fold(expected, f64::min);
    let high = others.iter().copied().fold(expected, f64::max);
    // A negative current is off by its size, too.
    Reading { expected, low: low - below * low.abs(), high: high + above * high.abs() }
}

/// Half of the pass band of a string's open-circuit voltage, as a fraction.
///
/// Never so wide that a string with its smallest element left out would pass.
fn v_oc_band(string: &PanelString, curves: &CurveSet) -> f64 {
    let whole = string_curve(string, curves).v_oc().volts();
    let smallest = string
        .elements()
        .iter()
        .map(|e| crate::electrical::element_curve(e, curves).v_oc().volts())
        .fold(f64::INFINITY, f64::min);
    V_OC_BAND.min(0.5 * smallest / whole)
}

fn band(expected: f64, below: f64, above: f64) -> Reading {
    Reading { expected, low: expected * (1.0 - below), high: expected * (1.0 + above) }
}
