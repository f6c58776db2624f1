//! What a meter with errors shows on an array that really stands.

use sungraft::electrical::{Catalog, Condition, PanelModel};
use sungraft::model::{
    Accuracy, ArrayReading, ArrayReadings, ControllerType, Installation, KindIdx, ReadingSet, Spot,
    Warmth,
};
use sungraft::units::{Celsius, Irradiance};

use crate::random::Random;
use crate::simulate::{LitBus, LitString, RealPanel, RealString};

/// Scatter of panels round their labels, one standard deviation of volts and amps.
const SCATTER: (f64, f64) = (0.005, 0.01);

/// Where the controller really holds an input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Held {
    Best,
    /// The n-th other peak from the lowest voltage.
    OtherPeak(usize),
    /// This share of the best point's current, on the far side.
    Back(f64),
    /// This share of the best point's voltage.
    Below(f64),
}

/// Volts of an input, and whether anything is drawn from it.
enum Works {
    At(f64),
    Floats(f64),
}

/// What really stands, and under which sky it was read.
#[derive(Debug, Clone)]
pub(crate) struct Real {
    pub(crate) strings: Vec<Vec<RealString>>,
    pub(crate) held: Vec<Held>,
    /// True light and cells, and how much more than true was read.
    pub(crate) light: f64,
    pub(crate) cells: f64,
    pub(crate) light_read: f64,
    pub(crate) cells_read: f64,
}

/// Which readings are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    /// The whole test sheet.
    All,
    /// No short-circuit test, no clamp on single strings.
    VoltsAndWork,
}

pub(crate) fn gauss(rng: &mut Random) -> f64 {
    // Box and Muller, Ann. Math. Statist. 29, 1958.
    let (u, v) = (rng.between(1e-12, 1.0), rng.between(0.0, std::f64::consts::TAU));
    (-2.0 * u.ln()).sqrt() * v.cos()
}

impl Real {
    /// Everything as the file says, under a random sky, with irradiance read to 5 % and cells to 2 K.
    pub(crate) fn sound(rng: &mut Random, site: &Installation) -> Self {
        let panel = |rng: &mut Random, kind: KindIdx| RealPanel {
            scatter: (1.0 + SCATTER.0 * gauss(rng), 1.0 + SCATTER.1 * gauss(rng)),
            ..RealPanel::sound(kind)
        };
        let mut strings = Vec::new();
        for (input, wired) in site.installed.iter().enumerate() {
            let mut of_input = Vec::new();
            for string in &wired.array.strings {
                let element = |rng: &mut Random, e: &sungraft::model::Element| {
                    e.members().iter().map(|k| panel(rng, *k)).collect::<Vec<_>>()
                };
                let elements = string.elements().iter().map(|e| element(rng, e)).collect();
                of_input.push(RealString {
                    elements,
                    reversed: false,
                    open: false,
                    on: Some(input),
                });
            }
            strings.push(of_input);
        }
        Self {
            strings,
            held: vec![Held::Best; site.installed.len()],
            light: rng.between(500.0, 1000.0),
            cells: rng.between(20.0, 55.0),
            light_read: 1.0 + 0.05 * gauss(rng),
            cells_read: 2.0 * gauss(rng),
        }
    }

    fn bus(&self, site: &Installation, models: &[PanelModel], input: usize) -> LitBus {
        let sky = Condition { irradiance: Irradiance(self.light), temp_cell: Celsius(self.cells) };
        let joined = self.strings.iter().flatten().filter(|s| s.on == Some(input));
        LitBus {
            strings: joined.filter_map(|s| LitString::new(s, models, sky)).collect(),
            diodes: site.controllers[0].blocking_diodes,
        }
    }

