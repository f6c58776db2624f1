//! What plans are chosen for, and what they cost.

use std::fs;

use serde_json::Value;

use super::{run, run_with, sungraft};

const TOLL_HOUSE: &str = include_str!("../../scenarios/toll-house.yaml");
const SEED_SHED: &str = include_str!("../../scenarios/seed-shed.yaml");

fn json(args: &[&str], site: &str) -> Value {
    let (code, answer, talk) = run_with(args, site);
    assert_eq!((code, talk.as_str()), (0, ""), "{answer}");
    serde_json::from_str(&answer).expect("is JSON")
}

#[test]
fn energy_is_refused_where_the_file_says_nothing_of_the_sun() {
    for aim in ["year", "worst-month"] {
        let (code, answer, talk) = run_with(&["advise", "-", "--for", aim], SEED_SHED);
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains("sun_kwh_m2_day") && talk.contains("--for watts"), "{talk}");
    }
    assert_eq!(run_with(&["advise", "-", "--for", "watts"], SEED_SHED).0, 0);
}

#[test]
fn the_rule_of_thumb_knows_no_weather() {
    let args = ["advise", "-", "--rule", "nameplate", "--for", "year"];
    let (code, _, talk) = run_with(&args, TOLL_HOUSE);
    assert_eq!(code, 2);
    assert!(talk.contains("nameplate"), "{talk}");
    // By itself it chooses by watts, sun or no sun.
    let by_rule = json(&["advise", "-", "--rule", "nameplate", "--format", "json"], TOLL_HOUSE);
    assert_eq!(by_rule.get("aim"), None);
}

#[test]
fn the_aim_is_the_year_where_there_is_one_and_can_be_told() {
    for (args, aim) in [(vec![], Some("year")), (vec!["--for", "watts"], None)] {
        let args = [vec!["advise", "-", "--format", "json"], args].concat();
        let answer = json(&args, TOLL_HOUSE);
        assert_eq!(answer.get("aim").and_then(Value::as_str), aim);
        let plans = answer["plans"].as_array().expect("a list");
        assert!(plans.iter().all(|p| p.get("energy_proof").is_some() == aim.is_some()));
    }
    let worst = json(&["advise", "-", "--format", "json", "--for", "worst-month"], TOLL_HOUSE);
    assert_eq!(worst["aim"], "worst_month");
    let best = worst["best"].as_u64().expect("a plan") as usize;
    let year = &worst["energy"]["plans"][best];
    assert_eq!(worst["plans"][best]["energy_proof"]["month"], year["worst_month"]);
    let (page, said) =
        (run_with(&["advise", "-"], TOLL_HOUSE).1, "chosen for the energy of a year");
    assert!(page.contains(said), "{page}");
}

#[test]
fn a_plan_for_the_year_brings_no_less_than_one_for_watts() {
    let best_kwh = |aim: &str| {
        let answer = json(&["advise", "-", "--format", "json", "--for", aim], TOLL_HOUSE);
        let best = answer["best"].as_u64().expect("a plan") as usize;
        answer["energy"]["plans"][best]["kwh"].as_f64().expect("a figure")
    };
    // But for panels that bring less than their places are worth.
    assert!(best_kwh("year") > 0.98 * best_kwh("watts"));
}

#[test]
fn parts_are_counted_where_a_file_says_what_they_cost() {
    let folder = std::env::temp_dir().join(format!("sungraft-worth-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a folder for the test");
    let prices = folder.join("prices.yaml");
    let (code, starter, _) = run(&mut sungraft(&["starter", "--prices"]));
    assert_eq!(code, 0);
    fs::write(&prices, &starter).expect("can be written");
    let path = prices.to_str().expect("plain");
    let without = json(&["advise", "-", "--format", "json"], TOLL_HOUSE);
    let with = json(&["advise", "-", "--format", "json", "--prices", path], TOLL_HOUSE);
    assert_eq!(without["money"]["cost"]["parts"], Value::Null);
    let cost = &with["money"]["cost"];
    let figure = |value: &Value| value.as_f64().expect("a figure");
    assert!(figure(&cost["parts"]["least"]) > 0.0);
    assert!(figure(&cost["parts"]["most"]) >= figure(&cost["parts"]["least"]));
    let sum = figure(&cost["panels"]) + figure(&cost["parts"]["most"]);
    assert!((figure(&cost["all"]["most"]) - sum).abs() < 0.01);
    // Twice the prices, twice the cost of parts.
    let doubled = "parts:\n  - part: warning_label\n    price: 8\n";
    fs::write(&prices, doubled).expect("can be written");
    let signs = json(&["advise", "-", "--format", "json", "--prices", path], TOLL_HOUSE);
    // One sign at least, two at most.
    assert_eq!(figure(&signs["money"]["cost"]["parts"]["least"]), 8.0);
    assert_eq!(figure(&signs["money"]["cost"]["parts"]["most"]), 16.0);
    let unpriced = signs["money"]["cost"]["unpriced_parts"].as_array().expect("a list");
    assert!(unpriced.iter().any(|p| p == "string_tag"), "{unpriced:?}");
    fs::write(&prices, "parts:\n  - part: fuze\n    price: 1\n").expect("can be written");
    let (code, _, talk) = run_with(&["advise", "-", "--prices", path], TOLL_HOUSE);
    assert_eq!(code, 2);
    assert!(talk.contains("did you mean `fuse`?"), "{talk}");
    fs::remove_dir_all(&folder).expect("can be removed");
}
