//! TMY3 as CSV: a line for the place, a line of column names, then an hour in each line.

use super::cells::{AIR, Cells, LATITUDE, LONGITUDE, Row, Rows, Station, ZONE, whole};
use crate::diagnostic::Place;
use crate::input::codes::{WEATHER_COLUMN, WEATHER_HEAD, WEATHER_VALUE};
use crate::input::findings::{Findings, quoted};

/// Columns by what their names begin with: date, time, the three irradiances, air.
const NAMES: [&str; 6] =
    ["Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (", "DNI (", "DHI (", "Dry-bulb ("];

/// The rows of the file.
pub(super) fn rows(findings: &mut Findings) -> Option<Rows> {
    let lines: Vec<(usize, String)> =
        findings.lines.numbered().map(|(n, line)| (n, line.to_owned())).collect();
    let station = station(&lines[0].1, findings);
    let columns = columns(&lines[1].1, findings);
    let (station, columns) = (station?, columns?);
    let body = lines.iter().skip(2).filter(|(_, line)| !line.trim().is_empty());
    let mut rows = Vec::new();
    for (number, line) in body {
        rows.extend(row(*number, &Cells::of(*number, line), &columns, findings));
    }
    Some(Rows { station, rows })
}

/// Number, name, state, time zone, latitude, longitude, elevation: counted from the end, since a
/// name may have a comma.
fn station(line: &str, findings: &mut Findings) -> Option<Station> {
    let cells = Cells::of(1, line);
    let Some(at) = cells.n().checked_sub(4).filter(|at| *at >= 3) else {
        let message = format!("the first line has {} fields instead of seven", cells.n());
        let help = "number, name, state, time zone, latitude, longitude, elevation";
        findings.error(WEATHER_HEAD, Place { line: 1, column: 1 }, message, help);
        return None;
    };
    let utc_offset_h = cells.figure(at, ZONE, findings);
    let latitude_deg = cells.figure(at + 1, LATITUDE, findings);
    let longitude_deg = cells.figure(at + 2, LONGITUDE, findings);
    Some(Station {
        place: cells.text(1).to_owned(),
        latitude_deg: latitude_deg?,
        longitude_deg: longitude_deg?,
        utc_offset_h: utc_offset_h?,
    })
}

fn columns(line: &str, findings: &mut Findings) -> Option<[usize; 6]> {
    let cells = Cells::of(2, line);
    let found = NAMES.map(|name| (0..cells.n()).find(|&c| cells.text(c).starts_with(name)));
    for (name, _) in NAMES.iter().zip(&found).filter(|(_, found)| found.is_none()) {
        let message = format!("there is no column `{name}…`");
        let help = "columns are found by their names in the second line; get the file again from where it comes from";
        findings.error(WEATHER_COLUMN, Place { line: 2, column: 1 }, message, help);
    }
    found.iter().all(Option::is_some).then(|| found.map(|c| c.expect("all are there")))
}

fn row(line: usize, cells: &Cells, columns: &[usize; 6], findings: &mut Findings) -> Option<Row> {
    let [date_at, time_at, global, direct, diffuse, air] = *columns;
    let Some((month, day, year)) = date(cells.text(date_at)) else {
        let message = format!("{} is no date", quoted(cells.text(date_at)));
        let help = "dates are written month/day/year, as in `01/31/1988`";
        findings.error(WEATHER_VALUE, cells.place(date_at), message, help);
        return None;
    };
    let Some(end_hour) = end_hour(cells.text(time_at)) else {
        let message = format!("{} is no time", quoted(cells.text(time_at)));
        let help = "times mark the end of an hour, from `01:00` to `24:00`";
        findings.error(WEATHER_VALUE, cells.place(time_at), message, help);
        return None;
    };
    let missing = |x: f64| x <= -900.0;
    let sun = cells.sun([global, direct, diffuse], missing, findings);
    let air = cells.measured(air, AIR, missing, findings);
    Some(Row { line, year, month, day, end_hour, sun: sun?, air: air? })
}

fn date(text: &str) -> Option<(u32, u32, i32)> {
    let mut parts = text.split('/');
    let month = whole(parts.next()?, 1, 12)?;
    let day = whole(parts.next()?, 1, 31)?;
    let year = parts.next()?.parse().ok().filter(|y| (1900..=2200).contains(y))?;
    parts.next().is_none().then_some((month, day, year))
}

fn end_hour(text: &str) -> Option<u32> {
    let (hour, minute) = text.split_once(':')?;
    whole(hour, 1, 24).filter(|_| minute.trim() == "00")
}
