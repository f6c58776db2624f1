//! Spare controllers, and a battery's limit, from the command line.

use crate::run_with;

const KILN: &str = include_str!("../../scenarios/kiln-shelf.yaml");

fn kiln(from: &str, to: &str) -> String {
    assert!(KILN.contains(from), "{from}");
    KILN.replace(from, to)
}

#[test]
fn a_spare_controller_must_bring_what_is_asked_of_it() {
    let (code, page, _) = run_with(&["advise", "-"], KILN);
    assert_eq!(code, 0);
    assert!(page.contains("Add all 3 glaze-100 and the spare controller shelf"), "{page}");
    let (code, page, _) = run_with(&["advise", "-", "--controller-watts", "400"], KILN);
    assert_eq!(code, 0);
    assert!(page.contains("Leave the spare controller shelf where it is"), "{page}");
    assert!(page.contains("too little for its place"), "{page}");
}

#[test]
fn check_knows_nothing_of_spare_controllers() {
    let at = KILN.find("\nspare_controllers:").expect("it has some");
    let without = &KILN[..at];
    for format in ["table", "json", "csv"] {
        let args = ["check", "-", "--format", format];
        assert_eq!(run_with(&args, KILN), run_with(&args, without));
    }
}

#[test]
fn one_input_is_planned_without_spare_controllers() {
    let (code, page, _) = run_with(&["advise", "-", "--input", "kiln"], KILN);
    assert_eq!(code, 0);
    assert!(!page.contains("shelf"), "{page}");
    let (code, _, talk) = run_with(&["advise", "-", "--input", "shelf"], KILN);
    assert_eq!(code, 2);
    assert!(talk.contains("there is no controller `shelf`"), "{talk}");
}

#[test]
fn a_wiring_that_pushes_more_than_the_battery_takes_is_a_breach() {
    let tight = kiln("battery_charge_a: 50", "battery_charge_a: 30");
    let (code, page, _) = run_with(&["check", "-"], &tight);
    assert_eq!(code, 1);
    let breach =
        "up to 35.0 A could be pushed into the battery (kiln 35.0 A), which takes at most 30.0 A";
    let flat: Vec<&str> = page.split_whitespace().collect();
    assert!(flat.join(" ").contains(breach), "{page}");
    let (code, page, _) = run_with(&["advise", "-"], &tight);
    assert_eq!(code, 0, "panels taken off the array bring it within the limit: {page}");
    assert!(page.contains("BREACHES a limit: battery charge 35 A, at most 30 A"), "{page}");
}

#[test]
fn a_controller_for_another_battery_is_told_and_left_out() {
    let shelf = KILN.find("  - id: shelf").expect("it is there");
    let (before, own) = KILN.split_at(shelf);
    let site = before.to_owned()
        + &own
            .replace("battery_v: 24", "battery_v: 12")
            .replace("charge_v: 28.8", "charge_v: 14.4");
    let (code, page, talk) = run_with(&["advise", "-"], &site);
    assert_eq!(code, 0);
    assert!(talk.contains("W418"), "{talk}");
    let flat: Vec<&str> = page.split_whitespace().collect();
    let why = "it charges a battery of 12 V, and the installed controllers charge one of 24 V";
    assert!(flat.join(" ").contains(why), "{page}");
}

#[test]
fn five_hundred_on_a_shelf_are_answered_as_soon_as_a_few() {
    let many = kiln("    count: 1\n    price: 70", "    count: 500\n    price: 70");
    let (code, page, _) = run_with(&["advise", "-"], &many);
    assert_eq!(code, 0);
    assert!(page.contains("one spare controller shelf"), "{page}");
    assert!(page.contains("1 of 500"), "{page}");
}
