//! Position and sun: what turns on yearly energy.

use super::codes::{KEYS_CLASH, SUN_IMPOSSIBLE, SUN_INCOMPLETE, SUN_ODD};
use super::doubts;
use super::fields::{Fields, Typed};
use super::findings::{Findings, rounded};
use super::planes::Planes;
use crate::model::{MONTHS, SunData};
use crate::sun::{Day, MEAN_DAYS};

/// No month's mean is clearer than this share of what comes without the air (common practice, no
/// source; the clearest deserts have about 0.75).
const CLEAREST: f64 = 0.8;
/// Where a month has less than this without the air, shares say nothing. \[kWh/m²/day\]
const DARK: f64 = 0.2;

/// Everything about the sun, kept as given.
pub(super) fn read_sun(fields: &Fields, planes: Planes, findings: &mut Findings) -> SunData {
    let mut number = |key| fields.number(key, findings);
    let (latitude, tilt, azimuth) =
        (number("latitude_deg"), number("tilt_deg"), number("azimuth_deg"));
    let value = |typed: &Option<Typed<f64>>| typed.as_ref().map(|x| x.value);
    let (latitude_deg, tilt_deg) = (value(&latitude), value(&tilt));
    if let Some(azimuth) = &azimuth {
        doubts::azimuth(azimuth, latitude_deg, tilt_deg, findings);
    }
    let (sun, air) =
        (fields.numbers("sun_kwh_m2_day", findings), fields.numbers("air_c", findings));
    let weather = fields.text("weather", findings).map(|text| text.value);
    check_clash(fields, findings);
    check_planes(fields, planes, findings);
    check_complete(fields, planes, findings);
    if let (Some(sun), Some(latitude)) = (&sun, latitude_deg) {
        check_sun(sun, latitude, findings);
    }
    SunData {
        latitude_deg,
        tilt_deg,
        azimuth_deg: value(&azimuth),
        sun_kwh_m2_day: sun.and_then(twelve),
        air_c: air.and_then(twelve),
        weather,
        ..SunData::default()
    }
}

fn twelve(numbers: Vec<Typed<f64>>) -> Option<[f64; 12]> {
    let values: Vec<f64> = numbers.iter().map(|x| x.value).collect();
    values.try_into().ok()
}

fn check_clash(fields: &Fields, findings: &mut Findings) {
    let listed = ["sun_kwh_m2_day", "air_c"].into_iter().find(|key| fields.has(key));
    if let (Some(at), Some(list)) = (fields.key_place("weather"), listed)
        && fields.has("weather")
    {
        let message = format!("`site` has both `weather` and `{list}`");
        let help = "a weather file stands instead of the two lists: keep the file or the lists";
        findings.error(KEYS_CLASH, at, message, help);
    }
}

/// With planes it is they that say how panels stand.
fn check_planes(fields: &Fields, planes: Planes, findings: &mut Findings) {
    for key in ["tilt_deg", "azimuth_deg"] {
        if let Some(at) = fields.key_place(key).filter(|_| planes.count() > 0 && fields.has(key)) {
            let message = format!("`site` has `{key}`, though there are `planes`");
            let help = "how panels stand is said by their planes: delete it here";
            findings.error(KEYS_CLASH, at, message, help);
        }
    }
}

/// Whoever gives sun wants a year of it.
fn check_complete(fields: &Fields, planes: Planes, findings: &mut Findings) {
    let sources = ["weather", "sun_kwh_m2_day", "air_c"];
    let Some(given) = sources.into_iter().find(|key| fields.has(key)) else { return };
    let needed: &[&str] = if given == "weather" {
        &["tilt_deg", "azimuth_deg"]
    } else {
        &["latitude_deg", "tilt_deg", "azimuth_deg", "sun_kwh_m2_day", "air_c"]
    };
    let by_plane = |key: &str| planes.count() > 0 && matches!(key, "tilt_deg" | "azimuth_deg");
    let missing: Vec<String> = needed
        .iter()
        .filter(|key| !fields.has(key) && !by_plane(key))
        .map(|key| format!("`{key}`"))
        .collect();
    if let (Some(at), false) = (fields.key_place(given), missing.is_empty()) {
        let message =
            format!("no yearly energy: `site` has `{given}`, but no {}", missing.join(" and no "));
        let help = if given == "weather" {
            "say how the panels stand: `tilt_deg` from horizontal, `azimuth_deg` from north by east (180 is south)"
        } else {
            "a year needs the latitude, how the panels stand (`tilt_deg` from horizontal, `azimuth_deg` from north by east, 180 is south), and both lists; or `weather`, the name of a weather file"
        };
        findings.warning(SUN_INCOMPLETE, at, message, help);
    }
}

/// A month cannot have more sun than comes without the air, and hardly four fifths of it.
fn check_sun(sun: &[Typed<f64>], latitude: f64, findings: &mut Findings) {
    let mut odd = false;
    for (month, typed) in sun.iter().enumerate().take(12) {
        let outside = Day::new(MEAN_DAYS[month], latitude).outside_kwh();
        let name = MONTHS[month];
        let value = &typed.as_typed;
        let most = rounded(outside, 1);
        if typed.value > outside.max(DARK) {
            let message = format!(
                "more sun in {name} than there is at latitude {latitude}° without any air ({value} is above {most} kWh/m² a day)"
            );
            let help = "write the daily mean on the horizontal, in kWh/m²: a sum of the month is about 30 times as much, MJ/m² are 3.6 times as much";
            findings.error(SUN_IMPOSSIBLE, typed.at, message, help);
        } else if typed.value > CLEAREST * outside.max(DARK) && !odd {
            odd = true;
            let message = format!(
                "{name} would be clearer than any ({value} of at most {most} kWh/m² a day without any air)"
            );
            let help = "write the mean on the horizontal, not on the tilted panels; is the latitude right, and north positive?";
            findings.warning(SUN_ODD, typed.at, message, help);
        }
    }
}
