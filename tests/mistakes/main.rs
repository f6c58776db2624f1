//! Mistakes that people really make in a site file: each is refused or asked about, word for word.
//!
//! One mistake at a time goes into `base.yaml`, which is sound. `answers.expected` holds what a person
//! is then told; a mistake that no reader can see is in the table too, with the reason. After a change
//! of words, write them anew and read the difference:
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test mistakes
//! git diff tests/mistakes
//! ```
//!
//! Which mistakes are usual: common practice, no source.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use sungraft::diagnostic::Severity;
use sungraft::input::read_site;
use sungraft::planner;

/// What becomes of a mistake.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Becomes {
    /// The file is refused, with this code first.
    Refused(&'static str),
    /// It is read, with a question of this code.
    Asked(&'static str),
    /// It is read as it was meant, without a word.
    Read,
    /// It is possible as it stands; `check` finds a limit breached.
    Breach,
    /// No reader can see it, for this reason.
    Unseen(&'static str),
}

use Becomes::{Asked, Breach, Read, Refused, Unseen};

/// Something that stands in the file, what is typed instead, and so on; then what becomes of it.
type Mistake = (&'static str, &'static [(&'static str, &'static str)], Becomes);

const MISTAKES: &[Mistake] = &[
    // The label.
    (
        "Vmp and Voc swapped",
        &[("vmp_v: 18.6", "vmp_v: 22.6"), ("voc_v: 22.6", "voc_v: 18.6")],
        Refused("E307"),
    ),
    (
        "Imp and Isc swapped",
        &[("imp_a: 9.68", "imp_a: 10.2"), ("isc_a: 10.2", "isc_a: 9.68")],
        Refused("E308"),
    ),
    ("watts in kW", &[("pmax_w: 180", "pmax_w: 0.18")], Refused("E309")),
    ("watts of the whole array", &[("pmax_w: 180", "pmax_w: 720")], Refused("E309")),
    ("watts of another panel of the series", &[("pmax_w: 180", "pmax_w: 185")], Asked("W401")),
    (
        "volts of the whole string",
        &[("vmp_v: 18.6", "vmp_v: 37.2"), ("voc_v: 22.6", "voc_v: 45.2")],
        Refused("E309"),
    ),
    (
        "Pmax, Vmp and Imp from the NOCT column",
        &[
            ("pmax_w: 180", "pmax_w: 133"),
            ("vmp_v: 18.6", "vmp_v: 17.1"),
            ("imp_a: 9.68", "imp_a: 7.78"),
        ],
        Asked("W403"),
    ),
    ("a letter O for a zero", &[("pmax_w: 180", "pmax_w: 18O")], Refused("E301")),
    ("a decimal point lost", &[("vmp_v: 18.6", "vmp_v: 186")], Refused("E307")),
    ("half-cut cells counted", &[("cells: 36", "cells: 72")], Asked("W403")),
    ("fuse rating with a slipped point", &[("max_fuse_a: 15", "max_fuse_a: 1.5")], Asked("W403")),
    (
        "battery voltage as the panel's system voltage",
        &[("max_system_v: 600", "max_system_v: 24")],
        Refused("E305"),
    ),
    (
        "the label of one kind under another id",
        &[
            ("pmax_w: 95", "pmax_w: 180"),
            ("vmp_v: 17.9", "vmp_v: 18.6"),
            ("imp_a: 5.31", "imp_a: 9.68"),
            ("voc_v: 22.1", "voc_v: 22.6"),
            ("isc_a: 5.66", "isc_a: 10.2"),
        ],
        Asked("W403"),
    ),
    // Coefficients.
    (
        "Voc coefficient in V/°C",
        &[("voc_percent_per_c: -0.30", "voc_percent_per_c: -0.068")],
        Asked("W402"),
    ),
    (
        "Voc coefficient in mV/°C",
        &[("voc_percent_per_c: -0.30", "voc_percent_per_c: -68")],
        Refused("E310"),
    ),
    (
        "Voc coefficient as a fraction",
        &[("voc_percent_per_c: -0.30", "voc_percent_per_c: -0.0030")],
        Refused("E310"),
    ),
    (
        "Voc coefficient without its minus",
        &[("voc_percent_per_c: -0.30", "voc_percent_per_c: 0.30")],
        Refused("E310"),
    ),
    (
        "Isc coefficient in mA/°C",
        &[("isc_percent_per_c: 0.05", "isc_percent_per_c: 5.1")],
        Refused("E310"),
    ),
    (
        "coefficients of Voc and Pmax swapped",
        &[
            ("voc_percent_per_c: -0.30", "voc_percent_per_c: -0.40"),
            ("pmax_percent_per_c: -0.40", "pmax_percent_per_c: -0.30"),
        ],
        Asked("W402"),
    ),
    (
        "coefficients of Voc and Isc swapped",
        &[
            ("voc_percent_per_c: -0.30", "voc_percent_per_c: 0.05"),
            ("isc_percent_per_c: 0.05", "isc_percent_per_c: -0.30"),
        ],
        Refused("E310"),
    ),
    // Temperatures.
    ("design low in °F", &[("coldest_c: -14", "coldest_c: 7")], Asked("W408")),
    ("design high in °F", &[("hottest_c: 33", "hottest_c: 91")], Refused("E305")),
    ("°F written behind", &[("coldest_c: -14", "coldest_c: 7 F")], Refused("E303")),
    (
        "monthly air in °F",
        &[(
            "air_c: [0, 1, 6, 10, 15, 18, 21, 20, 16, 11, 5, 1]",
            "air_c: [32, 34, 43, 50, 59, 64, 70, 68, 61, 52, 41, 34]",
        )],
        Refused("E305"),
    ),
    ("NOCT in °F", &[("noct_c: 45", "noct_c: 113")], Refused("E305")),
    ("the cells' highest temperature as NOCT", &[("noct_c: 45", "noct_c: 85")], Refused("E305")),
    ("the minus of the design low lost", &[("coldest_c: -14", "coldest_c: 14")], Asked("W408")),
    (
        "low and high swapped",
        &[("coldest_c: -14", "coldest_c: 33"), ("hottest_c: 33", "hottest_c: -14")],
        Refused("E305"),
    ),
    ("a dash from a word processor", &[("coldest_c: -14", "coldest_c: –14")], Refused("E301")),
    // The controller.
    (
        "battery voltages in the window",
        &[("window_v: [32, 130]", "window_v: [24, 48]")],
        Asked("W413"),
    ),
    (
        "one battery voltage twice in the window",
        &[("window_v: [32, 130]", "window_v: [24, 24]")],
        Refused("E311"),
    ),
    ("window highest first", &[("window_v: [32, 130]", "window_v: [130, 32]")], Refused("E311")),
    ("window as text", &[("window_v: [32, 130]", "window_v: 32-130")], Refused("E204")),
    (
        "window above the maximum",
        &[("window_v: [32, 130]", "window_v: [32, 250]")],
        Refused("E311"),
    ),
    (
        "window with decimal commas",
        &[("window_v: [32, 130]", "window_v: [32,5, 130]")],
        Refused("E214"),
    ),
    ("a 24 V bank called 12", &[("battery_v: 24", "battery_v: 12")], Asked("W413")),
    ("charging voltage as nominal", &[("battery_v: 24", "battery_v: 28.8")], Asked("W404")),
    (
        "nominal as charging voltage",
        &[("charge_a: 40", "charge_a: 40\n    charge_v: 24")],
        Refused("E313"),
    ),
    (
        "charging voltage of half the bank",
        &[("charge_a: 40", "charge_a: 40\n    charge_v: 14.4")],
        Refused("E313"),
    ),
    ("charging limit in the input's key", &[("max_pv_a: 50", "max_pv_a: 20")], Breach),
    (
        "the input's current limit in the charging key",
        &[("charge_a: 40", "charge_a: 50"), ("    max_pv_a: 50\n", "")],
        Unseen(
            "both are amperes of one size; the answer says that `max_pv_a` is missing, and asks for it",
        ),
    ),
    (
        "charging and input limit swapped",
        &[("charge_a: 40", "charge_a: 50"), ("max_pv_a: 50", "max_pv_a: 40")],
        Unseen("some controllers for high voltages do charge with more than they take in"),
    ),
    (
        "top of the window as the maximum",
        &[("max_pv_v: 150", "max_pv_v: 130")],
        Unseen("it errs on the safe side; some makers print one figure for both"),
    ),
    ("maximum voltage in kV", &[("max_pv_v: 150", "max_pv_v: 0.15")], Refused("E311")),
    (
        "watts of one panel as the input's limit",
        &[("inputs: 1", "inputs: 1\n    max_pv_w: 180")],
        Asked("W415"),
    ),
    ("the input's limit in kW", &[("inputs: 1", "inputs: 1\n    max_pv_w: 2")], Asked("W415")),
    (
        "efficiency as a fraction",
        &[("inputs: 1", "inputs: 1\n    efficiency_percent: 0.96")],
        Refused("E305"),
    ),
    (
        "factor on Isc in percent",
        &[("coldest_c: -14", "coldest_c: -14\n  isc_factor: 125")],
        Refused("E305"),
    ),
    ("type in capitals", &[("type: mppt", "type: MPPT")], Read),
    ("type in other words", &[("type: mppt", "type: solar")], Refused("E216")),
    // The wiring.
    (
        "one panel too many in a string",
        &[("      - [hut-180, hut-180]\n\n", "      - [hut-180, hut-180, hut-180]\n\n")],
        Asked("W416"),
    ),
    (
        "one panel forgotten in a string",
        &[("      - [hut-180, hut-180]\n\n", "      - [hut-180]\n\n")],
        Asked("W416"),
    ),
    (
        "brackets forgotten",
        &[("      - [hut-180, hut-180]\n\n", "      - hut-180, hut-180\n\n")],
        Refused("E207"),
    ),
    (
        "a multiplication",
        &[("      - [hut-180, hut-180]\n\n", "      - [2 x hut-180]\n\n")],
        Refused("E207"),
    ),
    ("ports counted as inputs", &[("string_ports: 3", "string_ports: 1")], Asked("W405")),
    (
        "strings wired as one block of strings",
        &[(
            "      - [hut-180, hut-180]\n      - [hut-180, hut-180]\n\n",
            "      - [[hut-180, hut-180], [hut-180, hut-180]]\n\n",
        )],
        Unseen("it is a wiring that some arrays have; the drawing and the limits show it"),
    ),
    (
        "panels in series and parallel confused",
        &[(
            "      - [hut-180, hut-180]\n      - [hut-180, hut-180]\n\n",
            "      - [hut-180, hut-180, hut-180, hut-180]\n\n",
        )],
        Unseen("it is a wiring that some arrays have; the drawing and the limits show it"),
    ),
    ("an id in capitals", &[("kind: weir-95", "kind: Weir-95")], Refused("E207")),
    ("an id mistyped", &[("kind: weir-95", "kind: wier-95")], Refused("E207")),
    ("an id with a typographic dash", &[("kind: weir-95", "kind: weir–95")], Refused("E207")),
    // Spares.
    ("a count in words", &[("count: 2", "count: two")], Refused("E301")),
    ("half a panel", &[("count: 2", "count: 2.5")], Refused("E306")),
    ("a price with its sign", &[("count: 2", "count: 2\n    price: $35")], Refused("E301")),
    (
        "a price with a decimal comma",
        &[("count: 2", "count: 2\n    price: 35,00")],
        Refused("E302"),
    ),
    (
        "installed panels listed as spares, too",
        &[("  - kind: weir-95\n    count: 2", "  - kind: hut-180\n    count: 4")],
        Unseen("a person may well have as many again"),
    ),
    // Place and sun.
    ("azimuth counted from south", &[("azimuth_deg: 180", "azimuth_deg: 0")], Asked("W417")),
    ("azimuth in words", &[("azimuth_deg: 180", "azimuth_deg: south")], Refused("E301")),
    ("latitude with a letter", &[("latitude_deg: 46.2", "latitude_deg: 46.2 N")], Refused("E303")),
    (
        "latitude of the other half of the earth",
        &[("latitude_deg: 46.2", "latitude_deg: -46.2")],
        Refused("E320"),
    ),
    (
        "tilt in percent",
        &[("tilt_deg: 35", "tilt_deg: 70")],
        Unseen("70° is a usual tilt for winter sun"),
    ),
    (
        "sun in Wh",
        &[(
            "[1.4, 2.3, 3.5, 4.6, 5.5, 6.0, 6.2, 5.3, 4.0, 2.6, 1.5, 1.1]",
            "[1400, 2300, 3500, 4600, 5500, 6000, 6200, 5300, 4000, 2600, 1500, 1100]",
        )],
        Refused("E305"),
    ),
    (
        "sun as sums of months",
        &[(
            "[1.4, 2.3, 3.5, 4.6, 5.5, 6.0, 6.2, 5.3, 4.0, 2.6, 1.5, 1.1]",
            "[43, 64, 108, 138, 170, 180, 192, 164, 120, 80, 45, 34]",
        )],
        Refused("E305"),
    ),
    (
        "sun in MJ",
        &[(
            "[1.4, 2.3, 3.5, 4.6, 5.5, 6.0, 6.2, 5.3, 4.0, 2.6, 1.5, 1.1]",
            "[5.0, 8.3, 12.6, 16.6, 19.8, 21.6, 22.3, 19.1, 14.4, 9.4, 5.4, 4.0]",
        )],
        Refused("E305"),
    ),
    ("eleven months", &[("11, 5, 1]", "11, 5]")], Refused("E214")),
    (
        "a loss as a fraction",
        &[("spares:", "losses:\n  - id: dirt\n    percent: 0.03\nspares:")],
        Asked("W414"),
    ),
    // How it is typed.
    ("a decimal comma", &[("vmp_v: 18.6", "vmp_v: 18,6")], Refused("E302")),
    ("thousands with a comma", &[("max_system_v: 600", "max_system_v: 1,000")], Refused("E302")),
    ("thousands with a point", &[("max_system_v: 600", "max_system_v: 1.000")], Refused("E305")),
    ("a unit behind the number", &[("vmp_v: 18.6", "vmp_v: 18.6 V")], Refused("E303")),
    ("a unit glued to the number", &[("pmax_w: 180", "pmax_w: 180Wp")], Refused("E303")),
    ("a key in capitals", &[("pmax_w: 180", "Pmax_W: 180")], Refused("E201")),
    ("a key from the data sheet", &[("pmax_w: 180", "Pmpp: 180")], Refused("E201")),
    ("no space behind the colon", &[("pmax_w: 180", "pmax_w:180")], Refused("E104")),
    ("a tab", &[("    vmp_v: 18.6", "\tvmp_v: 18.6")], Refused("E105")),
    ("typographic quotes", &[("kind: weir-95", "kind: “weir-95”")], Refused("E217")),
    ("a space from a web page", &[("vmp_v: 18.6", "vmp_v:\u{a0}18.6")], Refused("E104")),
    ("a byte-order mark", &[("# A sound", "\u{feff}# A sound")], Read),
    ("line ends of another system", &[("\n", "\r\n")], Read),
    ("a count with a decimal", &[("count: 2", "count: 2.0")], Read),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/mistakes")
}

fn base() -> String {
    fs::read_to_string(folder().join("base.yaml")).expect("is there")
}

/// The file with the mistake in it; every place where it can be made, once, or all line ends.
fn with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(base(), |text, (from, to)| {
        assert!(text.contains(from), "{from:?} is not in the file");
        let times = if *from == "\n" { usize::MAX } else { 1 };
        text.replacen(from, to, times)
    })
}

/// What a person is told, and whether it is what the table says.
fn told(mistake: &Mistake) -> (String, bool) {
    let (name, changes, becomes) = mistake;
    let text = with(changes);
    let mut out = format!("== {name}\n");
    let read = read_site("hut.yaml", text.as_bytes());
    let findings = match &read {
        Ok(read) => &read.warnings,
        Err(findings) => findings,
    };
    let first = findings.0.first().map(|f| (f.severity, f.code));
    let as_said = match *becomes {
        Refused(code) => first == Some((Severity::Error, code)),
        Asked(code) => first == Some((Severity::Warning, code)) && read.is_ok(),
        Read | Breach | Unseen(_) => first.is_none(),
    };
    if !findings.0.is_empty() {
        let _ = writeln!(out, "{findings}");
    }
    match *becomes {
        Refused(_) | Asked(_) => {}
        Read => out += "(read as it was meant)\n",
        Breach => {
            let site = read.as_ref().expect("it is read").value.clone();
            let checked = planner::check(&site).expect("has curves");
            assert!(checked.state.breaches(), "{name}");
            out += "(`check` finds a limit breached)\n";
        }
        Unseen(why) => {
            let _ = writeln!(out, "(not seen: {why})");
        }
    }
    (out + "\n", as_said)
}

#[test]
fn the_file_without_a_mistake_is_read_without_a_word() {
    let read = read_site("hut.yaml", base().as_bytes()).expect("is sound");
    assert!(read.warnings.0.is_empty(), "{}", read.warnings);
}

#[test]
fn every_mistake_is_refused_or_asked_about_word_for_word() {
    let golden = folder().join("answers.expected");
    let mut actual = String::new();
    for mistake in MISTAKES {
        let (words, as_said) = told(mistake);
        assert!(as_said, "{:?} expected:\n{words}", mistake.2);
        actual += &words;
    }
    if std::env::var_os("SUNGRAFT_BLESS").is_some() {
        fs::write(&golden, &actual).expect("writable");
    }
    let expected = fs::read_to_string(&golden).unwrap_or_default();
    assert!(expected == actual, "{} differs:\n{actual}", golden.display());
}

#[test]
fn most_mistakes_are_seen() {
    let unseen = MISTAKES.iter().filter(|(_, _, b)| matches!(b, Unseen(_))).count();
    assert!(MISTAKES.len() - unseen >= 70 && unseen <= 8, "{unseen} of {}", MISTAKES.len());
}
