//! Answers and the exit codes that scripts rely on.

use serde_json::Value;

use crate::site::{sound, too_cold};
use crate::{run, run_with, sungraft};

#[test]
fn the_starter_runs_as_it_is() {
    let (code, starter, talk) = run(&mut sungraft(&["starter"]));
    assert_eq!((code, talk.as_str()), (0, ""));
    for command in ["check", "advise"] {
        let (code, answer, talk) = run_with(&[command, "-"], &starter);
        assert_eq!((code, talk.as_str()), (0, ""), "{command}");
        assert!(answer.lines().count() > 10, "{answer}");
    }
}

#[test]
fn a_sound_array_with_a_spare_is_answered() {
    for command in ["check", "advise"] {
        let (code, answer, _) = run_with(&[command, "-"], &sound());
        assert_eq!(code, 0, "{answer}");
        assert!(answer.starts_with("goat barn "), "{answer}");
    }
}

#[test]
fn check_says_no_to_a_breach() {
    let (code, answer, _) = run_with(&["check", "-"], &too_cold());
    assert_eq!(code, 1, "{answer}");
    let second = answer.lines().nth(1).expect("has a second line");
    assert!(
        second.starts_with("Today's wiring BREACHES a limit: cold voltage 107.5 V"),
        "{second}"
    );
}

#[test]
fn advise_says_no_where_nothing_may_be_touched_and_a_limit_is_breached() {
    let (code, answer, _) = run_with(&["advise", "-", "--touch", "none"], &too_cold());
    assert_eq!(code, 1, "{answer}");
    assert!(answer.contains("No plan:"), "{answer}");
}

#[test]
fn advise_mends_a_breach_where_it_may_rewire() {
    let (code, answer, _) = run_with(&["advise", "-", "--touch", "free"], &too_cold());
    assert_eq!(code, 0, "{answer}");
    let unwrapped = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(unwrapped.contains("This breaches no limit."), "{answer}");
}

#[test]
fn levels_are_planned_once_each_from_the_least_disturbance() {
    let args = ["advise", "-", "--touch", "free", "--touch", "none,free", "--format", "json"];
    let (code, answer, _) = run_with(&args, &sound());
    assert_eq!(code, 0);
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    let levels: Vec<&str> = answer["levels"]
        .as_array()
        .expect("is a list")
        .iter()
        .filter_map(|l| l["touch"].as_str())
        .collect();
    assert_eq!(levels, ["none", "free"]);
}

#[test]
fn a_threshold_that_no_panel_meets_leaves_the_array_as_it_is() {
    let args = ["advise", "-", "--touch", "none", "--touch", "extend", "--threshold-watts", "1000"];
    let (code, answer, _) = run_with(&args, &sound());
    assert_eq!(code, 0, "{answer}");
    assert!(answer.lines().nth(1).is_some_and(|l| l.starts_with("Leave the array")), "{answer}");
}

#[test]
fn the_rule_of_thumb_answers_too_and_says_that_it_did() {
    let (code, answer, talk) = run_with(&["advise", "-", "--rule", "nameplate"], &sound());
    assert_eq!(code, 0, "{talk}");
    assert!(answer.contains("Plans, chosen by the rule of thumb"), "{answer}");
}

#[test]
fn json_answers_keep_to_the_schemas_the_program_prints() {
    for (command, schema) in [("advise", "advice"), ("check", "check")] {
        let (code, schema, _) = run(&mut sungraft(&["schema", schema]));
        assert_eq!(code, 0);
        let schema: Value = serde_json::from_str(&schema).expect("is JSON");
        for site in [sound(), too_cold()] {
            let (_, answer, _) = run_with(&[command, "-", "--format", "json"], &site);
            let answer: Value = serde_json::from_str(&answer).expect("is JSON");
            let validator = jsonschema::draft202012::new(&schema).expect("is a schema");
            let complaints: Vec<String> =
                validator.iter_errors(&answer).map(|e| e.to_string()).collect();
            assert_eq!(complaints, [""; 0]);
        }
    }
}

#[test]
fn csv_answers_are_one_table() {
    let (_, answer, _) = run_with(&["advise", "-", "--format", "csv"], &sound());
    let mut reader = csv::Reader::from_reader(answer.as_bytes());
    let rows = reader.records().collect::<Result<Vec<_>, _>>().expect("every row fits the header");
    assert!(rows.iter().any(|r| &r[1] == "spare" && &r[3] == "goat-160"));
}

#[test]
fn the_same_question_gives_the_same_bytes() {
    for format in ["table", "json", "csv"] {
        let args = ["advise", "-", "--format", format];
        assert_eq!(run_with(&args, &sound()), run_with(&args, &sound()));
    }
}

#[test]
fn a_real_page_fits_a_hundred_columns() {
    for command in ["advise", "check"] {
        for site in [sound(), too_cold()] {
            let (_, answer, _) = run_with(&[command, "-"], &site);
            let widest = answer.lines().map(|l| l.chars().count()).max();
            assert!(widest.is_some_and(|w| w <= 100), "{answer}");
        }
    }
}

#[test]
fn mistakes_in_the_site_file_go_to_standard_error_and_end_with_2() {
    let site = sound().replace("vmp_v: 18.4", "vmp_v: 31.0");
    let (code, answer, talk) = run_with(&["advise", "-"], &site);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("error") && talk.contains("vmp_v") && talk.contains("31"), "{talk}");
}

#[test]
fn a_joint_that_must_bring_watts_is_held_to_them_and_the_curve_says_what_joints_buy() {
    let ask = |more: &[&str]| {
        let args = [&["advise", "scenarios/seed-shed.yaml"], more].concat();
        let (code, answer, talk) = crate::run(&mut crate::sungraft(&args));
        assert_eq!((code, talk.as_str()), (0, ""));
        answer
    };
    let plain = ask(&[]);
    assert!(!plain.contains("Watts for joints"), "{plain}");
    let (dear, free) = (ask(&["--joint-worth", "5"]), ask(&["--joint-worth", "0"]));
    assert!(dear.contains("Watts for joints (* the best plan where a joint must bring 5 W)"));
    assert!(dear.contains("Leave orchard-60 out: worth a place, but not its joints"), "{dear}");
    // Nothing but the curve comes to an answer in which joints need bring nothing.
    let (before, after) = free.split_once("Watts for joints").expect("the curve is there");
    assert!(
        plain.starts_with(before) && plain.ends_with(after.split_once("\n\n").expect("more").1)
    );

    let answer: Value =
        serde_json::from_str(&ask(&["--joint-worth", "5", "--format", "json"])).expect("is JSON");
    let schema: Value =
        serde_json::from_str(include_str!("../../docs/advice.schema.json")).expect("is JSON");
    let validator = jsonschema::validator_for(&schema).expect("a sound schema");
    assert!(validator.is_valid(&answer), "{:?}", validator.iter_errors(&answer).next());
    let curve = &answer["joint_curve"];
    let points = curve["points"].as_array().expect("is a list");
    let chosen = &points[curve["chosen"].as_u64().expect("is a place") as usize];
    let best = &answer["plans"][answer["best"].as_u64().expect("is a place") as usize];
    for key in ["joints", "watts", "charged_watts"] {
        assert_eq!(chosen[key], best[key], "{key}");
    }
    assert_eq!(points[0]["joints"]["made"], 0);
    assert_eq!(points[0]["watts"], answer["today"]["watts"]);

    let rows = ask(&["--joint-worth", "5", "--format", "csv"]);
    assert_eq!(rows.lines().filter(|l| l.contains(",joint_curve,")).count(), points.len());
}