    /// Where an input works, unless it floats since it gives nothing there; `None` where what was asked of
    /// it cannot be.
    fn volts(&self, site: &Installation, bus: &LitBus, input: usize) -> Option<Works> {
        let controller = &site.controllers[0];
        let (lo, hi) = controller.hold_range();
        if bus.strings.is_empty() {
            return Some(Works::Floats(0.0));
        }
        if controller.controller_type == ControllerType::Pwm {
            let gives = bus.amps_at(lo.volts()) > 0.0;
            return Some(if gives { Works::At(lo.volts()) } else { Works::Floats(bus.v_oc()) });
        }
        let mut peaks = bus.peaks(lo.volts(), hi.volts());
        let best = peaks.iter().enumerate().max_by(|a, b| a.1.1.total_cmp(&b.1.1));
        let Some((best, (v, p))) = best.map(|(k, p)| (k, *p)) else {
            return Some(Works::Floats(bus.v_oc()));
        };
        peaks.remove(best);
        match self.held[input] {
            Held::Best => Some(Works::At(v)),
            Held::OtherPeak(n) => peaks.get(n).map(|p| Works::At(p.0)),
            Held::Back(share) => {
                let (mut a, mut b) = (v, bus.v_oc());
                for _ in 0..40 {
                    let mid = 0.5 * (a + b);
                    if bus.amps_at(mid) > share * p / v { a = mid } else { b = mid }
                }
                Some(Works::At(0.5 * (a + b)))
            }
            Held::Below(share) => Some(Works::At((share * v).max(lo.volts()))),
        }
    }

    /// What the meter shows, with errors of 1 % and a digit; `None` where the array cannot be so.
    pub(crate) fn read(
        &self,
        rng: &mut Random,
        site: &Installation,
        taken: Taken,
    ) -> Option<ArrayReadings> {
        let catalog = Catalog::fit(&site.kinds).expect("legal labels");
        let models: Vec<PanelModel> =
            (0..site.kinds.len()).map(|k| *catalog.model(KindIdx(k))).collect();
        let sky = Condition { irradiance: Irradiance(self.light), temp_cell: Celsius(self.cells) };
        let buses: Vec<LitBus> =
            (0..self.strings.len()).map(|input| self.bus(site, &models, input)).collect();
        let (mut volts, mut amps) = (Vec::new(), Vec::new());
        for (input, bus) in buses.iter().enumerate() {
            match self.volts(site, bus, input)? {
                // A tracker is never quite at its point.
                Works::At(v) => {
                    let v = v * (1.0 + 0.01 * gauss(rng));
                    volts.push(v);
                    amps.push(bus.amps_at(v));
                }
                Works::Floats(v) => {
                    volts.push(v);
                    amps.push(0.0);
                }
            }
        }
        let mut readings = Vec::new();
        let mut add = |at, spot: Spot, true_value: f64| {
            let digit = if spot.is_volts() { 0.1 } else { 0.01 };
            let off = true_value * (1.0 + 0.01 * gauss(rng));
            readings.push(ArrayReading { at, spot, value: (off / digit).round() * digit, digit });
        };
        for (input, strings) in self.strings.iter().enumerate() {
            let at = site.installed[input].at;
            for (s, string) in strings.iter().enumerate() {
                let lit = LitString::new(string, &models, sky);
                add(at, Spot::StringVoc(s), lit.as_ref().map_or(0.0, LitString::v_oc));
                if taken == Taken::VoltsAndWork {
                    continue;
                }
                add(at, Spot::StringIsc(s), lit.as_ref().map_or(0.0, |l| l.amps_at(0.0).abs()));
                let of_string = match (lit, string.on) {
                    (Some(lit), Some(on)) => buses[on].string_amps(&lit, volts[on]),
                    _ => 0.0,
                };
                add(at, Spot::StringAmps(s), of_string);
            }
            let bus = &buses[input];
            let empty = bus.strings.is_empty();
            add(at, Spot::OpenVolts, if empty { 0.0 } else { bus.v_oc() });
            add(at, Spot::WorkVolts, volts[input]);
            add(at, Spot::WorkAmps, amps[input]);
        }
        let set = ReadingSet {
            note: None,
            irradiance: Irradiance(self.light * self.light_read),
            warmth: Warmth::Cells(Celsius(self.cells + self.cells_read)),
            readings,
        };
        Some(ArrayReadings { sets: vec![set], accuracy: Accuracy::default() })
    }
}
