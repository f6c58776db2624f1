//! Unknowns and rows: what the label could be, what each instrument did, and what was read.
//!
//! Every row is a difference divided by its standard deviation, so that all weigh alike.

use super::EstimateError;
use super::Prior;
use super::spreads::{CELL_ABOVE_BACK, LIGHT_SLOPE_SD};
use crate::electrical::{Assumed, Condition, PanelModel, SingleDiode, fit_label, stc};
use crate::model::{Accuracy, Label, MeasuredPanel, PanelReading};
use crate::units::{Amps, Celsius, Irradiance, PercentPerC, Volts};

/// Where the unknowns stand: seven of the panel, five of the instruments, one of the
/// translation, then two of each reading.
pub(super) const LN_VOC: usize = 0;
pub(super) const LN_ISC: usize = 1;
pub(super) const VMP_SHARE: usize = 2;
pub(super) const IMP_SHARE: usize = 3;
const ALPHA: usize = 4;
pub(super) const BETA: usize = 5;
const DELTA: usize = 6;
/// The panel's own unknowns end here; only these need a new fit.
pub(super) const PANEL_END: usize = 7;
const VOLTS_GAIN: usize = 7;
const AMPS_GAIN: usize = 8;
const SUN_GAIN: usize = 9;
const TEMP_OFFSET: usize = 10;
const TWIN_OFF: usize = 11;
const LIGHT_SLOPE: usize = 12;
pub(super) const FIRST_READING: usize = 13;

/// Vmp/Voc and Imp/Isc are kept where a label is legal.
const LEGAL_SHARE: (f64, f64) = (0.55, 0.97);

/// How much of an accuracy's variance belongs to the single reading and averages out; the rest is the
/// instrument's own and stays however often it is read (ours, no source).
///
/// So many readings narrow a band to 0.87 of one reading's at best. A maker's limit of error, taken
/// as a uniform distribution, has 1/√3 = 0.58 of the limit as its standard deviation
/// (JCGM 100:2008, 4.3.7): even if all of it is the instrument's own, the band holds.
pub(super) const READING_SHARE: f64 = 0.25;

/// Loaded points are followed this far beyond open volts; none of the same panel lies there.
const BEYOND_OPEN: f64 = 1.2;

/// What an uncertainty comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// The meter on volts.
    VoltMeter,
    /// The meter on amperes.
    AmpMeter,
    /// The irradiance meter.
    Irradiance,
    /// The label of the twin.
    Twin,
    /// The temperature of the cells.
    Temperature,
    /// Vmp/Voc and Imp/Isc, which differ from panel to panel.
    Shape,
    /// The temperature coefficients and how volts change with light: they differ from panel to panel.
    Coefficients,
}

/// One row: a difference in standard deviations, and where it comes from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Residual {
    pub(super) value: f64,
    pub(super) source: Source,
    /// Does it belong to a single reading? Then it may be an outlier.
    pub(super) of_reading: bool,
}

/// A problem and its instruments.
#[derive(Debug, Clone)]
pub(super) struct Problem<'m> {
    pub(super) readings: Vec<&'m PanelReading>,
    pub(super) accuracy: Accuracy,
    pub(super) twin_label: Option<Amps>,
    pub(super) prior: Prior,
}

impl<'m> Problem<'m> {
    pub(super) fn new(measured: &'m MeasuredPanel, prior: &Prior) -> Self {
        Self {
            readings: measured.readings.iter().collect(),
            accuracy: measured.accuracy,
            twin_label: measured.twin_label_i_sc,
            prior: *prior,
        }
    }

    /// How many unknowns there are.
    pub(super) fn n_unknowns(&self) -> usize {
        FIRST_READING + 2 * self.readings.len()
    }

    /// Where to begin: the rule of thumb (current with the light, voltage with the temperature).
    pub(super) fn start(&self) -> Vec<f64> {
        let p = &self.prior;
        let mut x = vec![0.0; self.n_unknowns()];
        x[VMP_SHARE] = p.vmp_per_voc.middle;
        x[IMP_SHARE] = p.imp_per_isc.middle;
        (x[ALPHA], x[BETA], x[DELTA]) = (p.alpha.middle, p.beta.middle, p.delta.middle);
        let (mut ln_v, mut ln_i) = (Vec::new(), Vec::new());
        for (k, reading) in self.readings.iter().enumerate() {
            let g = self.irradiance_read(reading);
            let t = cell_temp(reading.temp_back, g);
            x[FIRST_READING + 2 * k] = g.ln();
            x[FIRST_READING + 2 * k + 1] = t;
            let warm = t - 25.0;
            ln_i.push(reading.i_sc.amps().ln() - (g / 1000.0).ln());
            ln_v.push(reading.v_oc.volts().ln() - (1.0 + p.beta.middle / 100.0 * warm).ln());
        }
        (x[LN_VOC], x[LN_ISC]) = (median(ln_v), median(ln_i));
        x
    }

