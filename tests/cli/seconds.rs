//! A search that is told to end after a time.

use serde_json::Value;

use crate::{run, run_with, sungraft};

/// 28 panels of 6 kinds, three of them wired today: seconds of work.
fn large(n_inputs: usize) -> String {
    let ports = 8 / n_inputs;
    include_str!("../bench/large.yaml")
        .replace(
            "    string_ports: 8",
            &format!("    inputs: {n_inputs}\n    string_ports: {ports}"),
        )
        .replace(
            "installed: []",
            "installed:\n  - controller: acre\n    input: 1\n    strings:\n      \
             - [barn-250, barn-250, barn-250]",
        )
}

#[test]
fn a_search_that_is_stopped_answers_with_the_best_so_far_a_bound_and_what_is_open() {
    for n_inputs in [1, 2] {
        let args = ["advise", "-", "--seconds", "0.01", "--format", "json"];
        let (code, answer, talk) = run_with(&args, &large(n_inputs));
        assert_eq!((code, talk.as_str()), (0, ""), "no line where no terminal reads it");
        let answer: Value = serde_json::from_str(&answer).expect("is JSON");
        let plans = answer["plans"].as_array().expect("a list");
        assert!(!plans.is_empty(), "today's wiring is a plan");
        for plan in plans {
            let (watts, bound) = (plan["watts"].as_f64(), plan["bound_watts"].as_f64());
            assert!(watts <= bound && plan["proven"] == false, "{plan}");
        }
        let spares = answer["spares"].as_array().expect("a list");
        for spare in spares {
            assert_eq!(spare["verdict"], "not_worked_out");
            assert_eq!(spare["because"], "not worked out: stopped after 0.01 s");
        }
        let notes = answer["notes"].to_string();
        assert!(notes.contains("Stopped after 0.01 s") && spares.len() == 6, "{notes}");
    }
}

#[test]
fn time_enough_changes_nothing() {
    let args = ["advise", "scenarios/seed-shed.yaml", "--format", "json"];
    let without = run(&mut sungraft(&args));
    let with = run(sungraft(&args).args(["--seconds", "100000"]));
    assert_eq!(with, without);
}

#[test]
fn seconds_are_a_number_above_zero() {
    for (seconds, wanted) in [("0", "must be above 0"), ("5s", "write it without a unit")] {
        let (code, answer, talk) = run_with(&["advise", "-", "--seconds", seconds], "");
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains(wanted), "{talk}");
    }
}
