//! A kind: panels that share one label.

use super::Placed;
use crate::units::{Amps, Celsius, Irradiance, PercentPerC, Volts, Watts};

/// Index of a kind in [`Installation::kinds`](super::Installation).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KindIdx(pub usize);

/// The five label figures at standard test conditions (1000 W/m², cells at 25 °C, AM 1.5).
///
/// Valid by construction in `input`: all positive and finite, `v_oc/2 < v_mp < v_oc`,
/// `i_sc/2 < i_mp < i_sc`, and `p_mp` equal to `v_mp · i_mp` within the label's tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Label {
    /// Maximum power. \[W\]
    pub p_mp: Watts,
    /// Voltage at maximum power. \[V\]
    pub v_mp: Volts,
    /// Current at maximum power. \[A\]
    pub i_mp: Amps,
    /// Open-circuit voltage. \[V\]
    pub v_oc: Volts,
    /// Short-circuit current. \[A\]
    pub i_sc: Amps,
}

/// Panels that share one label, and, where the file has planes, stand on one. `None` means that the label does not say it.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// The person's own name for it; on a plane with its name, as `shed-160@east-roof`.
    pub id: String,
    /// Figures at standard test conditions.
    pub label: Label,
    /// Temperature coefficient of open-circuit voltage, negative. \[%/°C\]
    pub v_oc_coefficient: Option<PercentPerC>,
    /// Temperature coefficient of short-circuit current. \[%/°C\]
    pub i_sc_coefficient: Option<PercentPerC>,
    /// Temperature coefficient of maximum power, negative. \[%/°C\]
    pub p_mp_coefficient: Option<PercentPerC>,
    /// Cells in series, as counted by the maker.
    pub cells: Option<usize>,
    /// Bypass diodes; 0 means none.
    pub bypass_diodes: Option<usize>,
    /// Nominal operating cell temperature.
    pub noct: Option<Celsius>,
    /// "Maximum series fuse" on the label.
    pub max_fuse: Option<Amps>,
    /// Maximum system voltage on the label.
    pub max_system: Option<Volts>,
    /// How far the label may be off, either way. \[%\]
    pub tolerance_percent: Option<f64>,
    /// Years in the sun. \[a\]
    pub age_years: Option<f64>,
    /// How far the open-circuit voltage may be off, where it is known better than the rest. \[%\]
    pub v_oc_tolerance_percent: Option<f64>,
    /// Are the figures an estimate from meter readings, not a maker's label?
    pub estimated: bool,
    /// On which plane; `None` where the file has none.
    pub placed: Option<Placed>,
}

/// Loss of power a year where nothing is measured, as a fraction: the median of about 2,000 rates.
///
/// D.C. Jordan and S.R. Kurtz, Prog. Photovoltaics 21, 2013, doi:10.1002/pip.1182.
const FADE_PER_YEAR: f64 = 0.005;

impl Kind {
    /// A kind of which the label's five figures are all that is known.
    #[must_use]
    pub fn of_label(id: String, label: Label) -> Self {
        Self {
            id,
            label,
            v_oc_coefficient: None,
            i_sc_coefficient: None,
            p_mp_coefficient: None,
            cells: None,
            bypass_diodes: None,
            noct: None,
            max_fuse: None,
            max_system: None,
            tolerance_percent: None,
            age_years: None,
            v_oc_tolerance_percent: None,
            estimated: false,
            placed: None,
        }
    }

    /// The id of its label in the file.
    #[must_use]
    pub fn label_id(&self) -> &str {
        self.placed.as_ref().map_or(&self.id, |placed| &placed.label_id)
    }

    /// The same panel wherever it stands.
    #[must_use]
    pub fn without_plane(&self) -> Self {
        Self { id: self.label_id().to_owned(), placed: None, ..self.clone() }
    }

    /// Irradiance on it when watts are compared: full sun, or what its plane has at the design
    /// instant. \[W/m²\]
    #[must_use]
    pub fn design_irradiance(&self) -> Irradiance {
        self.placed.as_ref().map_or(Irradiance(1000.0), |placed| placed.sun)
    }

    /// The place of its plane's sun among those of a site; 0 where all panels have the same.
    #[must_use]
    pub fn sun_place(&self) -> usize {
        self.placed.as_ref().map_or(0, |placed| placed.plane.0)
    }

    /// Rated current in that sun, to which it is proportional. \[A\]
    #[must_use]
    pub fn design_i_mp(&self) -> Amps {
        self.label.i_mp * (self.design_irradiance().watts_per_m2() / 1000.0)
    }

    /// Lowest and highest power that the label's tolerance and the panel's age leave open, as
    /// factors on the label; `None` where the file gives neither.
    #[must_use]
    pub fn power_band(&self) -> Option<(f64, f64)> {
        let given = self.tolerance_percent.is_some() || self.age_years.is_some();
        let off = self.tolerance_percent.unwrap_or(0.0) / 100.0;
        let faded = (1.0 - FADE_PER_YEAR * self.age_years.unwrap_or(0.0)).max(0.1);
        given.then_some(((1.0 - off) * faded, 1.0 + off))
    }

    /// Open-circuit voltage at the unsafe end of the tolerance: what limits are held against. \[V\]
    #[must_use]
    pub fn highest_v_oc(&self) -> Volts {
        let off = self.v_oc_tolerance_percent.or(self.tolerance_percent);
        self.label.v_oc * (1.0 + off.unwrap_or(0.0) / 100.0)
    }

    /// Short-circuit current at the unsafe end of the tolerance: what limits are held against. \[A\]
    #[must_use]
    pub fn highest_i_sc(&self) -> Amps {
        self.label.i_sc * (1.0 + self.tolerance_percent.unwrap_or(0.0) / 100.0)
    }
}
