//! Every site file in `scenarios/` runs, answers what was read in review, and shows what it says it does.
//!
//! `SUNGRAFT_BLESS=1 cargo test --test scenarios` writes the answers in `tests/scenarios/` anew. The claims
//! below are written by hand and stay as they are: each holds what the comment in a scenario's head says.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use serde_json::{Value, json};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// Exit code and JSON answer of a command about a site file's text.
fn ask(command: &str, site: &str) -> (i32, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
        .args([command, "-", "--format", "json"])
        .write_stdin(site)
        .output()
        .expect("the program starts");
    let talk = String::from_utf8(output.stderr).expect("is UTF-8");
    assert_eq!(talk, "", "a scenario is read without a warning");
    let answer = String::from_utf8(output.stdout).expect("is UTF-8");
    (output.status.code().expect("ends by itself"), answer)
}

fn text(scenario: &str) -> String {
    fs::read_to_string(folder("scenarios").join(scenario).with_extension("yaml")).expect("readable")
}

fn advice(scenario: &str) -> Value {
    let (code, answer) = ask("advise", &text(scenario));
    assert_eq!(code, 0, "{answer}");
    serde_json::from_str(&answer).expect("is JSON")
}

fn check(site: &str) -> (i32, Value) {
    let (code, answer) = ask("check", site);
    (code, serde_json::from_str(&answer).expect("is JSON"))
}

/// The site file with one piece of its text replaced, which must be there.
fn changed(scenario: &str, from: &str, to: &str) -> String {
    let site = text(scenario);
    assert!(site.contains(from), "{scenario} has {from}");
    site.replace(from, to)
}

fn stems(dir: &str, ending: &str) -> BTreeSet<String> {
    fs::read_dir(folder(dir))
        .expect("the folder is there")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|e| e == ending))
        .map(|path| path.file_stem().expect("has a name").to_string_lossy().into_owned())
        .collect()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn best(advice: &Value) -> &Value {
    let at = advice["best"].as_u64().expect("there is a best plan");
    &advice["plans"][at as usize]
}

fn strings(state: &Value) -> &Value {
    &state["wiring"][0]["strings"]
}

fn spare<'a>(advice: &'a Value, kind: &str) -> &'a Value {
    entry(&advice["spares"], "kind", kind)
}

fn rule<'a>(state: &'a Value, rule: &str) -> &'a Value {
    entry(&state["checks"], "rule", rule)
}

fn entry<'a>(list: &'a Value, key: &str, name: &str) -> &'a Value {
    let list = list.as_array().expect("is a list");
    list.iter().find(|e| e[key] == name).unwrap_or_else(|| panic!("no {name} in {list:?}"))
}

#[test]
fn scenarios_answer_what_was_read_in_review() {
    let bless = std::env::var_os("SUNGRAFT_BLESS").is_some();
    let mut differences = Vec::new();
    for scenario in stems("scenarios", "yaml") {
        let (code, answer) = ask("advise", &text(&scenario));
        assert_eq!(code, 0, "{scenario}: {answer}");
        let path = folder("tests/scenarios").join(&scenario).with_extension("json");
        if bless {
            fs::write(&path, &answer).expect("can write the answer");
        }
        match fs::read_to_string(&path) {
            Ok(wanted) if wanted == answer => {}
            Ok(wanted) => differences.push(first_difference(&scenario, &wanted, &answer)),
            Err(error) => differences.push(format!("{scenario}: {error}")),
        }
    }
    assert!(differences.is_empty(), "{}", differences.join("\n"));
    assert_eq!(stems("scenarios", "yaml"), stems("tests/scenarios", "json"), "none is left over");
}

fn first_difference(scenario: &str, wanted: &str, found: &str) -> String {
    let mut lines = wanted.lines().zip(found.lines()).enumerate();
    let (at, (wanted, found)) =
        lines.find(|(_, (w, f))| w != f).unwrap_or((0, ("", "one is longer")));
    format!("{scenario}, line {}:\n  wanted {wanted}\n  found  {found}", at + 1)
}

#[test]
fn every_scenario_says_in_its_head_what_it_shows() {
    for scenario in stems("scenarios", "yaml") {
        let site = text(&scenario);
        let words = site.lines().take_while(|l| l.starts_with('#')).flat_map(str::split_whitespace);
        assert!(words.count() > 20, "{scenario}");
    }
}

