//! What the steps say, read off the report.

use sungraft::planner::{self, Options};
use sungraft::report::{self, ReportForm, SiteFile};

/// The steps of a scene's report, one text for each.
fn steps_of(scene: &str) -> Vec<String> {
    let path = format!("{}/scenarios/{scene}.yaml", env!("CARGO_MANIFEST_DIR"));
    said(scene, &std::fs::read_to_string(path).expect("the scene is there"))
}

fn said(scene: &str, text: &str) -> Vec<String> {
    let site = sungraft::input::read_site(scene, text.as_bytes()).expect("it reads").value;
    let advice = planner::advise(&site, &Options::default()).expect("it is planned");
    let method = planner::method(&site, &advice, None).expect("the labels have curves");
    let file = SiteFile { name: scene, text };
    let page = report::report(&site, &advice, method.as_ref(), file, ReportForm::Markdown);
    let page = page.replace('\u{a0}', " ");
    let (_, steps) = page.split_once("\n## Steps\n").expect("a section of steps");
    let steps = steps.split("\n## ").next().expect("the section itself");
    steps.split("**Live:**").map(str::to_owned).collect()
}

/// The first step that says this.
fn step(steps: &[String], text: &str) -> usize {
    let at = steps.iter().position(|s| s.contains(text));
    at.unwrap_or_else(|| panic!("{text:?} is not in {steps:#?}"))
}

#[test]
fn what_keeps_a_person_alive_stands_in_its_place() {
    let steps = steps_of("seed-shed");
    let order = [
        "Measure its polarity and open voltage by itself",
        "Open the array's DC disconnect",
        "a DC clamp meter on the array's conductor reads zero amps",
        "Take the strings of shed, input 1 off the combiner",
        "Every open lead is capped",
        "Before panels are put side by side: polarity and open voltage of each",
        "it is joined to nothing yet",
        "Polarity is right and the voltage lies in its band",
        "Close the strings one after another",
        "battery before array",
        "Close the array's disconnect",
        "None is warmer than its neighbours",
    ];
    let places: Vec<usize> = order.iter().map(|text| step(&steps, text)).collect();
    assert!(places.is_sorted(), "{places:?}");
    // Every step says how high the voltage can be.
    assert!(steps[1..].iter().all(|s| s.lines().next().is_some_and(|l| l.contains(" V"))));
}

#[test]
fn each_fuse_is_fitted_where_it_belongs_before_its_string_is_closed() {
    let steps = steps_of("seed-shed");
    // The limits of this wiring ask for 15 A in string 2 and for one in the lead of each member.
    let string = step(&steps, "Fit a fuse of 15 A in the holder of string 2.");
    let member = step(&steps, "Fit a fuse of 6 A in the lead of new 3 (orchard-60), rated for DC.");
    assert!(member < string);
    assert!(steps[string].find("Fit a fuse of 15 A") < steps[string].find("Close the strings"));
    // One string without blocks needs none, and the step says so.
    let steps = steps_of("terrace-long-run");
    step(&steps, "No string needs a fuse by the rules that are checked here.");
}

#[test]
fn a_controller_without_a_battery_is_switched_as_its_manual_says() {
    let scene = include_str!("../../scenarios/terrace-long-run.yaml");
    let (scene, _) = scene.split_once("\nruns:").expect("it ends with its cables");
    let of_battery = ["battery_v:", "charge_a:"];
    let lines = scene.lines().filter(|l| !of_battery.iter().any(|key| l.contains(key)));
    let scene: Vec<&str> = lines.collect();
    let steps = said("terrace", &scene.join("\n"));
    step(&steps, "Switch the converter off as its manual says");
    step(&steps, "Switch the converter on as its manual says");
    assert!(steps.iter().all(|s| !s.contains("battery before array")));
}
