//! The answers to the three questions, in three forms.

use std::collections::BTreeMap;
use std::fs;

use serde_json::Value;
use sungraft::input::{BadRows, read_stock};
use sungraft::report::schema;

use crate::{hold, run_match, run_scene, scene, scratch, text};

/// The three questions, and how their golden files are called.
const QUESTIONS: [(&str, &[&str]); 4] = [
    ("watts", &[]),
    ("margin", &["--for", "margin", "--worth-per-watt", "0.8", "--cost-per-visit", "40"]),
    ("panel", &["--panel", "creek-90"]),
    ("replace", &["--replace", "heron-mill", "2", "3"]),
];

const FORMS: [(&str, &str); 3] = [("table", "txt"), ("json", "json"), ("csv", "csv")];

fn answer(question: &[&str], form: &str) -> String {
    let (code, answer, talk) = run_scene(&[question, &["--format", form]].concat());
    assert_eq!(code, 0, "{talk}");
    answer
}

#[test]
fn every_question_is_answered_as_before_in_every_form() {
    for (name, question) in QUESTIONS {
        for (form, ending) in FORMS {
            hold(&format!("{name}.{ending}"), &answer(question, form));
        }
    }
}

fn json(question: &[&str]) -> Value {
    serde_json::from_str(&answer(question, "json")).expect("is JSON")
}

#[test]
fn every_answer_keeps_to_the_schema() {
    let schema: Value = serde_json::from_str(schema::MATCH).expect("is JSON");
    assert!(jsonschema::meta::is_valid(&schema));
    let validator = jsonschema::draft202012::new(&schema).expect("is a schema");
    for (name, question) in QUESTIONS {
        let answer = json(question);
        let complaints: Vec<String> =
            validator.iter_errors(&answer).map(|e| format!("{}: {e}", e.instance_path)).collect();
        assert!(complaints.is_empty(), "{name}: {complaints:#?}");
        let mut other = answer.clone();
        other["surprise"] = Value::Bool(true);
        assert!(!validator.is_valid(&other), "{name}: a key that is not told passes");
    }
}

#[test]
fn no_panel_is_placed_twice_and_sums_agree() {
    for question in [QUESTIONS[0].1, QUESTIONS[1].1] {
        let answer = json(question);
        let mut placed: BTreeMap<&str, u64> = BTreeMap::new();
        let mut added = 0.0;
        for site in answer["sites"].as_array().expect("a list") {
            let watts = |key: &str| site[key].as_f64().expect("a number");
            added += watts("added_watts");
            // What a customer gets is what the controllers' outputs let through.
            let passed = watts("passed_watts_after") - watts("passed_watts_before");
            assert!((watts("added_watts") - passed).abs() < 0.02, "{site}");
            assert!(watts("passed_watts_after") <= watts("watts_after") + 0.01, "{site}");
            for panels in site["panels"].as_array().expect("a list") {
                let kind = panels["kind"].as_str().expect("text");
                *placed.entry(kind).or_default() += panels["count"].as_u64().expect("a count");
            }
        }
        for lot in answer["stock"].as_array().expect("a list") {
            let n = |key: &str| lot[key].as_u64().expect("a count");
            let kind = lot["kind"].as_str().expect("text");
            assert_eq!(placed.get(kind).copied().unwrap_or(0), n("placed"), "{kind}");
            assert_eq!(n("placed") + n("left"), n("in_stock"), "{kind}");
            assert_eq!(lot["because"].as_str() == Some(""), n("left") == 0, "{kind}");
        }
        let total = answer["added_watts"].as_f64().expect("a number");
        assert!((added - total).abs() < 0.1, "{added} W against {total} W");
        assert!(answer["bound"].as_f64() >= answer["value"].as_f64());
        let gap = answer["gap_percent"].as_f64().expect("a number");
        assert!(gap <= 2.0, "{gap} % is left open");
    }
}

#[test]
fn no_line_of_a_page_is_longer_than_a_hundred_columns() {
    for (name, question) in QUESTIONS {
        let page = answer(question, "table");
        let longest = page.lines().map(|l| l.chars().count()).max().unwrap_or(0);
        assert!(longest <= 100, "{name}: {longest} columns");
        assert!(page.contains("Local code and a licensed person"), "{name}");
    }
}

#[test]
fn a_page_shows_the_first_of_each_list_and_how_to_see_the_rest() {
    let page = answer(&["--top", "2"], "table");
    assert!(page.contains("`--format csv`") && page.contains("more kinds"), "{page}");
}

/// A stock whose ids a spreadsheet would take for formulas.
const FORMULAS: &str = "id,pmax_w,vmp_v,imp_a,voc_v,isc_a,count,price\n\
    =1+1,90,18.1,4.97,22.0,5.30,2,30\n\
    \"@sum(a1), \"\"x\"\"\",100,18.0,5.56,21.9,5.92,1,38\n\
    +30,30,17.6,1.70,21.4,1.83,1,8\n";

#[test]
fn no_id_becomes_a_formula_and_every_id_comes_back() {
    let folder = scratch("formulas");
    let stock = folder.join("stock.csv");
    fs::write(&stock, FORMULAS).expect("writable");
    let (code, answer, talk) =
        run_match(&scene("customers/willow-school.yaml"), text(&stock), &["--format", "csv"]);
    assert_eq!(code, 0, "{talk}");
    let mut reader = csv::Reader::from_reader(answer.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let column = |name: &str| header.iter().position(|h| h == name).expect("a column");
    let (record, kind) = (column("record"), column("kind"));
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    let risky = |cell: &str| cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
    assert!(!rows.iter().flatten().any(risky), "{answer}");
    // The ids, written into a stock file again, are read as they were.
    let ids = rows.iter().filter(|r| &r[record] == "stock").map(|r| r[kind].replace('"', "\"\""));
    let again: String = std::iter::once("id,pmax_w,vmp_v,imp_a,voc_v,isc_a,count\n".to_owned())
        .chain(ids.map(|id| format!("\"{id}\",90,18.1,4.97,22.0,5.30,1\n")))
        .collect();
    let read = read_stock("again.csv", again.as_bytes(), BadRows::Refuse).expect("is read");
    let ids: Vec<&str> = read.items.iter().map(|item| item.kind.id.as_str()).collect();
    assert_eq!(ids, ["=1+1", "@sum(a1), \"x\"", "+30"]);
}
