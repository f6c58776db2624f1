//! The test sheet in tables with blanks for a pen.

use super::blocks::{BLANK, Block, Setting, Table, TableColumn};
use crate::plan::{
    InputSheet, Measured, Method, Reading, SHEET_TEMPERATURES, StringSheet, TestSheet,
};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::numbers::{fixed, plain};
use crate::units::Celsius;

/// Below this a short-circuit current says little: the tests of IEC 62446-1 want steady sun above
/// 400 W/m² (from memory, check your edition).
const WEAK_SUN: f64 = 400.0;
/// Current range of an ordinary hand meter. \[A\] (common practice, no source)
const METER_RANGE: f64 = 10.0;

/// What the sheet means where panels stand on several planes.
const ON_ITS_PLANE: &str = "Panels stand on several planes: hold the irradiance meter in the plane of \
    the string that is measured; its voltage and short-circuit current are those for the sun on its \
    own plane. A string over several planes shows the current of the panels that have most sun, and a \
    little less voltage. At work, figures are those for full sun as it is meant at the head of this \
    report, whatever was measured.";

/// The section's blocks.
pub(in crate::report) fn test_sheet(names: Names<'_>, method: &Method) -> Vec<Block> {
    let sheet = &method.tests;
    if sheet.inputs.is_empty() {
        return vec![Block::Paragraph("Nothing is wired, so there is nothing to measure.".into())];
    }
    let mut blocks = vec![Block::Paragraph(format!(
        "Date {BLANK}  By {BLANK}  Meters {BLANK}  Irradiance in the panels' plane {BLANK}{GLUE}W/m²  \
         Back of a panel {BLANK}{GLUE}°C"
    ))];
    blocks.push(Block::Paragraph(stands_for(sheet)));
    if names.0.site.sun.planes.len() > 1 {
        blocks.push(Block::Paragraph(ON_ITS_PLANE.into()));
    }
    if largest_i_sc(sheet) > METER_RANGE {
        blocks.push(Block::Warning(
            "Short-circuit test".into(),
            vec![format!(
                "Up to {}{GLUE}A: more than the {}{GLUE}A range of an ordinary meter. Use a DC clamp meter \
                 and a DC-rated switch; never short a string by mating its connectors.",
                fixed(largest_i_sc(sheet), 1),
                plain(METER_RANGE, 0)
            )],
        ));
    }
    for input in &sheet.inputs {
        if names.has_several_inputs() {
            blocks.push(Block::Heading(names.input(input.at)));
        }
        blocks.push(Block::Table(each_string(input, sheet.measured)));
        if sheet.measured.is_none() {
            blocks.push(Block::Table(by_temperature(input)));
        }
        blocks.push(Block::Table(at_controller(names, input, sheet.measured)));
    }
    blocks.push(Block::List(where_from(sheet)));
    blocks
}

/// For which sun the figures are right.
fn stands_for(sheet: &TestSheet) -> String {
    match sheet.measured {
        Some(m) => {
            let weak = if m.irradiance.watts_per_m2() < WEAK_SUN {
                format!(
                    " That is weak sun: currents measured below {}{GLUE}W/m² say little.",
                    plain(WEAK_SUN, 0)
                )
            } else {
                String::new()
            };
            format!("Expected figures hold at {}.{weak}", sun(m))
        }
        None => format!(
            "Expected figures hold at standard test conditions (1000{GLUE}W/m², cells at 25{GLUE}°C). Take \
             the voltage from the table for the cells' temperature, which is that of the back of a panel and \
             some 3{GLUE}°C more, and the current in proportion to the sun; or run the advice again with \
             `--measured` and have both worked out."
        ),
    }
}

fn sun(m: Measured) -> String {
    format!(
        "{}{GLUE}W/m² and cells at {}{GLUE}°C",
        plain(m.irradiance.watts_per_m2(), 0),
        plain(m.temp_cell.celsius(), 1)
    )
}

fn largest_i_sc(sheet: &TestSheet) -> f64 {
    sheet.inputs.iter().flat_map(|i| &i.strings).map(|s| s.i_sc.amps()).fold(0.0, f64::max)
}

fn each_string(input: &InputSheet, measured: Option<Measured>) -> Table {
    let row = |(n, s): (usize, &StringSheet)| {
        let (v_oc, i_sc) = match (s.v_oc_measured, s.i_sc_measured) {
            (Some(v), Some(i)) => (pair(v), pair(i)),
            _ => {
                let at_stc = |expected: f64, below: f64, above: f64| Reading {
                    expected,
                    low: expected * (1.0 - below),
                    high: expected * (1.0 + above),
                };
                (
                    pair(at_stc(s.v_oc.volts(), s.v_oc_band, s.v_oc_band)),
                    pair(at_stc(s.i_sc.amps(), s.i_sc_band_low, s.i_sc_band_high)),
                )
            }
        };
        vec![
            format!("string{GLUE}{}", n + 1),
            BLANK.into(),
            v_oc.0,
            v_oc.1,
            BLANK.into(),
            i_sc.0,
            i_sc.1,
            BLANK.into(),
        ]
    };
    let heads: [(&str, Setting); 8] = [
        ("String", Setting::Words),
        ("+ and − right?", Setting::Words),
        ("Voc expected, V", Setting::Figures),
        ("passes, V", Setting::Figures),
        ("read, V", Setting::Figures),
        ("Isc expected, A", Setting::Figures),
        ("passes, A", Setting::Figures),
        ("read, A", Setting::Figures),
    ];
    Table {
        caption: format!("Each string by itself, at {}", conditions(measured)),
        columns: columns(&heads),
        rows: input.strings.iter().enumerate().map(row).collect(),
    }
}