#[test]
fn every_plan_of_every_scenario_is_proven_and_breaches_nothing() {
    for scenario in stems("scenarios", "yaml") {
        let advice = advice(&scenario);
        for plan in advice["plans"].as_array().expect("is a list") {
            // Where energy was sought, the proof is of that.
            let (proof, unit, rounding) = match plan.get("energy_proof") {
                Some(proof) => (proof, ("brings_kwh", "bound_kwh"), 0.01),
                None => (plan, ("watts", "bound_watts"), 0.01),
            };
            assert_eq!(proof["proven"], json!(true), "{scenario}");
            let (brings, bound) = (number(&proof[unit.0]), number(&proof[unit.1]));
            // Charged figures are these less a charge: 0.1 % of them is at most 0.1 % of these.
            let most = brings * 1.001 + rounding;
            assert!(brings <= bound + rounding && bound <= most, "{scenario}");
            for check in plan["checks"].as_array().expect("is a list") {
                assert_ne!(check["outcome"], "breach", "{scenario}: {check}");
            }
        }
    }
}

#[test]
fn seed_shed_uses_all_three_and_new_strings_alone_bring_nearly_as_much() {
    let advice = advice("seed-shed");
    for (kind, count) in [("creek-90", 2), ("orchard-60", 1)] {
        assert_eq!(spare(&advice, kind)["verdict"], "adds");
        assert_eq!(spare(&advice, kind)["used"], count);
    }
    let plan_of = |touch| entry(&advice["plans"], "touch", touch);
    let (none, free) = (plan_of("none"), plan_of("free"));
    assert_eq!(best(&advice), free);
    assert_eq!(none["joints"]["opened"], 0);
    let (some, all) = (number(&none["added_watts"]), number(&free["added_watts"]));
    assert!(all > some && some > 0.9 * all, "{some} W, {all} W");
    // Beside today's strings, the smallest one finds no place.
    assert!(!strings(none).to_string().contains("orchard-60"));
    assert!(strings(none).to_string().contains("creek-90"));
}

#[test]
fn the_apiary_s_two_pay_side_by_side_and_one_alone_adds_nothing() {
    let advice = advice("apiary-block");
    let block = json!(["comb-50", "comb-50"]);
    let string = &strings(best(&advice))[0];
    assert!(string.as_array().expect("is a list").contains(&block), "{string}");
    assert!(number(&best(&advice)["added_watts"]) > 0.95 * 100.0);
    let alone = changed("apiary-block", "count: 2", "count: 1");
    let (_, alone) = ask("advise", &alone);
    let alone: Value = serde_json::from_str(&alone).expect("is JSON");
    assert_eq!(spare(&alone, "comb-50")["verdict"], "adds_nothing");
    assert_eq!(number(&best(&alone)["added_watts"]), 0.0);
}

#[test]
fn the_barn_s_small_panel_adds_nothing_nor_do_two_of_it() {
    for site in [text("cider-barn"), changed("cider-barn", "count: 1", "count: 2")] {
        let (_, answer) = ask("advise", &site);
        let advice: Value = serde_json::from_str(&answer).expect("is JSON");
        assert_eq!(spare(&advice, "gate-30")["verdict"], "adds_nothing");
        assert_eq!(number(&best(&advice)["added_watts"]), 0.0);
    }
}

#[test]
fn the_kiosk_s_small_panel_adds_nothing_and_simply_paralleled_it_takes_watts_away() {
    let before = advice("ferry-kiosk");
    assert_eq!(spare(&before, "buoy-100")["verdict"], "adds_nothing");
    let (code, after) = check(&text("ferry-kiosk-paralleled"));
    assert_eq!(code, 1, "a breach");
    let watts = number(&after["today"]["watts"]);
    assert!(watts < 300.0 && watts < number(&before["today"]["watts"]) / 2.0, "{watts} W");
    let idle = rule(&after["today"], "idle_reverse_current");
    assert_eq!((&idle["outcome"], &idle["string"]), (&json!("breach"), &json!(2)));
    assert!(number(&idle["value"]) > 10.0, "{idle}");
    let breaches = after["today"]["checks"].as_array().expect("is a list");
    assert_eq!(breaches.iter().filter(|c| c["outcome"] == "breach").count(), 1);
}

