//! Good site files mean what they say; no file at all, good or bad, brings the reader down.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use sungraft::diagnostic::Diagnostics;
use sungraft::input::{read_site, starter};
use sungraft::model::{
    Awg, ControllerType, CrossSection, Element, Installation, KindIdx, LengthUnit, Output, RunPart,
    TempRating,
};
use sungraft::units::{Amps, Celsius, Metres, PercentPerC, Volts, Watts};

/// Reads a text that must give no finding at all.
fn read(text: &str) -> Installation {
    match read_site("site.yaml", text.as_bytes()) {
        Ok(read) if read.warnings.0.is_empty() => read.value,
        Ok(read) => panic!("{}", read.warnings),
        Err(findings) => panic!("{findings}"),
    }
}

const LABEL: &str = "pmax_w: 160, vmp_v: 18.4, imp_a: 8.70, voc_v: 22.4, isc_a: 9.30";

/// A small file: some kinds, one controller with some more keys, and what stands behind.
fn site(ids: &[&str], controller: &str, rest: &str) -> String {
    let mut text = "site: {name: Elder Bank, coldest_c: -18, hottest_c: 34}\nkinds:\n".to_owned();
    for id in ids {
        writeln!(text, "  - {{id: {id}, {LABEL}}}").expect("text grows");
    }
    text + "controllers:\n  - {id: hut, " + controller + "}\n" + rest
}

const MPPT: &str =
    "type: mppt, battery_v: 24, charge_a: 40, max_pv_v: 150, window_v: [30, 130], string_ports: 9";

/// The strings on the first input, each element as the indices of its kinds.
fn strings(installation: &Installation) -> Vec<Vec<Vec<usize>>> {
    let members = |e: &Element| e.members().iter().map(|k| k.0).collect();
    let array = &installation.installed[0].array;
    array.strings.iter().map(|s| s.elements().iter().map(members).collect()).collect()
}

#[test]
fn the_starter_reads_without_a_finding() {
    let it = read(starter());
    assert_eq!(it.kinds.len(), 2);
    assert_eq!(it.installed.len(), 1);
    assert_eq!(it.installed[0].array.panels().count(), 4);
    assert_eq!(it.n_spare(KindIdx(1)), 2);
    assert_eq!(it.spares[0].price, Some(35.0));
    assert_eq!(it.site.coldest, Celsius(-18.0));
    assert_eq!(it.kinds[0].label.p_mp, Watts(160.0));
    assert_eq!(it.kinds[0].v_oc_coefficient, Some(PercentPerC(-0.31)));
    assert_eq!(it.kinds[0].max_fuse, Some(Amps(15.0)));
    assert_eq!(it.controllers[0].window, Some((Volts(30.0), Volts(130.0))));
}

#[test]
fn the_starter_explains_every_key_or_leaves_it_for_yearly_energy() {
    let page = include_str!("../docs/input.md");
    let keys = page.lines().filter_map(|l| l.strip_prefix("| `")?.split_once('`').map(|p| p.0));
    let energy = [
        "isc_factor",
        "latitude_deg",
        "tilt_deg",
        "azimuth_deg",
        "sun_kwh_m2_day",
        "air_c",
        "weather",
    ];
    let missing: Vec<&str> =
        keys.filter(|k| !energy.contains(k) && !starter().contains(&format!("{k}:"))).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_scene_reads_without_a_finding() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut n_read = 0;
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("readable").path();
        if path.extension().is_some_and(|e| e == "yaml") {
            read(&fs::read_to_string(&path).expect("readable"));
            n_read += 1;
        }
    }
    assert!(n_read >= 8, "{n_read} scenes");
}

#[test]
fn what_is_left_out_has_its_default() {
    let it = read(&site(&["a"], MPPT, "spares: [{kind: a, count: 1}]\n"));
    assert_eq!((it.site.block_max, it.site.isc_factor), (2, 1.25));
    assert_eq!((it.controllers[0].n_inputs, it.controllers[0].blocking_diodes), (1, false));
    assert_eq!((it.controllers[0].max_pv_current, it.controllers[0].max_pv_power), (None, None));
    assert_eq!(it.kinds[0].max_fuse, None);
    assert!(it.installed[0].array.strings.is_empty());
    assert_eq!(it.spares[0].price, None);
}

