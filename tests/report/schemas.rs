//! The JSON answers against the schemas in `docs/`.

use serde_json::Value;
use sungraft::report::{self, Format, schema};

use crate::fixtures::{breached, cabled, cases, checked, grafted, sunny};

/// One object of every sort in the answer of `cabled`.
const OBJECTS: [&str; 20] = [
    "",
    "/today",
    "/plans/0",
    "/today/wiring/0",
    "/today/checks/0",
    "/spares/0",
    "/spares/0/worth/0",
    "/spares/1/certificate",
    "/spares/1/certificate/binding",
    "/spares/1/helps/0",
    "/spares/1/obvious/0",
    "/spares/1/obvious/0/breaches/0",
    "/spares/1/certainty",
    "/idle/0",
    "/parts/0",
    "/cables/0",
    "/energy",
    "/energy/losses/0",
    "/energy/today",
    "/energy/plans/0/months/0",
];

/// The same that are there only where the file speaks of money.
const MONEY_OBJECTS: [&str; 4] = ["/money", "/money/cost", "/money/cost/all", "/money/spares/0"];

fn parse(text: &str) -> Value {
    serde_json::from_str(text).expect("is JSON")
}

fn complaints(schema: &str, answer: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(&parse(schema)).expect("is a schema");
    validator.iter_errors(answer).map(|e| format!("{}: {e}", e.instance_path)).collect()
}

fn advice_json() -> Value {
    let mut case = cabled();
    case.advice.idle = breached().advice.idle;
    case.installation.site.sun = sunny().installation.site.sun;
    case.advice.energy = sunny().advice.energy;
    parse(&report::advice(&case.installation, &case.advice, Format::Json))
}

#[test]
fn the_schemas_are_valid_json_schema_2020_12() {
    for text in [schema::ADVICE, schema::CHECK] {
        let schema = parse(text);
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        assert!(jsonschema::meta::is_valid(&schema));
    }
}

#[test]
fn every_answer_keeps_to_its_schema() {
    for case in cases() {
        let advice = parse(&report::advice(&case.installation, &case.advice, Format::Json));
        assert_eq!(complaints(schema::ADVICE, &advice), [""; 0], "{}", case.name);
        let check = parse(&report::checked(&case.installation, &checked(&case), Format::Json));
        assert_eq!(complaints(schema::CHECK, &check), [""; 0], "{}", case.name);
    }
}

#[test]
fn a_key_that_the_schema_does_not_know_is_a_complaint() {
    for pointer in OBJECTS.into_iter().chain(MONEY_OBJECTS) {
        let mut answer = advice_json();
        let object = answer.pointer_mut(pointer).expect("is there");
        object["surprise"] = Value::from(1);
        assert!(!complaints(schema::ADVICE, &answer).is_empty(), "{pointer}");
    }
}

#[test]
fn every_key_is_required() {
    // Answers about money have their section only where the file speaks of it.
    let mut answer = advice_json();
    let without_money = answer.as_object_mut().expect("is an object").remove("money");
    assert!(without_money.is_some(), "prices are given");
    for pointer in OBJECTS {
        let keys: Vec<String> = answer
            .pointer(pointer)
            .expect("is there")
            .as_object()
            .expect("is an object")
            .keys()
            .cloned()
            .collect();
        for key in keys {
            let mut less = answer.clone();
            less.pointer_mut(pointer)
                .and_then(Value::as_object_mut)
                .expect("is an object")
                .remove(&key);
            assert!(
                !complaints(schema::ADVICE, &less).is_empty(),
                "{pointer}/{key} can be missing"
            );
        }
    }
}

#[test]
fn what_the_two_schemas_share_is_the_same() {
    let (advice, check) = (parse(schema::ADVICE), parse(schema::CHECK));
    let shared = check["$defs"].as_object().expect("is an object");
    assert!(shared.len() >= 5);
    for (name, definition) in shared {
        assert_eq!(definition, &advice["$defs"][name], "{name}");
    }
}

#[test]
fn a_figure_that_is_no_number_becomes_null_and_the_schema_objects() {
    let mut case = grafted();
    case.advice.today.inputs[0].power = sungraft::units::Watts(f64::NAN);
    let text = report::advice(&case.installation, &case.advice, Format::Json);
    let answer = parse(&text);
    assert!(answer["today"]["watts"].is_null());
    assert!(!complaints(schema::ADVICE, &answer).is_empty());
}

#[test]
fn keys_stand_in_the_order_of_the_contract() {
    let case = grafted();
    let text = report::advice(&case.installation, &case.advice, Format::Json);
    let order = [
        "\"format\"",
        "\"site\"",
        "\"today\"",
        "\"plans\"",
        "\"best\"",
        "\"spares\"",
        "\"idle\"",
        "\"assumed\"",
    ];
    let places: Vec<usize> = order.iter().map(|key| text.find(key).expect("is there")).collect();
    assert!(places.is_sorted(), "{places:?}");
}

#[test]
fn what_a_panel_is_worth_and_what_would_help_is_in_the_answer() {
    let answer = advice_json();
    let orchard = &answer["spares"][1];
    assert_eq!(
        answer["spares"][0]["worth"][2],
        serde_json::json!({
            "panels": 2, "watts": 811.5, "bound_watts": 811.7, "step_watts": 89.1
        })
    );
    assert!(answer["spares"][0]["worth"][0]["step_watts"].is_null());
    assert_eq!(
        orchard["certificate"],
        serde_json::json!({
            "strings": [
                ["shed-160", "shed-160", "shed-160"],
                ["orchard-60", ["creek-90", "creek-90"]]
            ],
            "watts": 780.0,
            "change_watts": -31.5,
            "binding": {
                "cause": "current_mismatch",
                "value": 3.3,
                "limit": 8.7,
                "unit": "A",
                "unlocks_watts": 112.4
            }
        })
    );
    assert_eq!(orchard["helps"].as_array().map(Vec::len), Some(5));
    assert_eq!(orchard["obvious"][0]["idle_reverse_amps"], 10.3);
    assert_eq!(orchard["obvious"][0]["breaches"][1]["rule"], "idle_reverse_current");
    assert_eq!(answer["idle"][0]["instead"], "an input of its own (160 W there)");
}

#[test]
fn strings_are_written_as_in_the_site_file() {
    let strings = &advice_json()["plans"][2]["wiring"][0]["strings"];
    assert_eq!(
        strings,
        &serde_json::json!([
            ["shed-160", "shed-160", "shed-160"],
            ["shed-160", ["creek-90", "creek-90"]]
        ])
    );
}