#[test]
fn the_paralleled_kiosk_is_mended_by_taking_the_small_panel_out() {
    let advice = advice("ferry-kiosk-paralleled");
    assert_eq!(advice["idle"][0]["kind"], "buoy-100");
    assert_eq!(strings(best(&advice)), &json!([["kiosk-330", "kiosk-330"]]));
    for level in ["none", "extend"] {
        assert_eq!(entry(&advice["levels"], "touch", level)["result"], "no_plan");
    }
}

#[test]
fn the_cabin_s_fourth_panel_would_pass_150_volts_on_a_cold_morning() {
    let advice = advice("ridge-cabin");
    let ridge = spare(&advice, "ridge-270");
    assert_eq!((&ridge["verdict"], &ridge["used"]), (&json!("breaches"), &json!(0)));
    let because = ridge["because"].as_str().expect("is said");
    assert!(because.contains("coldest morning") && because.contains("150 V"), "{because}");
    let four = changed(
        "ridge-cabin",
        "[ridge-270, ridge-270, ridge-270]",
        "[ridge-270, ridge-270, ridge-270, ridge-270]",
    );
    let (code, four) = check(&four);
    assert_eq!(code, 1);
    assert_eq!(rule(&four["today"], "cold_voc")["outcome"], "breach");
    assert!(number(&rule(&four["today"], "cold_voc")["value"]) > 150.0);
}

#[test]
fn the_boat_house_s_unequal_strings_lose_hardly_a_watt() {
    let advice = advice("boat-house");
    let plan = best(&advice);
    assert!(number(&plan["utilization"]) > 0.995);
    assert_eq!(spare(&advice, "skiff-200")["used"], 3);
    assert_eq!(plan["joints"]["opened"], 0);
    assert_eq!(
        strings(plan),
        &json!([["pier-250", "pier-250"], ["skiff-200", "skiff-200", "skiff-200"]])
    );
}

#[test]
fn the_garden_s_sleeping_panel_wakes_beside_another_of_its_kind() {
    let advice = advice("school-garden");
    let bypassed =
        |state: &Value| state["wiring"][0]["string_states"][0]["bypassed_elements"].clone();
    assert_eq!(bypassed(&advice["today"]).as_array().map(Vec::len), Some(1));
    assert_eq!(bypassed(best(&advice)), json!([]));
    let (_, today) = check(&text("school-garden"));
    assert_eq!(today["idle"][0]["kind"], "shade-85");
    let plan = strings(best(&advice));
    assert_eq!(plan, &json!([["garden-310", "garden-310", ["shade-85", "shade-85"]]]));
    assert!(number(&best(&advice)["added_watts"]) > 0.95 * 170.0);
    // Asleep it costs a volt: without it the string gives a few watts more.
    let without = changed("school-garden", ", shade-85]", "]");
    let (_, without) = check(&without);
    let lost = number(&without["today"]["watts"]) - number(&today["today"]["watts"]);
    assert!(0.0 < lost && lost < 15.0, "{lost} W");
}

#[test]
fn the_pasture_s_pwm_controller_wastes_half_of_the_large_panel() {
    let advice = advice("pasture-pwm");
    let plan = best(&advice);
    assert_eq!(plan["wiring"][0]["volts"], advice["today"]["wiring"][0]["volts"]);
    for kind in ["fence-100", "house-260"] {
        assert_eq!(spare(&advice, kind)["verdict"], "adds");
    }
    let house = number(&spare(&advice, "house-260")["adds_watts"]);
    assert!(0.45 * 260.0 < house && house < 0.55 * 260.0, "{house} W of 260 W");
    // In series with the small one, the large one gives what it gives alone.
    let watts_as = |string: &str| {
        let (_, answer) = check(&changed("pasture-pwm", "- [fence-100]", string));
        let cold = rule(&answer["today"], "cold_voc")["outcome"].clone();
        (number(&answer["today"]["watts"]), cold)
    };
    let (alone, _) = watts_as("- [house-260]");
    let (in_series, cold) = watts_as("- [fence-100, house-260]");
    assert!((alone - in_series).abs() < 1.0, "{alone} W, {in_series} W");
    assert_eq!(cold, "breach");
}