#[test]
fn an_optional_key_may_be_left_blank() {
    let blank = site(
        &["a"],
        &format!("{MPPT}, max_pv_w: , charge_v: ~"),
        "spares: [{kind: a, count: 1, price: }]\n",
    );
    let without = site(&["a"], MPPT, "spares: [{kind: a, count: 1}]\ninstalled:\n");
    assert_eq!(read(&blank), read(&without));
}

#[test]
fn a_list_is_in_series_and_a_list_inside_it_in_parallel() {
    let wiring = "installed:\n  - controller: hut\n    strings:\n      - [a, [b, a]]\n      - b\n      - [[a], b]\n";
    let it = read(&site(&["a", "b"], MPPT, wiring));
    assert_eq!(strings(&it), [vec![vec![0], vec![0, 1]], vec![vec![1]], vec![vec![0], vec![1]]]);
}

#[test]
fn ids_may_be_typed_as_numbers() {
    let wiring = "installed: [{controller: hut, strings: [[160, 1.50], [\"160\"]]}]\nspares: [{kind: 160, count: 3}]\n";
    let it = read(&site(&["160", "1.50"], MPPT, wiring));
    assert_eq!(it.kinds[1].id, "1.50");
    assert_eq!(strings(&it), [vec![vec![0], vec![1]], vec![vec![0]]]);
    assert_eq!(it.n_spare(KindIdx(0)), 3);
}

#[test]
fn an_alias_repeats_a_string() {
    let wiring = "installed: [{controller: hut, strings: [&pair [a, a], *pair]}]\n";
    let it = read(&site(&["a"], MPPT, wiring));
    assert_eq!(strings(&it), [vec![vec![0], vec![0]], vec![vec![0], vec![0]]]);
}

#[test]
fn every_input_of_every_controller_has_its_wiring_in_order() {
    let more = format!("  - {{id: barn, inputs: 2, {MPPT}}}\n");
    let wiring = "installed:\n  - {controller: barn, input: 2, strings: [[a, a]]}\n  - {controller: hut, strings: [[a]]}\n";
    let it = read(&site(&["a"], MPPT, &(more + wiring)));
    let seen: Vec<_> = it
        .installed
        .iter()
        .map(|w| (w.at.controller, w.at.input, w.array.panels().count()))
        .collect();
    assert_eq!(seen, [(0, 1, 1), (1, 1, 0), (1, 2, 2)]);
}

#[test]
fn pwm_has_a_battery_and_no_window() {
    let pwm =
        "type: PWM, battery_v: 12, charge_a: 20, charge_v: 14.4, max_pv_v: 50, string_ports: 2";
    let it = read(&site(&["a"], pwm, "spares: [{kind: a, count: 1}]\n"));
    assert_eq!(it.controllers[0].controller_type, ControllerType::Pwm);
    assert_eq!(it.controllers[0].window, None);
    assert_eq!(it.controllers[0].hold_range(), (Volts(14.4), Volts(14.4)));
}

#[test]
fn a_converter_without_a_battery_may_have_a_start_and_an_output_limit() {
    let inverter = "type: mppt, max_pv_v: 500, window_v: [90, 450], start_v: 120, max_out_w: 1500, string_ports: 1";
    let it = read(&site(&["a"], inverter, "spares: [{kind: a, count: 9}]\n"));
    let expected = Output::Converter { start: Some(Volts(120.0)), max_out: Some(Watts(1500.0)) };
    assert_eq!(it.controllers[0].output, expected);
}

#[test]
fn sun_and_air_are_kept_as_given() {
    let text = starter().replace(
        "  block_max: 2",
        "  latitude_deg: 44.6\n  tilt_deg: 40\n  azimuth_deg: 180\n  \
         sun_kwh_m2_day: [1.9, 2.8, 3.9, 4.8, 5.6, 6.2, 6.3, 5.5, 4.5, 3.1, 2.0, 1.6]\n  \
         air_c: [-7, -5, 1, 8, 14, 19, 22, 21, 16, 9, 2, -4]\n  block_max: 3",
    );
    let site = read(&text).site;
    assert_eq!(site.sun.latitude_deg, Some(44.6));
    assert_eq!(site.sun.sun_kwh_m2_day.map(|s| (s[0], s[11])), Some((1.9, 1.6)));
    assert_eq!(site.sun.air_c.map(|a| a[6]), Some(22.0));
    assert_eq!(site.block_max, 3);
}

