//! What is said: the page, the JSON against its schema, the entry in a site file.

use serde_json::Value;
use sungraft::electrical::readings::{Prior, estimate_fade, estimate_label};
use sungraft::input::{self, Beside};
use sungraft::model::{Accuracy, MeasuredPanel};
use sungraft::plan;
use sungraft::report::{self, Format, LabelAnswer, schema};
use sungraft::units::Amps;

use crate::estimate::kind;

fn measured() -> MeasuredPanel {
    let beside = Beside { cells: Some(36), twin_label_i_sc: None };
    let read = input::read_readings("porch.csv", input::readings_starter().as_bytes(), &beside);
    MeasuredPanel {
        readings: read.expect("reads").value,
        accuracy: Accuracy::default(),
        cells: Some(36),
        twin_label_i_sc: None,
    }
}

/// The answer for a panel without a label.
fn unknown(format: Format, id: &str, meter_range: f64) -> String {
    let measured = measured();
    let estimate = estimate_label(&measured, &Prior::of_silicon()).expect("a label");
    let answer = LabelAnswer {
        measured: &measured,
        estimate: &estimate,
        fade: None,
        id,
        meter_range: Amps(meter_range),
    };
    report::label(&answer, format)
}

/// The answer for one whose label is known.
fn faded(format: Format, age: Option<f64>) -> String {
    let measured = measured();
    let mut kind = kind(18.1, 4.97, 22.2, 5.3);
    kind.age_years = age;
    let fade = estimate_fade(&measured, &kind).expect("a label");
    let answer = LabelAnswer {
        measured: &measured,
        estimate: &fade.estimate,
        fade: Some((&kind, &fade)),
        id: "porch-90-today",
        meter_range: Amps(10.0),
    };
    report::label(&answer, format)
}

fn parse(text: &str) -> Value {
    serde_json::from_str(text).expect("is JSON")
}

fn complaints(answer: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(&parse(schema::LABEL)).expect("is a schema");
    validator.iter_errors(answer).map(|e| format!("{}: {e}", e.instance_path)).collect()
}

#[test]
fn the_json_keeps_its_schema_and_the_schema_is_strict() {
    assert!(jsonschema::meta::is_valid(&parse(schema::LABEL)));
    for text in [
        unknown(Format::Json, "porch", 10.0),
        faded(Format::Json, None),
        faded(Format::Json, Some(12.0)),
    ] {
        let answer = parse(&text);
        assert_eq!(complaints(&answer), Vec::<String>::new());
        for place in ["", "/pmax_w", "/band_from/0", "/narrower/0", "/agreement/0"] {
            let mut more = answer.clone();
            let object = more.pointer_mut(place).expect("is there").as_object_mut();
            object.expect("an object").insert("more".into(), Value::Null);
            assert!(!complaints(&more).is_empty(), "{place} takes more keys");
        }
        let keys: Vec<String> = answer.as_object().expect("an object").keys().cloned().collect();
        for key in keys {
            let mut less = answer.clone();
            less.as_object_mut().expect("an object").remove(&key);
            assert!(!complaints(&less).is_empty(), "{key} may be missing");
        }
    }
}

#[test]
fn the_page_keeps_its_width_and_says_what_counts() {
    for page in [unknown(Format::Table, "porch", 10.0), faded(Format::Table, Some(12.0))] {
        assert!(page.lines().all(|l| l.chars().count() <= 100), "{page}");
        for wanted in [
            "in 95 of 100 cases",
            "What the bands come from",
            "Narrower",
            "Assumed",
            "Take care",
            "meter's range",
        ] {
            assert!(page.contains(wanted), "{wanted} is not in\n{page}");
        }
    }
    assert!(faded(Format::Table, Some(12.0)).contains("Usual after 12 years"));
    assert!(faded(Format::Table, None).contains("--age"));
    let how = report::how_to_measure(Amps(10.0), input::readings_starter());
    assert!(how.starts_with("Take care") && how.lines().all(|l| l.chars().count() <= 100), "{how}");
}

#[test]
fn a_panel_that_may_pass_the_meters_range_is_warned_of_by_both_figures() {
    let page = unknown(Format::Table, "porch", 5.0);
    assert!(page.contains("more than the meter's 5 A"), "{page}");
    assert!(!unknown(Format::Table, "porch", 20.0).contains("more than the meter's"));
}

#[test]
fn the_csv_has_one_line_for_each_figure() {
    let text = faded(Format::Csv, Some(12.0));
    let first: Vec<&str> = text.lines().map(|l| l.split(',').next().expect("a field")).collect();
    assert_eq!(first[..6], ["figure", "pmax", "vmp", "imp", "voc", "isc"]);
    assert_eq!(first.len(), 9);
    assert!(text.lines().all(|l| l.split(',').count() == 5), "{text}");
}

/// A site file with an entry in it.
fn site_with(entry: &str, id: &str) -> String {
    let id = serde_json::to_string(id).expect("a text");
    format!(
        "site:\n  name: Elder Ford apiary\n  coldest_c: -10\n  hottest_c: 35\n\
         controllers:\n  - id: hut\n    type: mppt\n    battery_v: 12\n    charge_a: 20\n    \
         max_pv_v: 100\n    window_v: [15, 90]\n    string_ports: 2\n\
         installed:\n  - controller: hut\n    strings:\n      - [{id}]\nkinds:\n{entry}"
    )
}

#[test]
fn the_entry_is_read_and_every_later_answer_says_that_it_is_an_estimate() {
    for id in ["porch", "from the shed: no. 2", "160", "no", "a#b"] {
        let answer = parse(&unknown(Format::Json, id, 10.0));
        let entry = answer["kinds_entry"].as_str().expect("a text");
        let site = site_with(entry, id);
        let read = input::read_site("apiary.yaml", site.as_bytes());
        let read = read.unwrap_or_else(|findings| panic!("{findings}\n{site}"));
        assert_eq!(read.warnings.to_string(), "");
        let kind = &read.value.kinds[0];
        assert_eq!(kind.id, id);
        assert!(kind.estimated);
        let (all, volts) = (kind.tolerance_percent, kind.v_oc_tolerance_percent);
        assert!(volts < all, "{volts:?} {all:?}");
        let assumed = plan::assumed(&read.value, &read.value.installed);
        let said = assumed.iter().find(|l| l.contains("estimated from meter readings"));
        assert!(said.is_some_and(|l| l.contains("may be off by")), "{assumed:?}");
        // Volts are held against their own band, amperes against the wider one.
        let off = kind.highest_v_oc().volts() / kind.label.v_oc.volts() - 1.0;
        assert!((off - volts.expect("given") / 100.0).abs() < 1e-12);
    }
}

#[test]
fn a_kind_with_a_label_says_nothing_of_estimates() {
    let site = input::read_site("starter.yaml", input::starter().as_bytes()).expect("reads").value;
    let assumed = plan::assumed(&site, &site.installed);
    assert!(assumed.iter().all(|l| !l.contains("meter readings")), "{assumed:?}");
}
