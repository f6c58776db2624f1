//! Drawings are legible: every text inside, no two on each other, nothing left out.
//!
//! Widths of texts are estimated by widths of letters of their own, not by those of the library.

mod geometry;
mod lessons;
mod sites;

use std::collections::BTreeMap;

use geometry::{check, texts};
use sites::{cases, solved};
use sungraft::model::{ArrayWiring, InputWiring, Installation};
use sungraft::plan::fewest_joints;
use sungraft::plan::{Advice, PanelSource, State};
use sungraft::report::drawing::{self, Drawing, TradePoint, When};
use sungraft::units::Watts;

fn drawings(installation: &Installation, advice: &Advice) -> Vec<Drawing> {
    let curves = [When::Today, When::Planned].map(|w| drawing::curves(installation, advice, w));
    let worth = advice.spares.iter().map(|s| drawing::worth(installation, s));
    let wiring = drawing::wiring(installation, advice);
    let months = drawing::months(advice);
    std::iter::once(Some(wiring)).chain(curves).chain(worth).chain([months]).flatten().collect()
}

#[test]
fn every_text_lies_inside_and_no_two_lie_on_each_other() {
    let mut wrong = Vec::new();
    for (name, site) in cases() {
        let (installation, advice) = solved(&name, &site);
        for drawn in drawings(&installation, &advice) {
            wrong.extend(check(&drawn.svg).into_iter().map(|w| format!("{name}: {w}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_drawing_is_named_described_and_needs_nothing_from_outside() {
    for (name, site) in cases() {
        let (installation, advice) = solved(&name, &site);
        let mut ids = Vec::new();
        for drawn in drawings(&installation, &advice) {
            let document = roxmltree::Document::parse(&drawn.svg).expect("is XML");
            let root = document.root_element();
            assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
            assert_eq!(root.attribute("role"), Some("img"));
            let by_id = |id: &str| document.descendants().find(|n| n.attribute("id") == Some(id));
            let labelled: Vec<_> =
                root.attribute("aria-labelledby").expect("has").split(' ').collect();
            let words = |id: &str| by_id(id).and_then(|n| n.text()).expect("is there").to_owned();
            assert_eq!(words(labelled[0]), drawn.title, "{name}");
            assert_eq!(words(labelled[1]), drawn.alternative, "{name}");
            assert!(drawn.alternative.ends_with('.') && drawn.alternative.len() > 40, "{name}");
            ids.extend(document.descendants().filter_map(|n| n.attribute("id")).map(str::to_owned));
            let outside = ["href", "url(", "<script", "<style", "<image"];
            assert!(outside.iter().all(|o| !drawn.svg.contains(o)), "{name}");
        }
        let n_ids = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), n_ids, "{name}: an id stands twice on one page");
    }
}

/// Panels drawn in the lower half, by kind and mark: what the names of the groups say.
fn drawn_panels(svg: &str) -> Vec<(usize, String, String)> {
    let document = roxmltree::Document::parse(svg).expect("is XML");
    let mut found = Vec::new();
    let mut planned = false;
    let mut times = 1;
    for node in document.descendants().filter(|n| n.is_element()) {
        match node.tag_name().name() {
            "text" => {
                let text = node.text().unwrap_or("").replace('\u{a0}', " ");
                planned |= text.starts_with("Planned");
                if text.starts_with("string") {
                    let alike = text.split(" alike").next().and_then(|t| t.split(", ").nth(1));
                    times = alike.and_then(|n| n.parse().ok()).unwrap_or(1);
                }
            }
            "title" if planned => {
                let text = node.text().unwrap_or("");
                let Some((place, what)) = text.split_once(": ") else { continue };
                if !place.contains('.') {
                    continue;
                }
                let (what, mark) = what.split_once(", ").unwrap_or((what, ""));
                let (n, kind) = match what.split_once(" × ") {
                    Some((n, kind)) => (n.parse().expect("a count"), kind),
                    None => (1, what),
                };
                found.push((n * times, kind.to_owned(), mark.to_owned()));
            }
            _ => {}
        }
    }
    found
}

fn wirings(state: &State) -> Vec<InputWiring> {
    let array = |i: &sungraft::plan::InputState| ArrayWiring {
        strings: i.strings.iter().map(|s| s.wiring.clone()).collect(),
    };
    state.inputs.iter().map(|i| InputWiring { at: i.at, array: array(i) }).collect()
}

#[test]
fn every_panel_of_the_plan_is_drawn_and_says_whether_it_is_new() {
    let mut n_plans = 0;
    for (name, site) in cases() {
        let (installation, advice) = solved(&name, &site);
        let Some(plan) = advice.best.map(|b| &advice.plans[b]) else { continue };
        if !plan.changes_wiring() || name == "odd-ids" {
            continue;
        }
        n_plans += 1;
        let rewiring = fewest_joints(&wirings(&advice.today), &wirings(&plan.state));
        let here = rewiring.panels.iter().filter(|p| p.to.at == advice.planned);
        let (mut all, mut new): (BTreeMap<String, usize>, BTreeMap<String, usize>) =
            Default::default();
        let mut moved = 0;
        for panel in here {
            let id = installation.kind(panel.kind).id.clone();
            *all.entry(id.clone()).or_default() += 1;
            match panel.from {
                PanelSource::Spare => *new.entry(id).or_default() += 1,
                PanelSource::Installed(from) => {
                    let spot = |p: sungraft::plan::PanelPlace| (p.at, p.string, p.element);
                    moved += usize::from(spot(from) != spot(panel.to));
                }
            }
        }
        let svg = drawing::wiring(&installation, &advice).svg;
        let (mut drawn, mut drawn_new): (BTreeMap<String, usize>, BTreeMap<String, usize>) =
            Default::default();
        let mut drawn_moved = 0;
        for (n, kind, mark) in drawn_panels(&svg) {
            *drawn.entry(kind.clone()).or_default() += n;
            match mark.as_str() {
                "new" => *drawn_new.entry(kind).or_default() += n,
                from if from.starts_with("from ") => drawn_moved += n,
                _ => {}
            }
        }
        assert_eq!(drawn, all, "{name}");
        assert_eq!(drawn_new, new, "{name}");
        assert_eq!(drawn_moved, moved, "{name}");
        let shown = texts(&svg);
        assert_eq!(shown.iter().any(|t| t.starts_with("new")), !new.is_empty(), "{name}");
        assert_eq!(shown.iter().any(|t| t.starts_with("from ")), moved > 0, "{name}");
    }
    assert!(n_plans > 8, "{n_plans} plans change something");
}

#[test]
fn the_same_answer_gives_the_same_drawing() {
    let (name, site) = cases().swap_remove(0);
    let (installation, advice) = solved(&name, &site);
    let again = solved(&name, &site);
    let once = drawings(&installation, &advice);
    assert_eq!(once, drawings(&again.0, &again.1));
    assert_eq!(drawing::sheet(&installation, &advice), drawing::sheet(&again.0, &again.1));
}

#[test]
fn a_file_has_fixed_colours_and_all_drawings() {
    for (name, site) in cases() {
        let (installation, advice) = solved(&name, &site);
        let sheet = drawing::sheet(&installation, &advice);
        roxmltree::Document::parse(&sheet).expect("is XML");
        assert!(!sheet.contains("var("), "{name}");
        let plan = advice.best.is_some_and(|b| advice.plans[b].changes_wiring());
        let shown = texts(&sheet);
        assert_eq!(shown.iter().any(|t| t.starts_with("Planned, at full sun")), plan, "{name}");
    }
}

#[test]
fn a_trade_off_rings_the_plan_and_needs_two_points() {
    let point = |joints, watts, chosen| TradePoint { joints, watts: Watts(watts), chosen };
    let few = [point(0, 640.0, false)];
    assert_eq!(drawing::trade_off(&few), None);
    let points: Vec<TradePoint> =
        (0..9).map(|i| point(3 * i, 640.0 + 40.0 * (i as f64).sqrt(), i == 4)).collect();
    let drawn = drawing::trade_off(&points).expect("there are points");
    assert_eq!(check(&drawn.svg), Vec::<String>::new());
    let alternative = drawn.alternative.replace('\u{a0}', " ");
    assert!(alternative.contains("720 W with 12, which is the plan"), "{alternative}");
    let shown = texts(&drawn.svg);
    for point in &points {
        let said = format!("{:.0} W", point.watts.watts());
        assert!(shown.contains(&said), "{said} in {shown:?}");
    }
}