#[test]
fn a_byte_order_mark_and_other_line_ends_change_nothing() {
    let dos = format!("\u{feff}{}", starter().replace('\n', "\r\n"));
    assert_eq!(read(&dos), read(starter()));
}

#[test]
fn an_installed_wiring_that_breaches_a_limit_is_no_mistake_of_the_file() {
    let long = "installed: [{controller: hut, strings: [[a, a, a, a, a, a, a, a, a, a, a, a]]}]\n";
    assert_eq!(read(&site(&["a"], MPPT, long)).installed[0].array.panels().count(), 12);
}

#[test]
fn warnings_come_with_the_value_and_the_name_of_the_file() {
    let text = starter().replace("pmax_w: 160", "pmax_w: 165");
    let read = read_site("hut.yaml", text.as_bytes()).expect("a warning is no error");
    assert_eq!(read.warnings.0.len(), 1);
    assert_eq!(read.warnings.0[0].file, "hut.yaml");
    assert_eq!(read.value.kinds[0].label.p_mp, Watts(165.0));
}

#[test]
fn all_mistakes_of_a_file_are_reported_at_once() {
    let text = starter()
        .replace("coldest_c: -18", "coldest_c: 99")
        .replace("vmp_v: 18.4", "vmp_v: 18,4")
        .replace("max_pv_v: 150", "max_pv: 150")
        .replace("[hive-160, hive-160]", "[hive-16O]")
        .replace("count: 2", "count: 0");
    let findings = read_site("hut.yaml", text.as_bytes()).expect_err("has mistakes");
    let codes: Vec<&str> = findings.0.iter().map(|d| d.code).collect();
    assert_eq!(codes, ["E305", "E302", "E201", "E207", "E305"]);
}

#[test]
fn a_usual_file_is_read_in_well_under_two_milliseconds() {
    let best = (0..20).map(|_| {
        let start = Instant::now();
        read(starter());
        start.elapsed()
    });
    let best = best.min().expect("twenty times");
    assert!(best < Duration::from_millis(2), "{best:?}");
}

#[test]
fn hostile_files_are_refused_in_seconds() {
    let bombs = [
        "[".repeat(3_900),
        "a: []\n".repeat(3_900),
        "{a: \n".repeat(3_900) + &"1,\n".repeat(200_000),
        "- ".repeat(9_000),
        "? ".repeat(9_000),
        format!("a: &a [{}]\nb: [{}]", "1,".repeat(5_000), "*a,".repeat(5_000)),
        "a: []\n".repeat(100_000),
        (0..24_000).fold(String::from("site:\n"), |t, i| t + &format!("  k{i}: 1\n")),
        (0..30_000).fold(String::from("kinds:\n"), |t, _| t + "  - {id: []}\n"),
        "\u{2028}- ".repeat(100_000),
        "x".repeat(10_000_000),
    ];
    for bomb in bombs {
        let start = Instant::now();
        let shown: String = bomb.chars().take(20).collect();
        assert!(read_site("bomb", bomb.as_bytes()).is_err(), "{shown}");
        assert!(start.elapsed() < Duration::from_secs(20), "{shown}: {:?}", start.elapsed());
    }
}

/// What must hold for any bytes: errors exactly if nothing is read, and places that exist.
fn check_any(bytes: &[u8]) {
    let findings: Diagnostics = match read_site("any.yaml", bytes) {
        Ok(read) => {
            assert!(!read.warnings.has_errors());
            read.warnings
        }
        Err(findings) => {
            assert!(findings.has_errors(), "{findings}");
            findings
        }
    };
    for finding in &findings.0 {
        if let Some(place) = finding.place {
            let line = finding.source_line.as_ref().expect("a place has its line");
            assert!((1..=line.chars().count() + 1).contains(&place.column), "{finding}");
        }
    }
    assert!(findings.to_string().chars().all(|c| c == '\n' || !c.is_control()));
}

