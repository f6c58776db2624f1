//! Figures, sources and doubts in words.

use crate::electrical::readings::{Band, Doubt, NextReading, Outlier, Source, Spread};
use crate::model::Accuracy;
use crate::report::numbers::{fixed, plain};

/// A source as it stands in files.
pub(super) fn source_name(source: Source) -> &'static str {
    match source {
        Source::VoltMeter => "volt_meter",
        Source::AmpMeter => "amp_meter",
        Source::Irradiance => "irradiance",
        Source::Twin => "twin_label",
        Source::Temperature => "temperature",
        Source::Shape => "fill_factor",
        Source::Coefficients => "coefficients",
    }
}

/// A source in words, with the accuracy that was counted with.
pub(super) fn source(source: Source, a: &Accuracy) -> String {
    match source {
        Source::VoltMeter => format!("the meter on volts, {} %", plain(a.volts_percent, 2)),
        Source::AmpMeter => format!("the meter on amperes, {} %", plain(a.amps_percent, 2)),
        Source::Irradiance => format!("the irradiance meter, {} %", plain(a.irradiance_percent, 2)),
        Source::Twin => format!("the label of the twin, {} %", plain(a.twin_percent, 2)),
        Source::Temperature => format!("the cells' temperature, {} °C", plain(a.temp_k, 2)),
        Source::Shape => "Vmp/Voc and Imp/Isc, which differ from panel to panel".into(),
        Source::Coefficients => {
            "temperature and weak light, which act differently from panel to panel".into()
        }
    }
}

/// What to do next, as a file says it.
pub(super) fn next_name(next: NextReading) -> &'static str {
    match next {
        NextReading::LoadedPoint(_) => "loaded_point",
        NextReading::BetterLight => "reference_cell",
        NextReading::BetterTemperature => "better_temperature",
        NextReading::BetterMeter => "better_meter",
        NextReading::OnceMore => "once_more_in_full_sun",
    }
}

/// What to do next.
pub(super) fn next(next: NextReading) -> String {
    match next {
        NextReading::LoadedPoint(v) => format!(
            "load the panel until it stands at about {} V and read volts and amperes at once",
            fixed(v.volts(), 1)
        ),
        NextReading::BetterLight => "tell the light by a calibrated reference cell, to 2 %".into(),
        NextReading::BetterTemperature => {
            "fix the sensor to the back under insulation, to 1 °C".into()
        }
        NextReading::BetterMeter => "take a meter good to 0.3 % on volts and amperes".into(),
        NextReading::OnceMore => "read all of it once more in full sun".into(),
    }
}

/// What of a reading stands out.
pub(super) fn outlier(outlier: Outlier) -> &'static str {
    match outlier {
        Outlier::Voltage => "its volts, or its temperature",
        Outlier::Current => "its amperes, or its light",
        Outlier::Both => "volts and amperes",
    }
}

/// The same as a file says it.
pub(super) fn outlier_name(outlier: Option<Outlier>) -> &'static str {
    match outlier {
        None => "agrees",
        Some(Outlier::Voltage) => "volts_stand_out",
        Some(Outlier::Current) => "amperes_stand_out",
        Some(Outlier::Both) => "both_stand_out",
    }
}

/// What a person should look at.
pub(super) fn doubt(doubt: &Doubt) -> String {
    match doubt {
        Doubt::VoltsPerCell(v) => format!(
            "{} V a cell at 25 °C, where silicon has 0.53 to 0.77: is the count of cells right, is a \
             third or half of the panel bypassed or dead, or is it no crystalline silicon?",
            fixed(*v, 2)
        ),
        Doubt::Shape { vmp_per_voc, imp_per_isc } => format!(
            "an unusual curve: Vmp/Voc {}, Imp/Isc {}. Worn joints or cracked cells do this, and so \
             does light that changed between the readings.",
            against(*vmp_per_voc),
            against(*imp_per_isc)
        ),
        Doubt::WeakLight(g) => format!(
            "the strongest light was {} W/m²: weak light says little about full sun.",
            fixed(*g, 0)
        ),
        Doubt::TwoDisagree => {
            "the two readings disagree by more than the instruments allow; which \
            of them is wrong cannot be told from two: take a third."
                .into()
        }
        Doubt::StandOut(names) => match &names[..] {
            [one] => format!(
                "{one} does not fit the others. It is kept, with less weight: look it up, or take it again."
            ),
            many => format!(
                "{} do not fit the others. They are kept, with less weight: look them up, or take them again.",
                many.join(", ")
            ),
        },
    }
}

fn against((found, usual): (f64, Spread)) -> String {
    let two = 2.0 * usual.sd;
    format!(
        "{} (usual {} to {})",
        fixed(found, 2),
        fixed(usual.middle - two, 2),
        fixed(usual.middle + two, 2)
    )
}

/// `63.1 to 84.9`.
pub(super) fn ends(band: &Band, decimals: usize) -> String {
    format!("{} to {}", fixed(band.low, decimals), fixed(band.high, decimals))
}