    /// Irradiance as an instrument or the twin shows it. \[W/m²\]
    pub(super) fn irradiance_read(&self, reading: &PanelReading) -> f64 {
        reading.irradiance.map(|g| g.watts_per_m2()).unwrap_or_else(|| {
            let twin = reading.twin_i_sc.expect("a reading has an irradiance or a twin");
            let label = self.twin_label.expect("a twin has a label");
            let warm = reading.temp_back.celsius() - 25.0;
            1000.0 * twin.amps() / label.amps() / (1.0 + self.prior.alpha.middle / 100.0 * warm)
        })
    }

    /// The panel that the unknowns describe.
    ///
    /// # Errors
    /// If no curve passes through it; [`fit_label`] has never refused a legal label.
    pub(super) fn panel(&self, x: &[f64]) -> Result<Panel, EstimateError> {
        let label = label_of(x);
        let assumed = Assumed {
            i_sc_coefficient: PercentPerC(x[ALPHA]),
            v_oc_coefficient: PercentPerC(x[BETA]),
            p_mp_coefficient: PercentPerC(x[BETA] + x[DELTA]),
            bypass_diodes: 0,
        };
        let model = fit_label(&label, &assumed).map_err(EstimateError::NoCurve)?;
        Ok(Panel { label, alpha: x[ALPHA] / 100.0, at_stc: model.at(stc()), model })
    }

    /// All rows at a point.
    pub(super) fn residuals(&self, x: &[f64], panel: &Panel) -> Vec<Residual> {
        let mut rows = self.prior_rows(x);
        for k in 0..self.readings.len() {
            self.reading_rows(k, x, panel, &mut rows);
        }
        rows
    }

    fn prior_rows(&self, x: &[f64]) -> Vec<Residual> {
        let (p, a) = (&self.prior, &self.accuracy);
        let own = (1.0 - READING_SHARE).sqrt() / 100.0;
        let row = |value: f64, source| Residual { value, source, of_reading: false };
        vec![
            row((x[VMP_SHARE] - p.vmp_per_voc.middle) / p.vmp_per_voc.sd, Source::Shape),
            row((x[IMP_SHARE] - p.imp_per_isc.middle) / p.imp_per_isc.sd, Source::Shape),
            row((x[ALPHA] - p.alpha.middle) / p.alpha.sd, Source::Coefficients),
            row((x[BETA] - p.beta.middle) / p.beta.sd, Source::Coefficients),
            row((x[DELTA] - p.delta.middle) / p.delta.sd, Source::Coefficients),
            row(x[VOLTS_GAIN] / (own * a.volts_percent), Source::VoltMeter),
            row(x[AMPS_GAIN] / (own * a.amps_percent), Source::AmpMeter),
            row(x[SUN_GAIN] / (own * a.irradiance_percent), Source::Irradiance),
            row(x[TEMP_OFFSET] / (own * 100.0 * a.temp_k), Source::Temperature),
            row(x[TWIN_OFF] / (0.01 * a.twin_percent), Source::Twin),
            row(x[LIGHT_SLOPE] / LIGHT_SLOPE_SD, Source::Coefficients),
        ]
    }

