//! Do the three irradiances fit the sun's height? A file whose hours are shifted shows here.

use crate::diagnostic::Place;
use crate::input::codes::WEATHER_SHIFTED;
use crate::input::findings::Findings;
use crate::model::WeatherYear;
use crate::sun::{Instant, day_of_year, sun_position};

/// Good files are 2 to 3 W/m² off, since the sun rises and sets within hours; beyond this a person
/// should look. \[W/m²\] (ours)
const MOST_OFF: f64 = 20.0;
/// A shift explains the misfit if it leaves less than this share of it (ours).
const EXPLAINED: f64 = 0.6;
/// Shifts that are tried: stamps at the start or in the middle of the hour, summer time. \[h\]
const SHIFTS: [f64; 4] = [-1.0, -0.5, 0.5, 1.0];

/// Warns where global irradiance is not direct times the sun's height plus diffuse.
pub(super) fn check(year: &WeatherYear, findings: &mut Findings) {
    let as_read = misfit(year, 0.0);
    if as_read <= MOST_OFF {
        return;
    }
    let shifted = SHIFTS.map(|shift| (misfit(year, shift), shift));
    let (least, shift) = shifted
        .into_iter()
        .reduce(|best, next| if next.0 < best.0 { next } else { best })
        .expect("there are shifts to try");
    let at = Place { line: 1, column: 1 };
    if least < EXPLAINED * as_read {
        let way = if shift > 0.0 { "later" } else { "earlier" };
        let message = format!(
            "the times of this file look shifted: sun and irradiance fit best {} h {way} ({least:.0} W/m² off instead of {as_read:.0})",
            shift.abs()
        );
        let help = "hours must be stamped by their end, in standard time without summer time; is the time zone in the file's head right? The file is used as it stands";
        findings.warning(WEATHER_SHIFTED, at, message, help);
    } else {
        let message = format!(
            "global, direct and diffuse irradiance do not fit together ({as_read:.0} W/m² off, {MOST_OFF:.0} would be much)"
        );
        let help = "are latitude, longitude and time zone in the file's head right? The file is used as it stands";
        findings.warning(WEATHER_SHIFTED, at, message, help);
    }
}

/// Root mean square of global − diffuse − direct · cos(zenith) over the hours with light, the sun
/// taken so many hours after their middles. \[W/m²\]
fn misfit(year: &WeatherYear, shift: f64) -> f64 {
    let lit = year.hours.iter().filter(|h| h.global > 0.0);
    let squares = lit.map(|hour| {
        let at = Instant {
            year: hour.year,
            day_of_year: day_of_year(hour.year, hour.month, hour.day),
            hour_utc: year.middle_utc(hour) + shift,
        };
        let up = sun_position(at, year.latitude_deg, year.longitude_deg).cos_zenith().max(0.0);
        (hour.global - hour.diffuse - hour.direct * up).powi(2)
    });
    let (sum, n) = squares.fold((0.0, 0usize), |(sum, n), square| (sum + square, n + 1));
    (sum / n.max(1) as f64).sqrt()
}
