//! Weather files made up line by line.

use super::*;
use crate::diagnostic::Severity;

const DAYS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Month, day and hour of every hour of a common year.
fn calendar() -> Vec<(u32, u32, u32)> {
    let days = (1..=12u32).zip(DAYS).flat_map(|(m, n)| (1..=n).map(move |d| (m, d)));
    days.flat_map(|(m, d)| (1..=24).map(move |h| (m, d, h))).collect()
}

/// Global, direct and diffuse of an hour that fits the sun at 45° N, 15° E, zone +1.
fn fitting(year: i32, month: u32, day: u32, end_hour: u32) -> [f64; 3] {
    let at = crate::sun::Instant {
        year,
        day_of_year: crate::sun::day_of_year(year, month, day),
        hour_utc: f64::from(end_hour) - 1.5,
    };
    let up = crate::sun::sun_position(at, 45.0, 15.0).cos_zenith().max(0.0);
    let direct = if up > 0.0 { 600.0 } else { 0.0 };
    [direct * up + 100.0 * up, direct, 100.0 * up]
}

fn tmy3(change: impl Fn(usize, &mut String)) -> String {
    let mut text = "7,\"Made up, hill\",XX,1.0,45.0,15.0,200\n\
                    Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),DNI (W/m^2),DNI source,GHI (W/m^2),DHI (W/m^2),Dry-bulb (C)\n"
        .to_owned();
    for (n, (month, day, hour)) in calendar().into_iter().enumerate() {
        let [global, direct, diffuse] = fitting(1990, month, day, hour);
        let mut line = format!(
            "{month:02}/{day:02}/1990,{hour:02}:00,0,{direct:.1},1,{global:.1},{diffuse:.1},{:.1}\n",
            f64::from(month)
        );
        change(n, &mut line);
        text += &line;
    }
    text
}

fn epw(change: impl Fn(usize, &mut String)) -> String {
    let mut text = "LOCATION,Made up,-,XXX,none,7,45.0,15.0,1.0,200.0\n".to_owned();
    text += &"HEAD,0\n".repeat(7);
    for (n, (month, day, hour)) in calendar().into_iter().enumerate() {
        let [global, direct, diffuse] = fitting(1990, month, day, hour);
        let mut line = format!(
            "1990,{month},{day},{hour},60,flags,{:.1},0,50,99000,0,0,300,{global:.1},{direct:.1},{diffuse:.1},0,0,0,0,180,3.0\n",
            f64::from(month)
        );
        change(n, &mut line);
        text += &line;
    }
    text
}

fn codes(text: &str) -> Vec<&'static str> {
    let found = match read_weather("x", text.as_bytes()) {
        Ok(read) => read.warnings,
        Err(found) => found,
    };
    found.0.iter().map(|d| d.code).collect()
}

#[test]
fn both_forms_of_one_year_read_alike_and_without_a_finding() {
    let read = |text: &str| read_weather("x", text.as_bytes()).expect("a sound file");
    let (a, b) = (read(&tmy3(|_, _| {})), read(&epw(|_, _| {})));
    assert!(a.warnings.0.is_empty() && b.warnings.0.is_empty(), "{}{}", a.warnings, b.warnings);
    assert_eq!(a.value.hours, b.value.hours);
    assert_eq!(a.value.hours.len(), 8760);
    assert_eq!((a.value.latitude_deg, a.value.longitude_deg), (45.0, 15.0));
    assert_eq!(a.value.place, "Made up");
    // Hour 13 ends at 13:00 in zone +1, so its middle is 11:30 in universal time.
    assert_eq!(a.value.middle_utc(&a.value.hours[12]), 11.5);
}

#[test]
fn a_leap_day_is_left_out() {
    let leap: String = (1..=24)
        .map(|h| format!("1992,2,29,{h},60,flags,1,0,50,99000,0,0,300,0,0,0,0,0,0,0,180,3.0\n"))
        .collect();
    let text = epw(|n, line| {
        if n == 24 * 59 {
            line.insert_str(0, &leap);
        }
    });
    let read = read_weather("x", text.as_bytes()).expect("a sound file");
    assert_eq!(read.value.hours.len(), 8760);
}

