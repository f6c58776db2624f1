//! A weather file beside the site file.

use std::fs;
use std::path::{Path, PathBuf};

use crate::site::goat_barn;
use crate::{run, sungraft};

/// A folder of its own for one test.
fn folder(test: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("weather-{test}"));
    fs::create_dir_all(path.join("sites")).expect("can make the folder");
    path
}

/// A site that names a weather file; the program is not started in its folder.
fn site(folder: &Path, weather: &str) -> String {
    let keys =
        format!("  hottest_c: 30\n  tilt_deg: 36\n  azimuth_deg: 180\n  weather: {weather}\n");
    let text = goat_barn("      - [goat-160, goat-160]\n", "").replace("  hottest_c: 30\n", &keys);
    let path = folder.join("sites/barn.yaml");
    fs::write(&path, text).expect("can write");
    path.display().to_string()
}

/// Every fifth day of the extract, five times.
fn whole_year() -> String {
    let extract = include_str!("../data/tmy3_south_fifth.csv");
    let lines: Vec<&str> = extract.lines().collect();
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let dates = (1..=12).zip(days).flat_map(|(m, n)| (1..=n).map(move |d| (m, d)));
    let mut text = format!("{}\n{}\n", lines[0], lines[1]);
    for (n, (month, day)) in dates.enumerate() {
        for row in &lines[2 + n / 5 * 24..2 + n / 5 * 24 + 24] {
            text += &format!("{month:02}/{day:02}/{}\n", &row[6..]);
        }
    }
    text
}

#[test]
fn a_weather_file_is_found_beside_the_site_file() {
    let folder = folder("found");
    fs::write(folder.join("hill.csv"), whole_year()).expect("can write");
    let (code, out, err) = run(&mut sungraft(&["check", &site(&folder, "../hill.csv")]));
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    assert!(out.contains("A year of sun") && out.contains("the 8760 hours of GREENSBORO"), "{out}");
}

#[test]
fn a_weather_file_that_is_not_there_is_named_with_its_place() {
    let folder = folder("missing");
    let (code, out, err) = run(&mut sungraft(&["check", &site(&folder, "valley.epw")]));
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains("valley.epw` is not there") && err.contains("relative to the site"),
        "{err}"
    );
    let (code, _, err) = run(&mut sungraft(&["advise", &site(&folder, ".")]));
    assert!(code == 2 && err.contains("is a folder"), "{err}");
}

#[test]
fn a_file_that_holds_no_weather_is_refused_with_its_line() {
    let folder = folder("other");
    fs::write(folder.join("sites/notes.csv"), "time,sun\n1,2\n").expect("can write");
    let (code, _, err) = run(&mut sungraft(&["check", &site(&folder, "notes.csv")]));
    assert_eq!(code, 2);
    assert!(err.contains("error[E501]") && err.contains("notes.csv:1:1"), "{err}");
}
