//! The figures that the lesson says are those of the rule's and the curves' own code.

use sungraft::electrical::Catalog;
use sungraft::plan::{BusPlace, Evaluator};
use sungraft::report::{ReportForm, lesson};

use crate::{installation, lesson_on, scenarios};

/// A text without line breaks and without spaces that do not break.
fn unwrapped(text: &str) -> String {
    text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// As a sum by hand is shown: at most two decimals.
fn by_hand(x: f64) -> String {
    let text = format!("{:.2}", (x * 100.0).round() / 100.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[test]
fn every_input_string_and_loss_is_said_with_its_figures() {
    for name in scenarios() {
        let site = installation(&name);
        let (advice, of) = lesson_on(&site);
        let said = unwrapped(&lesson(&site, &advice, &of, ReportForm::Text));
        let catalog = Catalog::fit(&site.kinds).expect("labels have curves");
        let evaluator = Evaluator::new(&site, &catalog);
        for wiring in site.installed.iter().filter(|w| !w.array.strings.is_empty()) {
            let state = evaluator.input_state(wiring);
            let hold = |part: &str| assert!(said.contains(part), "{name}: {part}");
            if state.power.watts() > 0.0 {
                hold(&format!(
                    "at {:.1} V and {:.2} A, which is {:.1} W",
                    state.v.volts(),
                    state.i.amps(),
                    state.power.watts()
                ));
            }
            for string in &state.strings {
                hold(&format!("{:.1} W, where the rule has", string.power.watts().abs()));
            }
            if state.nameplate.watts() > 0.0 {
                hold(&format!("= {} W by the rule of thumb.", by_hand(state.nameplate.watts())));
            }
        }
        for worked in of.today.iter().chain(of.ways.iter().map(|w| &w.worked)).chain(&of.best) {
            for loss in &worked.sum.losses {
                let shown = format!("{} W", by_hand(loss.watts.watts()));
                // A label's rounding alone is said in words.
                if worked.sum.losses.len() > 1 {
                    assert!(said.contains(&shown), "{name}: {shown}");
                }
            }
        }
    }
}

#[test]
fn what_is_added_beyond_the_window_is_explained() {
    let site = installation("seed-shed");
    let (advice, of) = lesson_on(&site);
    let below = of.ways.iter().find(|w| w.worked.sum.place == BusPlace::Below);
    let below = below.expect("a single small panel in parallel pulls the bus below the window");
    assert!(!below.worked.breaches.is_empty());
    let said = unwrapped(&lesson(&site, &advice, &of, ReportForm::Text));
    assert!(said.contains("is below 32 V, the least that the controller can work with"), "{said}");
    assert!(said.contains("Do not build this: it BREACHES"), "{said}");
}

#[test]
fn a_pwm_controller_is_said_to_hold_the_array_at_its_battery() {
    let site = installation("pasture-pwm");
    let (advice, of) = lesson_on(&site);
    let said = unwrapped(&lesson(&site, &advice, &of, ReportForm::Text));
    assert!(said.contains("its battery's charging voltage"), "{said}");
    assert!(of.today.iter().any(|w| w.sum.place == BusPlace::Above));
}

#[test]
fn pages_fit_a_hundred_columns_and_carry_the_cautions() {
    for name in scenarios() {
        let site = installation(&name);
        let (advice, of) = lesson_on(&site);
        for form in [ReportForm::Text, ReportForm::Html, ReportForm::Markdown] {
            let page = lesson(&site, &advice, &of, form);
            let said = unwrapped(&page);
            assert!(said.contains("prove zero amps with a clamp meter"), "{name}");
            assert!(said.contains("a licensed person have the last word"), "{name}");
            if form == ReportForm::Text {
                let widest = page.lines().map(|l| l.chars().count()).max();
                assert!(widest.is_some_and(|w| w <= 100), "{name}: {widest:?}");
            }
            if form == ReportForm::Html {
                let n_plots = page.matches("<svg").count();
                assert!(n_plots > of.today.len() + of.ways.len(), "{name}: {n_plots}");
            }
        }
    }
}

#[test]
fn cable_is_worked_in_the_units_it_is_given_in() {
    let site = |runs: &str| {
        let text = std::fs::read_to_string(crate::scenario("seed-shed")).expect("is there");
        let text =
            format!("{text}\nruns:\n  - controller: shed\n    input: 1\n    part: array\n{runs}");
        sungraft::input::read_site("runs", text.as_bytes()).map(|r| r.value)
    };
    let said = |runs: &str| {
        let site = site(runs).unwrap_or_else(|e| panic!("{e}"));
        let (advice, of) = lesson_on(&site);
        unwrapped(&lesson(&site, &advice, &of, ReportForm::Text))
    };
    let metric = said("    length_m: 20\n    area_mm2: 10\n");
    assert!(metric.contains("20 m of 10 mm²"), "{metric}");
    let us = said("    length_ft: 60\n    awg: 6\n");
    assert!(us.contains("60 ft of 6 AWG"), "{us}");
    let without = {
        let site = installation("seed-shed");
        let (advice, of) = lesson_on(&site);
        lesson(&site, &advice, &of, ReportForm::Text)
    };
    assert!(!without.contains("What the cable takes"));
}

#[test]
fn a_block_of_unlike_panels_is_warned_of() {
    let site = installation("cider-barn");
    let (advice, of) = lesson_on(&site);
    let across = of.ways.iter().find(|w| !w.worked.unlike_blocks.is_empty());
    assert!(across.is_some_and(|w| !w.worked.is_sound()));
    let said = unwrapped(&lesson(&site, &advice, &of, ReportForm::Text));
    let wanted = "(barn-255 | gate-30) is no block to build: the open voltages 21.6 V and 37.6 V lie \
                  more than 15 % apart";
    assert!(said.contains(wanted), "{said}");
}
