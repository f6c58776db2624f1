//! EPW: eight lines of head, then an hour in each line.

use super::cells::{AIR, Cells, LATITUDE, LONGITUDE, Row, Rows, Station, ZONE, whole};
use crate::diagnostic::Place;
use crate::input::codes::{WEATHER_COLUMN, WEATHER_HEAD, WEATHER_VALUE};
use crate::input::findings::{Findings, quoted};

/// Lines before the first hour.
const HEAD: usize = 8;
/// Columns of the figures, from 0, as the format fixes them.
const DRY_BULB: usize = 6;
const SUN: [usize; 3] = [13, 14, 15];

/// The rows of the file.
pub(super) fn rows(findings: &mut Findings) -> Option<Rows> {
    let lines: Vec<(usize, String)> =
        findings.lines.numbered().map(|(n, line)| (n, line.to_owned())).collect();
    let station = station(&lines[0].1, findings)?;
    let body = lines.iter().skip(HEAD).filter(|(_, line)| !line.trim().is_empty());
    let mut rows = Vec::new();
    for (number, line) in body {
        let cells = Cells::of(*number, line);
        if cells.n() <= SUN[2] {
            let message = format!(
                "the line has {} columns, and the sun stands in {} to {}",
                cells.n(),
                14,
                16
            );
            let at = Place { line: *number, column: 1 };
            let help = "is the file whole? every hour of an EPW file has about 35 columns";
            findings.error(WEATHER_COLUMN, at, message, help);
            return None;
        }
        rows.extend(row(*number, &cells, findings));
    }
    Some(Rows { station, rows })
}

fn station(line: &str, findings: &mut Findings) -> Option<Station> {
    let cells = Cells::of(1, line);
    if cells.n() < 9 {
        let message = format!("the first line has {} fields instead of ten", cells.n());
        let help = "`LOCATION`, place, state, country, source, number, latitude, longitude, time zone, elevation";
        findings.error(WEATHER_HEAD, Place { line: 1, column: 1 }, message, help);
        return None;
    }
    let latitude_deg = cells.figure(6, LATITUDE, findings);
    let longitude_deg = cells.figure(7, LONGITUDE, findings);
    let utc_offset_h = cells.figure(8, ZONE, findings);
    Some(Station {
        place: cells.text(1).to_owned(),
        latitude_deg: latitude_deg?,
        longitude_deg: longitude_deg?,
        utc_offset_h: utc_offset_h?,
    })
}

fn row(line: usize, cells: &Cells, findings: &mut Findings) -> Option<Row> {
    let date = || {
        Some((
            cells.text(0).parse::<i32>().ok().filter(|y| (1900..=2200).contains(y))?,
            whole(cells.text(1), 1, 12)?,
            whole(cells.text(2), 1, 31)?,
            whole(cells.text(3), 1, 24)?,
        ))
    };
    let Some((year, month, day, end_hour)) = date() else {
        let typed: Vec<&str> = (0..4).map(|i| cells.text(i)).collect();
        let message = format!("{} is no year, month, day and hour", quoted(&typed.join(",")));
        let help = "hours are numbered from 1 to 24 by their end";
        findings.error(WEATHER_VALUE, cells.place(0), message, help);
        return None;
    };
    // The format's own marks for missing figures.
    let sun = cells.sun(SUN, |x| x >= 9999.0, findings);
    let air = cells.measured(DRY_BULB, AIR, |x| (x - 99.9).abs() < 1e-6, findings);
    Some(Row { line, year, month, day, end_hour, sun: sun?, air: air? })
}