fn conditions(measured: Option<Measured>) -> String {
    measured.map_or_else(|| "standard test conditions".to_owned(), sun)
}

fn by_temperature(input: &InputSheet) -> Table {
    let heads: Vec<(String, Setting)> = std::iter::once(("String".to_owned(), Setting::Words))
        .chain(SHEET_TEMPERATURES.iter().map(|t| (temperature(*t), Setting::Figures)))
        .chain(std::iter::once((format!("Isc for each 100{GLUE}W/m², A"), Setting::Figures)))
        .collect();
    let row = |(n, s): (usize, &StringSheet)| {
        std::iter::once(format!("string{GLUE}{}", n + 1))
            .chain(s.v_oc_at.iter().map(|v| fixed(v.volts(), 1)))
            .chain(std::iter::once(fixed(s.i_sc.amps() / 10.0, 2)))
            .collect()
    };
    Table {
        caption: "Voc to expect at other cell temperatures, and Isc by the sun".into(),
        columns: heads.into_iter().map(|(head, setting)| TableColumn { head, setting }).collect(),
        rows: input.strings.iter().enumerate().map(row).collect(),
    }
}

fn temperature(t: Celsius) -> String {
    format!("Voc at {}{GLUE}°C, V", plain(t.celsius(), 0))
}

fn at_controller(names: Names<'_>, input: &InputSheet, measured: Option<Measured>) -> Table {
    let (volts, amps) = (pair(input.work_volts), pair(input.work_amps));
    let v_oc = input.v_oc_measured.map_or_else(
        || {
            // The band of a voltage, five percent either way.
            let v = input.v_oc.volts();
            pair(Reading { expected: v, low: 0.95 * v, high: 1.05 * v })
        },
        pair,
    );
    let heads: [(&str, Setting); 4] = [
        ("What", Setting::Words),
        ("Expected", Setting::Figures),
        ("Passes", Setting::Figures),
        ("Read", Setting::Figures),
    ];
    let row = |what: &str, expected: String, passes: String| {
        vec![what.to_owned(), expected, passes, BLANK.to_owned()]
    };
    let v = |text: &str| format!("{text}{GLUE}V");
    let a = |text: &str| format!("{text}{GLUE}A");
    let strings = input.strings.iter().enumerate().map(|(n, s)| {
        let (expected, passes) = pair(s.work);
        row(&format!("Amps of string{GLUE}{}, at work", n + 1), a(&expected), a(&passes))
    });
    Table {
        caption: format!("{}, at {}", names.input(input.at), conditions(measured)),
        columns: columns(&heads),
        rows: [
            row("Polarity at the open disconnect", "right".into(), String::new()),
            row("Voltage at the open disconnect", v(&v_oc.0), v(&v_oc.1)),
            row("Volts at the controller, at work", v(&volts.0), v(&volts.1)),
            row("Amps at the controller, at work", a(&amps.0), a(&amps.1)),
        ]
        .into_iter()
        .chain(strings)
        .chain([row(
            "After an hour: every joint as cool as its neighbours",
            "yes".into(),
            String::new(),
        )])
        .collect(),
    }
}

/// Expected, and the band.
fn pair(reading: Reading) -> (String, String) {
    (fixed(reading.expected, 1), format!("{} to {}", fixed(reading.low, 1), fixed(reading.high, 1)))
}

fn columns(heads: &[(&str, Setting)]) -> Vec<TableColumn> {
    let column =
        |(head, setting): &(&str, Setting)| TableColumn { head: (*head).into(), setting: *setting };
    heads.iter().map(column).collect()
}

fn where_from(sheet: &TestSheet) -> Vec<String> {
    let mut points = vec![
        format!(
            "Voltage band: 5{GLUE}% either way (IEC 62446-1, from memory, check your edition), or half of \
             what the smallest panel of the string brings where that is less, so that one left out shows."
        ),
        format!(
            "Current band: 5{GLUE}% as above and 7{GLUE}% for a hand-held irradiance meter and its tilt (common practice, no \
             source), wider where tolerance or age of a label leaves more open."
        ),
        format!(
            "Volts at work: 8{GLUE}% either way, and as far above as an output limit can push them. Amps at work: \
             as the short-circuit current, and what 2{GLUE}% more or fewer volts make of it (common practice, no \
             source)."
        ),
        "Current at work depends on what the battery takes: a controller that holds back shows less.".into(),
        "Typed into a file (`sungraft starter --readings SITE.yaml`), these readings are held against all this, and \
         what is likely wrong is worked out: `sungraft check SITE.yaml --readings FILE.yaml`, with the new wiring \
         written under `installed` first."
            .into(),
    ];
    if sheet.measured.is_none() {
        points.push(
            "Voltages by temperature are those of the curves at full sun; at half the sun they are some \
             3 to 4 % lower."
                .to_owned()
                .replace(" %", &format!("{GLUE}%")),
        );
    }
    points
}
