//! Rows to a whole year: every hour once, in order, and few gaps.

use super::cells::{Row, Rows};
use crate::diagnostic::Place;
use crate::input::codes::{WEATHER_FILLED, WEATHER_GAPS, WEATHER_HOURS};
use crate::input::findings::Findings;
use crate::model::{HOURS_OF_YEAR, MONTHS, WeatherHour, WeatherYear};
use crate::units::Celsius;

/// Most hours that may be missing: 5 % of a year (ours).
const MOST_MISSING: usize = HOURS_OF_YEAR / 20;
const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// The year of a file; `None` if a finding says why not.
pub(super) fn year(file: Rows, findings: &mut Findings) -> Option<WeatherYear> {
    if findings.n_errors() > 0 {
        // Rows that could not be read would only show again as gaps.
        return None;
    }
    let mut rows = file.rows;
    rows.retain(|r| !(r.month == 2 && r.day == 29));
    check_order(&rows, findings)?;
    let sun = filled(&rows, |r| r.sun);
    let air = filled(&rows, |r| r.air);
    report_gaps(&rows, findings)?;
    let hours = rows
        .iter()
        .zip(sun.into_iter().zip(air))
        .map(|(row, (sun, air))| {
            let ([global, direct, diffuse], air) = (sun?, air?);
            Some(WeatherHour {
                year: row.year,
                month: row.month,
                day: row.day,
                end_hour: row.end_hour,
                global,
                direct,
                diffuse,
                air: Celsius(air),
            })
        })
        .collect::<Option<_>>()?;
    Some(WeatherYear {
        place: file.station.place,
        latitude_deg: file.station.latitude_deg,
        longitude_deg: file.station.longitude_deg,
        utc_offset_h: file.station.utc_offset_h,
        hours,
    })
}

/// Every hour of a common year, in order.
fn calendar() -> impl Iterator<Item = (u32, u32, u32)> {
    (1..=12u32).zip(DAYS).flat_map(|(month, days)| {
        (1..=days).flat_map(move |day| (1..=24).map(move |hour| (month, day, hour)))
    })
}

fn in_words((month, day, hour): (u32, u32, u32)) -> String {
    format!("{day} {}, hour {hour}", MONTHS[month as usize - 1])
}

fn check_order(rows: &[Row], findings: &mut Findings) -> Option<()> {
    let mut at_line = 1;
    for (n, expected) in calendar().enumerate() {
        let Some(row) = rows.get(n) else {
            let message = format!(
                "the file ends after {n} hours, before {} (a year has {HOURS_OF_YEAR})",
                in_words(expected)
            );
            let help = "an hour in each line, from 1 January to 31 December: is the file whole?";
            findings.error(WEATHER_HOURS, Place { line: at_line, column: 1 }, message, help);
            return None;
        };
        at_line = row.line;
        let found = (row.month, row.day, row.end_hour);
        if found != expected {
            let message =
                format!("here stands {}, where {} is due", in_words(found), in_words(expected));
            let help = "every hour from 1 January to 31 December stands once and in order; files with half-hours, or with a part of a year, are not read";
            findings.error(WEATHER_HOURS, Place { line: at_line, column: 1 }, message, help);
            return None;
        }
    }
    if let Some(extra) = rows.get(HOURS_OF_YEAR) {
        let message = format!("a second year begins here (a year has {HOURS_OF_YEAR} hours)");
        let help = "keep one year in the file";
        findings.error(WEATHER_HOURS, Place { line: extra.line, column: 1 }, message, help);
        return None;
    }
    Some(())
}

/// Each row's figure; where it is missing, that of the same hour on the nearest day.
fn filled<T: Copy>(rows: &[Row], figure: impl Fn(&Row) -> Option<T>) -> Vec<Option<T>> {
    let at = |n: usize, days: usize, back: bool| {
        let hours = 24 * days;
        let other = if back { n.checked_sub(hours) } else { Some(n + hours) };
        other.and_then(|o| rows.get(o)).and_then(&figure)
    };
    (0..rows.len())
        .map(|n| {
            figure(&rows[n])
                .or_else(|| (1..=365).find_map(|d| at(n, d, true).or_else(|| at(n, d, false))))
        })
        .collect()
}

/// A few missing hours are a warning, many an error.
fn report_gaps(rows: &[Row], findings: &mut Findings) -> Option<()> {
    let missing: Vec<&Row> = rows.iter().filter(|r| r.sun.is_none() || r.air.is_none()).collect();
    let Some(first) = missing.first() else { return Some(()) };
    let at = Place { line: first.line, column: 1 };
    let n = missing.len();
    if n > MOST_MISSING {
        let message = format!(
            "sun or air is missing in {n} of {HOURS_OF_YEAR} hours (at most {MOST_MISSING} are filled); here first"
        );
        let help = "take another year or station, or give the two lists of monthly means instead";
        findings.error(WEATHER_GAPS, at, message, help);
        return None;
    }
    let message = format!("sun or air is missing in {n} hours; here first");
    let help = "they are taken from the same hour of the nearest day";
    findings.warning(WEATHER_FILLED, at, message, help);
    Some(())
}
