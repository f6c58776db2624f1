//! A date as typed: a month or a day.

use super::text_of;
use crate::input::codes::PHASE_DATE;
use crate::input::fields::{Fields, Typed};
use crate::input::findings::{Findings, quoted};
use crate::model::Date;

/// `date` of a phase.
pub(super) fn read_date(fields: &Fields, findings: &mut Findings) -> Option<Typed<Date>> {
    let node = &fields.take("date", findings)?.node;
    let typed = text_of(node).unwrap_or_default();
    if let Some(value) = parse(typed) {
        return Some(Typed { value, at: node.place, as_typed: typed.to_owned() });
    }
    let shown = if typed.is_empty() { node.value.sort().to_owned() } else { quoted(typed) };
    let message = format!("`date` must be a month or a day of the calendar (it is {shown})");
    findings.error(PHASE_DATE, node.place, message, "write it as `2027-04` or `2027-04-15`");
    None
}

/// `2027-04` or `2027-04-15`.
fn parse(text: &str) -> Option<Date> {
    let parts: Vec<&str> = text.split('-').collect();
    let digits =
        |part: &&str, n: usize| part.len() == n && part.bytes().all(|b| b.is_ascii_digit());
    let (year, month, day) = match parts[..] {
        [year, month] => (year, month, None),
        [year, month, day] => (year, month, Some(day)),
        _ => return None,
    };
    if !(digits(&year, 4) && digits(&month, 2) && day.is_none_or(|day| digits(&day, 2))) {
        return None;
    }
    let day = day.map(str::parse).transpose().ok()?;
    let date = Date { year: year.parse().ok()?, month: month.parse().ok()?, day };
    let sound = (1900..=2200).contains(&date.year)
        && (1..=12).contains(&date.month)
        && (1..=days_of(date.year, date.month)).contains(&date.day.unwrap_or(1));
    sound.then_some(date)
}

/// Days of a month by the Gregorian calendar.
fn days_of(year: i32, month: u32) -> u32 {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_and_days_are_read_and_nothing_else() {
        assert_eq!(parse("2027-04"), Some(Date { year: 2027, month: 4, day: None }));
        assert_eq!(parse("2028-02-29"), Some(Date { year: 2028, month: 2, day: Some(29) }));
        for wrong in ["2027-02-29", "2027-13", "2027", "04-2027", "2027-4", "spring", "27-04-01"] {
            assert_eq!(parse(wrong), None, "{wrong}");
        }
    }
}
