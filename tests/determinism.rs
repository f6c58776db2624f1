//! The same question has the same answer: byte for byte, and in whatever order kinds are listed.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use sungraft::input::{self, read_site};
use sungraft::model::{ArrayWiring, Element, Installation, KindIdx, PanelString};
use sungraft::plan::{Advice, TouchAnswer};
use sungraft::planner::{self, Options};
use sungraft::report::{self, Format, ReportForm, SiteFile};

/// Every scenario, with its weather if it names some.
fn scenarios() -> Vec<(String, Installation)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let entries = fs::read_dir(&folder).expect("is there");
    let mut paths: Vec<PathBuf> = entries.map(|e| e.expect("readable").path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "yaml"));
    paths.sort();
    paths.iter().map(|p| (p.display().to_string(), site(p))).collect()
}

fn site(path: &Path) -> Installation {
    let bytes = fs::read(path).expect("readable");
    let mut site = read_site("site.yaml", &bytes).expect("is sound").value;
    if let Some(name) = site.site.sun.weather.clone() {
        let weather = fs::read(path.with_file_name(&name)).expect("is beside it");
        input::add_weather(&mut site, &name, &weather).expect("is sound");
    }
    site
}

fn advised(site: &Installation) -> Advice {
    planner::advise(site, &Options::default()).expect("is answered")
}

/// Everything that is shown of an answer.
fn shown(site: &Installation) -> Vec<String> {
    let advice = advised(site);
    let method = planner::method(site, &advice, None).expect("has curves");
    let file = SiteFile { name: "site.yaml", text: "" };
    let mut all: Vec<String> = [Format::Table, Format::Json, Format::Csv]
        .map(|format| report::advice(site, &advice, format))
        .into();
    all.extend(
        [ReportForm::Html, ReportForm::Markdown]
            .map(|form| report::report(site, &advice, method.as_ref(), file, form)),
    );
    all
}

#[test]
fn the_same_question_has_the_same_bytes_for_an_answer() {
    for (name, site) in scenarios() {
        assert!(shown(&site) == shown(&site), "{name}");
    }
}

#[test]
fn threads_beside_it_change_nothing() {
    let (_, site) = scenarios().swap_remove(0);
    let alone = shown(&site);
    let beside = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..3).map(|_| scope.spawn(|| shown(&site))).collect();
        threads.into_iter().map(|t| t.join().expect("ends well")).collect::<Vec<_>>()
    });
    assert!(beside.iter().all(|one| *one == alone));
}

/// Sites of a stock are worked out side by side.
#[test]
fn the_number_of_threads_changes_nothing() {
    let answer = |threads: &str, format: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .env("RAYON_NUM_THREADS", threads)
            .args(["match", "--sites", "scenarios/reseller/customers", "--format", format])
            .args(["--stock", "scenarios/reseller/stock.csv"])
            .output()
            .expect("the program starts");
        assert!(!output.stdout.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
        (output.status.code(), output.stdout, output.stderr)
    };
    for format in ["table", "json", "csv"] {
        let alone = answer("1", format);
        assert!(["2", "5"].iter().all(|threads| answer(threads, format) == alone), "{format}");
    }
}

/// The same site with kinds and spares listed from the last to the first.
fn backwards(site: &Installation) -> Installation {
    let mut turned = site.clone();
    let last = site.kinds.len() - 1;
    let other = |kind: KindIdx| KindIdx(last - kind.0);
    turned.kinds.reverse();
    turned.spares.reverse();
    for spare in &mut turned.spares {
        spare.kind = other(spare.kind);
    }
    for wiring in &mut turned.installed {
        let strings = wiring.array.strings.iter().map(|string| {
            let elements = string.elements().iter();
            let turned =
                elements.map(|e| Element::block(e.members().iter().map(|k| other(*k)).collect()));
            PanelString::new(turned.collect())
        });
        wiring.array = ArrayWiring { strings: strings.collect() };
    }
    turned
}

/// An answer in ids: what it says, whatever the order of kinds.
fn in_ids(site: &Installation, advice: &Advice) -> Vec<String> {
    let id = |kind: &KindIdx| site.kind(*kind).id.clone();
    let array = |array: &ArrayWiring| {
        let mut strings: Vec<Vec<Vec<String>>> = array
            .strings
            .iter()
            .map(|string| {
                let mut elements: Vec<Vec<String>> = string
                    .elements()
                    .iter()
                    .map(|e| {
                        let mut ids: Vec<String> = e.members().iter().map(id).collect();
                        ids.sort();
                        ids
                    })
                    .collect();
                elements.sort();
                elements
            })
            .collect();
        strings.sort();
        format!("{strings:?}")
    };
    let mut said = Vec::new();
    for (touch, answer) in &advice.levels {
        let (TouchAnswer::Plan(n) | TouchAnswer::SameAs(n)) = answer else {
            said.push(format!("{touch:?}: none"));
            continue;
        };
        let plan = &advice.plans[*n];
        let wiring: Vec<String> =
            plan.state.wiring().iter().map(|w| format!("{:?} {}", w.at, array(&w.array))).collect();
        let watts = plan.state.watts().watts();
        said.push(format!("{touch:?}: {watts:.6} W, {:?}, {wiring:?}", plan.joints));
    }
    let mut spares: Vec<String> = advice
        .spares
        .iter()
        .map(|s| {
            format!(
                "{}: {} of {}, {:.3} W, {}",
                id(&s.kind),
                s.used,
                s.offered,
                s.adds.watts(),
                s.verdict.name()
            )
        })
        .collect();
    spares.sort();
    let mut idle: Vec<String> =
        advice.idle.iter().map(|i| format!("{} idle: {}", id(&i.kind), i.count)).collect();
    idle.sort();
    said.extend(spares);
    said.extend(idle);
    said
}

#[test]
fn the_order_in_which_kinds_and_spares_are_listed_does_not_matter() {
    for (name, site) in scenarios() {
        let turned = backwards(&site);
        assert_eq!(in_ids(&site, &advised(&site)), in_ids(&turned, &advised(&turned)), "{name}");
    }
}
