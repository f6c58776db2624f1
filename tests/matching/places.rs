//! Which panel is meant by string and position, and what stands there.

use crate::run_scene;

#[test]
fn a_panel_on_the_second_input_is_found_by_its_letter() {
    let (code, answer, talk) = run_scene(&["--replace", "lantern-bakery", "B1", "2"]);
    assert_eq!(code, 0, "{talk}");
    assert!(answer.contains("bakery-250 at B1.2 of Lantern bakery"), "{answer}");
}

#[test]
fn a_panel_of_the_same_label_loses_nothing() {
    let (code, answer, talk) = run_scene(&["--replace", "heron-mill", "2", "3", "--format", "csv"]);
    assert_eq!(code, 0, "{talk}");
    let same = answer.lines().find(|l| l.contains(",tarn-160,")).expect("a substitute");
    let header: Vec<&str> = answer.lines().next().expect("a header").split(',').collect();
    let added = header.iter().position(|h| *h == "added_watts").expect("a column");
    let lost: f64 = same.split(',').nth(added).expect("a field").parse().expect("a number");
    assert!(lost.abs() < 0.01, "{lost} W");
}