#[test]
fn the_hill_s_controller_clips_at_noon_and_the_spare_pays_in_weak_sun_only() {
    let advice = advice("hilltop-clipping");
    let relay = spare(&advice, "relay-170");
    assert_eq!((&relay["verdict"], &relay["used"]), (&json!("adds_in_weak_sun"), &json!(1)));
    let clipped = number(&advice["today"]["clipped_watts"]);
    assert!(clipped < number(&advice["today"]["watts"]));
    assert_eq!(number(&best(&advice)["clipped_watts"]), clipped);
    let check = rule(best(&advice), "charge_limit");
    assert_eq!(check["outcome"], "caution", "clipping is no breach");
    // Over the year it brings about a third more, and most of its noon is clipped.
    let energy = &advice["energy"];
    let plan = &energy["plans"][advice["best"].as_u64().expect("a plan") as usize];
    assert_eq!(plan["added_kwh"], relay["adds_kwh"]);
    assert!(number(&plan["kwh"]) > 1.3 * number(&energy["today"]["kwh"]));
    assert!(number(&plan["clipped_hours"]) > 10.0 * number(&energy["today"]["clipped_hours"]));
    let without = number(&energy["today"]["worst_month_kwh_day"]);
    assert!(number(&plan["worst_month_kwh_day"]) > 1.3 * without);
}

#[test]
fn the_toll_house_earns_back_what_it_buys_and_sells_what_earns_less() {
    let site = text("toll-house");
    let advice = advice("toll-house");
    assert_eq!(advice["aim"], "year");
    let money = &advice["money"];
    let (bought, owned) =
        (entry(&money["spares"], "kind", "weir-200"), entry(&money["spares"], "kind", "toll-110"));
    // What the plan loses without the kind, at 0.12 a kWh over 8 years, is at least what all that it
    // wires may cost.
    let weir = spare(&advice, "weir-200");
    let used = number(&weir["used"]);
    let earns = number(&weir["adds_kwh"]) * 0.12 * 8.0;
    assert!(used >= 1.0 && number(&bought["worth_each"]) * used <= earns + 0.05);
    assert!(number(&bought["worth_each"]) > number(&bought["price"]));
    let cost = &money["cost"];
    assert_eq!(number(&cost["panels"]), 45.0 * used);
    let energy = &advice["energy"];
    let plan = &energy["plans"][advice["best"].as_u64().expect("a plan") as usize];
    let added = number(&plan["added_kwh"]);
    let years = number(&cost["payback_years"]["least"]);
    assert!((years - 45.0 * used / (added * 0.12)).abs() < 0.01, "{years}");
    // What is better sold earns less here than it sells for.
    let sell = &owned["sell"];
    assert!(number(&sell["count"]) >= 1.0 && number(&sell["earns_each"]) < number(&sell["resale"]));
    // Nobody buys at less than nothing.
    let (_, answer) = ask("advise", &site.replace("    resale: 65\n", "    resale: 0\n"));
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    assert_eq!(entry(&answer["money"]["spares"], "kind", "toll-110")["sell"], json!(null));
}

#[test]
fn the_cheese_loft_gains_by_moving_panels_between_its_inputs() {
    let advice = advice("cheese-loft");
    let plan = best(&advice);
    assert_eq!(advice["planned_together"].as_array().map(Vec::len), Some(2));
    // Summing labels: 4 × 400 W on the one side, 5 × 250 W on the other, each string of one kind.
    assert!((number(&plan["watts"]) - 2850.0).abs() < 1.0);
    let moves = plan["moves"].as_array().expect("the odd panels change places");
    assert_eq!(moves.len(), 2, "{moves:?}");
    for moved in moves {
        assert_eq!(moved["count"], 1, "one of each kind is enough: {moved}");
    }
    assert_eq!(spare(&advice, "rind-250")["used"], 1);
}

