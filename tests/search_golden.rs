//! The small searches of `tests/data/golden.json`: `advise` finds nothing better than the best
//! listed, and nothing worse than it loses by.
//!
//! Source: an independent Python model written for this project that tries every wiring; its coarser
//! curves lie up to 0.2 % below ours.

#[path = "support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;

use serde_json::Value;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, InputRef, InputWiring, Installation,
    KindIdx, Output, Site, Spare, SunData,
};
use sungraft::plan::{Plan, Rule, Touch};
use sungraft::planner::{Options, plan_only};
use sungraft::units::{Celsius, Volts};

const AT: InputRef = InputRef { controller: 0, input: 1 };
/// How far the independent model's figures may lie from ours.
const CLOSE: f64 = 2e-3;

fn golden() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/golden.json");
    serde_json::from_str(&std::fs::read_to_string(path).expect("readable")).expect("valid JSON")
}

/// One search as a site on which only cold voltage and the window bind.
fn site(search: &Value) -> Installation {
    let kinds = panels::invented();
    let spares = kinds
        .iter()
        .enumerate()
        .map(|(k, kind)| Spare {
            kind: KindIdx(k),
            count: search["inv"]
                .as_array()
                .expect("a list of ids")
                .iter()
                .filter(|id| id.as_str() == Some(&kind.id))
                .count(),
            price: None,
            places: Vec::new(),
        })
        .filter(|s| s.count > 0)
        .collect();
    let of = |key: &str| search["site"][key].as_f64().expect("a number");
    Installation {
        site: Site {
            name: "golden".to_owned(),
            coldest: Celsius(of("tmin")),
            // Cells at 25 °C on the "hottest noon": the searches know no heat.
            hottest: Celsius(-9.0),
            block_max: 3,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds,
        controllers: vec![Controller {
            id: "c".to_owned(),
            controller_type: ControllerType::Mppt,
            output: Output::Battery(BatteryBank {
                nominal: Volts(12.0),
                charge: Some(Volts(1.0)),
                charge_limit: None,
            }),
            max_pv: Volts(of("vmax")),
            window: Some((Volts(of("vlo")), Volts(of("vhi")))),
            max_pv_current: None,
            max_pv_power: None,
            n_inputs: 1,
            string_ports: 8,
            blocking_diodes: false,
            efficiency: None,
            spare: None,
        }],
        installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
        spares,
        kept: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

fn plan(site: &Installation, rule: Rule, threshold_watts: f64, threshold_share: f64) -> Plan {
    let options = Options {
        touch: vec![Touch::Free],
        rule,
        threshold_watts,
        threshold_share,
        ..Options::default()
    };
    plan_only(site, &options).expect("plans pass the audit").remove(0)
}

/// Label watts of a listed wiring's panels and how many they are: charges are 2 % of the label here.
fn charges(wiring: &str) -> f64 {
    let kinds = panels::invented();
    wiring
        .split(|c: char| !c.is_alphanumeric())
        .filter(|id| !id.is_empty())
        .map(|id| kinds.iter().find(|k| k.id == id).expect("an invented panel").label.p_mp.watts())
        .map(|label| (0.02 * label).max(1.0))
        .sum()
}

fn for_every_search(check: impl Fn(&str, &Installation, Rule, &[(f64, String)])) {
    let golden = golden();
    let searches = golden["searches"].as_array().expect("searches");
    assert_eq!(searches.len(), 5);
    for search in searches {
        let site = site(search);
        for (name, rule) in [("curve", Rule::Curve), ("nameplate", Rule::Nameplate)] {
            let best = search["res"][name]["best"].as_array().expect("a list");
            let listed: Vec<(f64, String)> = best
                .iter()
                .map(|b| {
                    let wiring = b["wiring"].as_str().expect("a wiring").to_owned();
                    (b["w"].as_f64().expect("watts"), wiring)
                })
                .collect();
            let case = format!("{} by {name}", search["name"].as_str().expect("a name"));
            check(&case, &site, rule, &listed);
        }
    }
}

#[test]
fn without_charges_the_best_watts_are_those_listed() {
    for_every_search(|case, site, rule, listed| {
        let plan = plan(site, rule, 0.0, 0.0);
        let best = listed.iter().map(|(w, _)| *w).fold(0.0, f64::max);
        let found = plan.charged.watts();
        assert!((found / best - 1.0).abs() <= CLOSE, "{case}: found {found}, listed {best}");
        assert!(plan.bound.proven && plan.bound.watts.watts() >= best * (1.0 - CLOSE), "{case}");
    });
}

#[test]
fn with_charges_nothing_better_than_the_best_listed_is_found() {
    for_every_search(|case, site, rule, listed| {
        let plan = plan(site, rule, 1.0, 0.02);
        let best = listed.iter().map(|(w, wiring)| w - charges(wiring)).fold(0.0, f64::max);
        let found = plan.charged.watts();
        assert!((found / best - 1.0).abs() <= CLOSE, "{case}: found {found}, listed {best}");
    });
}