#[test]
fn line_ends_of_windows_and_old_place_names_do_no_harm() {
    let mut bytes = epw(|_, _| {}).replace('\n', "\r\n").into_bytes();
    bytes[9] = 0xe9;
    assert!(read_weather("x", &bytes).is_ok_and(|r| r.value.hours.len() == 8760));
}

#[test]
fn hours_stamped_by_their_start_are_pointed_out() {
    // The figures of the next hour under each stamp: stamps run an hour behind.
    let text = tmy3(|n, line| {
        let (month, day, hour) = calendar()[(n + 1) % 8760];
        let [global, direct, diffuse] = fitting(1990, month, day, hour);
        let stamp = line[..16].to_owned();
        *line = format!("{stamp},0,{direct:.1},1,{global:.1},{diffuse:.1},5\n");
    });
    let read = read_weather("x", text.as_bytes()).expect("used as it stands");
    assert_eq!(read.warnings.0.len(), 1);
    let warning = &read.warnings.0[0];
    assert_eq!((warning.code, warning.severity), ("W422", Severity::Warning));
    assert!(warning.message.contains("best 1 h later"), "{}", warning.message);
}

#[test]
fn irradiances_that_do_not_belong_together_are_pointed_out() {
    let text = tmy3(|_, line| *line = line.replace(",600.0,", ",300.0,"));
    assert_eq!(codes(&text), ["W422"]);
}

#[test]
fn a_few_missing_hours_are_filled_from_the_day_before() {
    let text = epw(|n, line| {
        if n == 4000 {
            *line = line.replace(",600.0,", ",9999,");
            assert!(line.contains("9999"), "{line}");
        }
        if n == 4001 {
            *line = line.replacen("flags,6.0,", "flags,99.9,", 1);
        }
    });
    let read = read_weather("x", text.as_bytes()).expect("a sound file");
    let found: Vec<_> = read.warnings.0.iter().map(|d| (d.code, d.place)).collect();
    assert_eq!(found, [("W423", Some(Place { line: 4009, column: 1 }))]);
    let hours = &read.value.hours;
    assert_eq!(hours[4000].direct, hours[4000 - 24].direct);
    assert_eq!(hours[4001].air.celsius(), 6.0);
}

#[test]
fn too_many_gaps_are_an_error() {
    let text = tmy3(|n, line| {
        if n % 10 == 0 {
            *line = format!("{}-9900\n", &line[..=line.rfind(',').expect("columns")]);
        }
    });
    assert_eq!(codes(&text), ["E506"]);
}

#[test]
fn a_missing_hour_is_named_where_it_is_due() {
    let text = tmy3(|n, line| {
        if n == 100 {
            line.clear();
        }
    });
    let found = read_weather("x", text.as_bytes()).expect_err("an hour is missing");
    assert_eq!(found.0[0].code, "E505");
    assert_eq!(found.0[0].place, Some(Place { line: 103, column: 1 }));
    assert!(found.0[0].message.contains("5 January, hour 6, where 5 January, hour 5 is due"));
}

#[test]
fn half_a_year_and_two_years_are_refused() {
    let whole = tmy3(|_, _| {});
    let half: String = whole.lines().take(4000).map(|l| format!("{l}\n")).collect();
    assert_eq!(codes(&half), ["E505"]);
    let body: String = whole.lines().skip(2).map(|l| format!("{l}\n")).collect();
    assert_eq!(codes(&(whole + &body)), ["E505"]);
}

#[test]
fn weather_of_another_latitude_is_pointed_out() {
    let site = include_str!("../starter.yaml").replace("site:\n", "site:\n  latitude_deg: 52\n");
    let mut installation =
        crate::input::read_site("s.yaml", site.as_bytes()).expect("the starter").value;
    let text = epw(|_, _| {});
    let warnings = add_weather(&mut installation, "x", text.as_bytes()).expect("a sound file");
    assert_eq!(warnings.0.iter().map(|d| d.code).collect::<Vec<_>>(), ["W424"]);
    assert!(installation.site.sun.year.is_some());
}

#[test]
fn a_flood_of_bytes_is_not_read() {
    assert_eq!(codes(&" ".repeat(MAX_BYTES + 1)), ["E102"]);
}