#[test]
fn the_mill_plans_both_inputs_together_and_adds_one_string() {
    let advice = advice("mill-two-roofs");
    assert_eq!(advice["today"]["wiring"].as_array().map(Vec::len), Some(2));
    assert_eq!(advice["planned"]["input"], 1);
    let (today, plan) = (&advice["today"]["wiring"][0], &best(&advice)["wiring"][0]);
    assert_eq!((&plan["input"], &plan["strings"]), (&json!(1), &today["strings"]));
    assert_eq!(plan["watts"], today["watts"]);
    assert_eq!(advice["planned_together"][1], json!({ "controller": "mill", "input": 2 }));
    for (kind, count) in [("mill-300", 1), ("race-280", 2)] {
        assert_eq!(spare(&advice, kind)["used"], count);
    }
}

#[test]
fn the_print_works_makes_strings_of_one_roof_face_each() {
    let answer = advice("print-works");
    let south = json!(["south-face", "south-face"]);
    let west = json!(["west-face", "west-face"]);
    assert_eq!(best(&answer)["wiring"][0]["planes"], json!([south, south, west]));
    let put_up = json!([{ "plane": "south-face", "used": 1 }, { "plane": "west-face", "used": 2 }]);
    assert_eq!(spare(&answer, "works-200")["put_up"], put_up);
    let light = |plane: &str| number(&entry(&answer["planes"], "id", plane)["design_w_m2"]);
    assert_eq!(light("south-face"), 1000.0);
    assert!(light("west-face") < 700.0);
    // Labels stay, so weaker light lowers the share used.
    assert!(number(&best(&answer)["utilization"]) < 0.9);
    // With the sun in the west the other face is the brighter one.
    let evening = "design_sun: { elevation_deg: 35, azimuth_deg: 270 }";
    let (_, later) = ask("advise", &changed("print-works", "design_plane: south-face", evening));
    let later: Value = serde_json::from_str(&later).expect("is JSON");
    let light = |plane: &str| number(&entry(&later["planes"], "id", plane)["design_w_m2"]);
    assert!(light("west-face") > light("south-face"));
    assert_eq!(later["design_sun"]["plane"], Value::Null);
    // A day and a year do not ask which sun watts are compared under.
    assert_eq!(later["energy"]["today"]["kwh"], answer["energy"]["today"]["kwh"]);
}

#[test]
fn the_terrace_s_cable_serves_one_string_and_is_too_small_for_two() {
    let advice = advice("terrace-long-run");
    assert_eq!(spare(&advice, "terrace-250")["used"], 3);
    let array = |answer: &Value| entry(&answer["cables"], "run", "array").clone();
    let planned = array(&advice);
    assert_eq!(planned["too_small"], true);
    assert!(number(&planned["must_carry_amps"]) > number(&planned["may_carry_amps"]));
    let lost = number(&planned["drop_percent"]);
    assert!(5.5 < lost && lost < 6.0, "{lost} %");
    let (_, today) = check(&text("terrace-long-run"));
    assert_eq!(array(&today)["too_small"], false);
    assert!(number(&array(&today)["drop_percent"]) < 3.0);
    // The list has the size that serves, and with it the drop is small.
    let parts = advice["parts"].as_array().expect("is a list");
    let cable = parts.iter().find(|p| p["part"] == "cable" && p["run"] == "array");
    let area = number(&cable.expect("a larger cable")["area_mm2"]);
    let larger = changed("terrace-long-run", "area_mm2: 2.5", &format!("area_mm2: {area}"));
    let (_, answer) = ask("advise", &larger);
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    assert_eq!(array(&answer)["too_small"], false);
    assert!(number(&array(&answer)["drop_percent"]) <= 3.0);
    assert_eq!(best(&answer)["watts"], best(&advice)["watts"], "watts are those at the panels");
}

