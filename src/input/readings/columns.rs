//! What may be read: its column in a file, its option on the command line, its range.

use crate::input::findings::rounded;
use crate::input::keys::{Range, Unit};
use crate::input::typed_units::fahrenheit_to_celsius;

/// From here on a figure is rather in thousandths than of several panels (ours).
const LEAST_MA: f64 = 200.0;
const LEAST_MV: f64 = 2000.0;

/// One figure of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    OpenVoltage,
    ShortCurrent,
    Irradiance,
    BackTemp,
    LoadVoltage,
    LoadCurrent,
    TwinCurrent,
    Note,
}

impl Column {
    pub(super) const ALL: [Self; 8] = [
        Self::OpenVoltage,
        Self::ShortCurrent,
        Self::Irradiance,
        Self::BackTemp,
        Self::LoadVoltage,
        Self::LoadCurrent,
        Self::TwinCurrent,
        Self::Note,
    ];

    /// Its name in the header of a file.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::OpenVoltage => "voc_v",
            Self::ShortCurrent => "isc_a",
            Self::Irradiance => "irradiance_w_m2",
            Self::BackTemp => "back_temp_c",
            Self::LoadVoltage => "load_v",
            Self::LoadCurrent => "load_a",
            Self::TwinCurrent => "twin_isc_a",
            Self::Note => "note",
        }
    }

    /// Its option on the command line.
    pub(super) fn option(self) -> &'static str {
        match self {
            Self::OpenVoltage => "--voc",
            Self::ShortCurrent => "--isc",
            Self::Irradiance => "--irradiance",
            Self::BackTemp => "--back-temp",
            Self::LoadVoltage => "--load-v",
            Self::LoadCurrent => "--load-a",
            Self::TwinCurrent => "--twin-isc",
            Self::Note => "--note",
        }
    }

    pub(super) fn unit(self) -> Unit {
        match self {
            Self::OpenVoltage | Self::LoadVoltage => Unit::Volt,
            Self::ShortCurrent | Self::LoadCurrent | Self::TwinCurrent => Unit::Amp,
            Self::Irradiance => Unit::Irradiance,
            Self::BackTemp => Unit::Celsius,
            Self::Note => Unit::None,
        }
    }

    /// What one panel in some light can show.
    ///
    /// One panel: silicon panels of the open CEC table end at 92 V and 12 A; larger ones are made since.
    /// Light: more than 1528 W/m² was never recorded at the ground (Yordanov and others, 2013).
    pub(super) fn range(self) -> Range {
        let (lo, hi, open) = match self {
            Self::OpenVoltage | Self::LoadVoltage => (0.0, 200.0, true),
            Self::ShortCurrent | Self::LoadCurrent | Self::TwinCurrent => (0.0, 30.0, true),
            Self::Irradiance => (50.0, 1600.0, false),
            Self::BackTemp => (-40.0, 95.0, false),
            Self::Note => (f64::NEG_INFINITY, f64::INFINITY, false),
        };
        Range { lo, hi, open }
    }

    /// What to look at if a figure lies outside.
    pub(super) fn help(self, x: f64) -> String {
        let range = self.range();
        let inside = |y: f64| range.contains(y);
        match self.unit() {
            Unit::Irradiance if x == 0.0 => {
                "without light nothing can be told: measure in sun, best above 600 W/m²".into()
            }
            Unit::Irradiance if inside(1000.0 * x) => {
                format!("is it in kW/m²? {x} kW/m² are {} W/m²", rounded(1000.0 * x, 1))
            }
            Unit::Irradiance if x > range.hi => {
                "more was never recorded at the ground; lux cannot be used, only W/m²".into()
            }
            Unit::Irradiance => "too little light to tell a label by: measure in sun".into(),
            Unit::Celsius if inside(fahrenheit_to_celsius(x)) => {
                let celsius = rounded(fahrenheit_to_celsius(x), 1);
                format!("temperatures are in °C; {x} °F are {celsius} °C")
            }
            _ if x < 0.0 && inside(-x) => {
                "are the leads the wrong way round? Write it without the minus sign".into()
            }
            Unit::Amp if x == 0.0 => {
                "no light, an open lead, or the meter's own fuse is blown: a panel in any light gives some current".into()
            }
            Unit::Volt if x == 0.0 => {
                "no light, a lead that does not touch, or a panel that is shorted: a panel in any light gives some voltage".into()
            }
            Unit::Amp if x >= LEAST_MA && inside(x / 1000.0) => {
                format!("is it in mA? {x} mA are {} A", rounded(x / 1000.0, 3))
            }
            Unit::Volt if x >= LEAST_MV && inside(x / 1000.0) => {
                format!("is it in mV ({x} mV are {} V)? A string is measured panel by panel", rounded(x / 1000.0, 3))
            }
            Unit::Volt if x > range.hi => {
                "is this a whole string? Measure one panel by itself, with nothing else connected".into()
            }
            Unit::Amp if x > range.hi => {
                "is this several panels in parallel? Measure one panel by itself".into()
            }
            _ => "take the reading again".into(),
        }
    }
}