    fn reading_rows(&self, k: usize, x: &[f64], panel: &Panel, rows: &mut Vec<Residual>) {
        let (reading, a) = (self.readings[k], &self.accuracy);
        let (ln_g, temp) = (x[FIRST_READING + 2 * k], x[FIRST_READING + 2 * k + 1]);
        let seen = panel.at(ln_g.exp(), temp);
        let each = READING_SHARE.sqrt() / 100.0;
        let (sd_v, sd_i) = (each * a.volts_percent, each * a.amps_percent);
        let mut row = |value: f64, source| rows.push(Residual { value, source, of_reading: true });
        if let Some(g) = reading.irradiance {
            let off = g.watts_per_m2().ln() - ln_g - x[SUN_GAIN];
            row(off / (each * a.irradiance_percent), Source::Irradiance);
        }
        let read = cell_temp(reading.temp_back, ln_g.exp());
        row((read - temp - x[TEMP_OFFSET]) / (each * 100.0 * a.temp_k), Source::Temperature);
        let slope = x[LIGHT_SLOPE] * (ln_g - 1000_f64.ln());
        let off = reading.v_oc.volts().ln() - seen.v_oc.ln() - slope - x[VOLTS_GAIN];
        row(off / sd_v, Source::VoltMeter);
        let off = reading.i_sc.amps().ln() - seen.i_sc.ln() - x[AMPS_GAIN];
        row(off / sd_i, Source::AmpMeter);
        if let (Some(twin), Some(label)) = (reading.twin_i_sc, self.twin_label) {
            let shines = label.amps().ln() + ln_g - 1000_f64.ln() + panel.warmed(temp).ln();
            let off = twin.amps().ln() - shines - x[AMPS_GAIN] - x[TWIN_OFF];
            row(off / sd_i, Source::AmpMeter);
        }
        if let Some((v, i)) = reading.load {
            let v = v.volts() * (-x[VOLTS_GAIN]).exp();
            let i = i.amps() * (-x[AMPS_GAIN]).exp();
            let (on_curve, slope) = seen.current_and_slope(v);
            // The distance along the current, against what both meters leave open there.
            let sd = (sd_i * i).hypot(sd_v * v * slope);
            row((i - on_curve) / sd, Source::AmpMeter);
        }
    }
}

/// A panel that could be the one: its label and its curve.
#[derive(Debug, Clone, Copy)]
pub(super) struct Panel {
    pub(super) label: Label,
    /// \[1/K\]
    alpha: f64,
    model: PanelModel,
    at_stc: SingleDiode,
}

/// A panel as a meter sees it at a condition.
pub(super) struct Seen {
    /// \[V\]
    pub(super) v_oc: f64,
    /// \[A\]
    pub(super) i_sc: f64,
    diode: SingleDiode,
}

impl Panel {
    /// The panel at an irradiance \[W/m²\] and a cell temperature \[°C\], by De Soto's equations.
    ///
    /// The curve always passes through the label's maximum power point; where the fit had to move its ends,
    /// open volts and short amperes are the label's own, translated.
    pub(super) fn at(&self, g: f64, temp: f64) -> Seen {
        let condition = Condition { irradiance: Irradiance(g), temp_cell: Celsius(temp) };
        let diode = self.model.at(condition);
        let v_oc = self.label.v_oc.volts() * diode.v_oc() / self.at_stc.v_oc();
        let i_sc = self.label.i_sc.amps() * g / 1000.0 * self.warmed(temp);
        Seen { v_oc, i_sc, diode }
    }

    /// How much short-circuit current grows with temperature, as a factor.
    fn warmed(&self, temp: f64) -> f64 {
        (1.0 + self.alpha * (temp - 25.0)).max(0.1)
    }

    /// Maximum power point at a condition. \[V\], \[A\]
    pub(super) fn max_power(&self, g: f64, temp: f64) -> (f64, f64) {
        self.at(g, temp).diode.max_power()
    }
}

impl Seen {
    /// Current at a voltage \[A\] and its change with it \[S\].
    fn current_and_slope(&self, v: f64) -> (f64, f64) {
        // Far beyond open volts the curve would leave the range of a double.
        let v = v.min(BEYOND_OPEN * self.v_oc);
        let at = |v: f64| self.diode.current_at_voltage(v);
        let step = 1e-4 * self.v_oc;
        (at(v), (at(v + step) - at(v - step)) / (2.0 * step))
    }
}

/// The label that the unknowns describe.
pub(super) fn label_of(x: &[f64]) -> Label {
    let (lo, hi) = LEGAL_SHARE;
    let (v_oc, i_sc) = (Volts(x[LN_VOC].exp()), Amps(x[LN_ISC].exp()));
    let v_mp = v_oc * x[VMP_SHARE].clamp(lo, hi);
    let i_mp = i_sc * x[IMP_SHARE].clamp(lo, hi);
    Label { p_mp: v_mp * i_mp, v_mp, i_mp, v_oc, i_sc }
}

/// Temperature of the cells by that of the back. \[°C\]
pub(super) fn cell_temp(back: Celsius, g: f64) -> f64 {
    back.celsius() + CELL_ABOVE_BACK * g / 1000.0
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