#[test]
fn the_kiln_s_small_panels_get_a_controller_of_their_own() {
    let answer = advice("kiln-shelf");
    let shelf = entry(&answer["spare_controllers"], "id", "shelf");
    assert_eq!((&shelf["used"], &shelf["verdict"]), (&json!(1), &json!("adds")));
    assert!(number(&shelf["adds_watts"]) > 290.0, "{shelf}");
    let plan = best(&answer);
    assert_eq!(plan["wiring"][1]["controller"], "shelf");
    assert_eq!(plan["wiring"][1]["strings"], json!([["glaze-100", "glaze-100", "glaze-100"]]));
    // Two joints for each string's end, two inside the string, four for the controller.
    assert_eq!(plan["joints"], json!({ "opened": 0, "made": 8 }));
    let battery = rule(plan, "battery_charge");
    assert_eq!((number(&battery["value"]), number(&battery["limit"])), (47.5, 50.0));
    for part in ["controller", "battery_fuse"] {
        entry(&answer["parts"], "part", part);
    }

    // 35 A by the old controller's limit leave 9 A of 44, and two panels push 8.3.
    let site = changed("kiln-shelf", "battery_charge_a: 50", "battery_charge_a: 44");
    let (_, answer) = ask("advise", &site);
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    assert_eq!(spare(&answer, "glaze-100")["used"], 2);
    let because = spare(&answer, "glaze-100")["because"].as_str().expect("is text");
    assert!(because.contains("the battery takes at most 44 A"), "{because}");

    // Nothing on the shelf: the class that would carry them is named.
    let site = text("kiln-shelf");
    let site = &site[..site.find("\nspare_controllers:").expect("it has some")];
    let (_, answer) = ask("advise", site);
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    assert_eq!(spare(&answer, "glaze-100")["used"], 0);
    let class = &answer["own_controllers"][0]["classes"][0];
    // Three stand 75.6 V on the coldest morning; 300 W are 10.4 A at 28.8 V.
    assert_eq!((number(&class["max_pv_v"]), number(&class["charge_a"])), (100.0, 15.0));
    assert!(number(&class["watts"]) > 290.0 && number(&class["kwh"]) > 300.0, "{class}");
}

#[test]
fn the_lock_hut_s_leftovers_are_told_their_controller() {
    let answer = advice("lock-hut");
    assert_eq!(best(&answer)["joints"], json!({ "opened": 0, "made": 0 }));
    let own = answer["own_controllers"].as_array().expect("is a list");
    assert_eq!(own.len(), 3, "each sort, and both together");
    let both = &own[2]["classes"][0];
    assert_eq!((number(&both["max_pv_v"]), number(&both["charge_a"])), (50.0, 15.0));
    assert!(number(&both["watts"]) > 175.0, "{both}");
    assert!(own[2]["words"].as_str().is_some_and(|w| w.contains("MPPT of at least 50 V and 15 A")));
}

#[test]
fn a_controller_of_its_own_is_one_figure_wherever_it_stands() {
    let mut compared = 0;
    for scenario in stems("scenarios", "yaml") {
        let answer = advice(&scenario);
        let Some(own) = answer["own_controllers"].as_array() else { continue };
        for place in own.iter().filter(|o| o["panels"].as_array().is_some_and(|p| p.len() == 1)) {
            let panels = &place["panels"][0];
            let kind = panels["kind"].as_str().expect("is text");
            let helps = spare(&answer, kind)["helps"].as_array().expect("is a list").clone();
            let Some(help) = helps.iter().find(|h| h["change"] == "own_controller") else {
                continue;
            };
            assert_eq!(help["unlocks_watts"], place["classes"][0]["watts"], "{scenario}: {kind}");
            compared += 1;
        }
    }
    assert!(compared >= 3, "{compared} compared");
}

#[test]
fn a_spare_controller_passes_what_an_installed_one_would_clip() {
    let spare_controller = "\nspare_controllers:\n  - id: second\n    type: mppt\n    battery_v: 12\n    \
                            charge_a: 20\n    max_pv_v: 100\n    window_v: [16, 95]\n    max_pv_a: 30\n    \
                            string_ports: 2\n    count: 1\n";
    let (code, answer) = ask("advise", &(text("hilltop-clipping") + spare_controller));
    assert_eq!(code, 0, "{answer}");
    let answer: Value = serde_json::from_str(&answer).expect("is JSON");
    let second = entry(&answer["spare_controllers"], "id", "second");
    assert_eq!((&second["used"], &second["verdict"]), (&json!(1), &json!("adds")));
    // The installed one passes 288 W of 510 W, if all panels are on it.
    assert!(number(&best(&answer)["clipped_watts"]) > 440.0, "{}", best(&answer)["clipped_watts"]);
    assert!(number(&second["adds_watts"]) > 150.0, "{second}");
}