/// Values that somebody might type, or that break readers.
const NASTY: [&str; 24] = [
    "",
    "~",
    ".nan",
    "-.inf",
    "1e999",
    "18,4",
    "18.4 V",
    "[]",
    "{}",
    "[[[]]]",
    "{a: {b: c}}",
    "*a",
    "&a x",
    "!t x",
    "'",
    "\"",
    "|",
    ">",
    "- -",
    "a: b",
    "99999999999999999999999999999999999999999",
    "-0",
    "true",
    "\u{fffe}",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_file_cut_anywhere_is_read_or_refused(at in 0..starter().len()) {
        check_any(&starter().as_bytes()[..at]);
    }

    #[test]
    fn a_file_with_any_bytes_changed_is_read_or_refused(
        changes in prop::collection::vec((0..starter().len(), any::<u8>()), 1..8)
    ) {
        let mut bytes = starter().as_bytes().to_vec();
        for (at, byte) in changes {
            bytes[at] = byte;
        }
        check_any(&bytes);
    }

    #[test]
    fn a_file_with_its_own_signs_in_wrong_places_is_read_or_refused(
        changes in prop::collection::vec((0..starter().len(), prop::sample::select(b":-[]{}#,&*!|>'\"%@ \n\t0".to_vec())), 1..6)
    ) {
        let mut bytes = starter().as_bytes().to_vec();
        for (at, byte) in changes {
            bytes[at] = byte;
        }
        check_any(&bytes);
    }

    #[test]
    fn a_file_with_lines_lost_doubled_or_moved_is_read_or_refused(
        changes in prop::collection::vec((0..4_usize, 0..90_usize, 0..90_usize), 1..5)
    ) {
        let mut lines: Vec<String> = starter().lines().map(str::to_owned).collect();
        for (what, a, b) in changes {
            let (a, b) = (a % lines.len(), b % lines.len());
            match what {
                0 => { lines.remove(a); }
                1 => lines.insert(b, lines[a].clone()),
                2 => lines.swap(a, b),
                _ => lines[a] = format!("{}{}", " ".repeat(b % 7), lines[a].trim_start()),
            }
        }
        check_any(lines.join("\n").as_bytes());
    }

    #[test]
    fn a_file_with_any_value_replaced_is_read_or_refused(
        changes in prop::collection::vec((0..90_usize, prop::sample::select(NASTY.to_vec())), 1..4)
    ) {
        let mut lines: Vec<String> = starter().lines().map(str::to_owned).collect();
        for (line, value) in changes {
            let line = line % lines.len();
            if let Some((key, _)) = lines[line].split_once(": ") {
                lines[line] = format!("{key}: {value}");
            }
        }
        check_any(lines.join("\n").as_bytes());
    }

    #[test]
    fn any_text_at_all_is_read_or_refused(text in "\\PC{0,200}") {
        check_any(text.as_bytes());
    }
}

/// The starter with its commented runs made part of the file.
fn starter_with_runs() -> String {
    let (before, runs) = starter().split_once("# runs:").expect("the starter shows runs");
    let runs: String =
        runs.lines().map(|l| l.strip_prefix("# ").unwrap_or(l).to_owned() + "\n").collect();
    format!("{before}runs:{runs}")
}

#[test]
fn the_starter_s_runs_read_as_they_stand_once_they_are_uncommented() {
    let run = read(&starter_with_runs()).runs[0];
    assert_eq!(
        (run.part, run.length, run.given_in),
        (RunPart::Array, Metres(18.0), LengthUnit::Metres)
    );
    assert_eq!(run.size, Some(CrossSection::SquareMm(10.0)));
    assert_eq!((run.air, run.rating), (Some(Celsius(45.0)), TempRating::C90));
}

#[test]
fn feet_are_read_as_metres_and_what_is_left_out_stays_open() {
    let text = starter_with_runs()
        .replace("length_m: 18 ", "length_ft: 100 ")
        .replace("area_mm2: 10 ", "awg: 2/0 ")
        .replace("temp_rating_c: 90", "# temp_rating_c: 90")
        .replace("air_c: 45", "# air_c: 45");
    let run = read(&text).runs[0];
    assert!((run.length.metres() - 30.48).abs() < 1e-9, "{:?}", run.length);
    assert_eq!((run.given_in, run.size), (LengthUnit::Feet, Some(CrossSection::Awg(Awg(-1)))));
    assert_eq!((run.air, run.rating), (None, TempRating::C75));
}
