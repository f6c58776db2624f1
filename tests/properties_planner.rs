//! What must hold of plans on any site: more never hurts, less never helps, names mean nothing.

#[path = "support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use random::Random;
use sites::random_site;
use std::cell::Cell;

use sungraft::electrical::Catalog;
use sungraft::model::{
    ArrayWiring, Element, InputWiring, Installation, KindIdx, PanelString, Spare,
};
use sungraft::plan::{Evaluator, FuseNeed, Item, Touch, fewest_joints, parts};
use sungraft::planner::{Options, advise, plan_only};
use sungraft::report::{Format, advice};
use sungraft::units::{Celsius, Volts};

/// Twice the proof gap: each of two plans may be so far from its best.
const SLACK: f64 = 2e-3;
const N_SITES: u64 = 60;

/// Charged watts of the best plan; nothing at all is worth nothing.
fn best(site: &Installation) -> f64 {
    let options = Options { touch: vec![Touch::Free], ..Options::default() };
    let plans = plan_only(site, &options).expect("plans pass the audit");
    plans.first().map_or(0.0, |p| p.charged.watts().max(0.0))
}

fn for_many_sites(seed: u64, n_panels: usize, check: impl Fn(&str, Installation, &mut Random)) {
    for k in 0..N_SITES {
        let mut rng = Random::seeded(seed + k);
        let site = random_site(&mut rng, n_panels);
        check(&format!("seed {}", seed + k), site, &mut rng);
    }
}

fn assert_no_worse(case: &str, before: f64, after: f64) {
    assert!(after >= before - SLACK * before.abs().max(1.0), "{case}: {before} W, then {after} W");
}

#[test]
fn more_stock_never_hurts() {
    for_many_sites(70_000, 6, |case, mut site, rng| {
        let before = best(&site);
        if site.spares.is_empty() {
            return;
        }
        let at = rng.below(site.spares.len());
        site.spares[at].count += 1;
        assert_no_worse(case, before, best(&site));
    });
}

#[test]
fn a_wider_window_never_hurts() {
    for_many_sites(71_000, 6, |case, mut site, _| {
        let before = best(&site);
        let controller = &mut site.controllers[0];
        controller.window =
            controller.window.map(|(lo, hi)| (Volts(lo.volts() - 3.0), Volts(hi.volts() + 5.0)));
        assert_no_worse(case, before, best(&site));
    });
}

#[test]
fn a_colder_night_never_admits_more() {
    for_many_sites(72_000, 6, |case, mut site, _| {
        // A blocking diode or an unknown fuse rating aside, only voltages grow in the cold; fuse
        // ratings are left out, since currents fall a little.
        site.kinds.iter_mut().for_each(|k| k.max_fuse = None);
        let warm = best(&site);
        site.site.coldest = Celsius(site.site.coldest.celsius() - 12.0);
        assert_no_worse(case, best(&site), warm);
    });
}

#[test]
fn one_more_port_never_hurts() {
    for_many_sites(73_000, 6, |case, mut site, _| {
        let before = best(&site);
        site.controllers[0].string_ports += 1;
        assert_no_worse(case, before, best(&site));
    });
}

#[test]
fn renaming_kinds_changes_nothing_but_names() {
    for_many_sites(74_000, 5, |case, site, _| {
        let mut renamed = site.clone();
        renamed.kinds.iter_mut().for_each(|k| k.id = k.id.replace("kind", "sort"));
        let text = |site: &Installation| {
            let answer = advise(site, &Options::default()).expect("plans pass the audit");
            advice(site, &answer, Format::Json)
        };
        assert_eq!(text(&site).replace("kind-", "sort-"), text(&renamed), "{case}");
    });
}

#[test]
fn the_same_site_gives_the_same_bytes() {
    for_many_sites(75_000, 6, |case, site, _| {
        let text = || {
            let answer = advise(&site, &Options::default()).expect("plans pass the audit");
            [Format::Table, Format::Json, Format::Csv].map(|f| advice(&site, &answer, f))
        };
        assert_eq!(text(), text(), "{case}");
    });
}

/// A planner once built a second such block beside the first, and the audit refused the plan.
#[test]
fn a_block_larger_than_allowed_may_stay_but_is_not_built_again() {
    for_many_sites(76_000, 3, |case, mut site, _| {
        site.site.block_max = 2;
        let large = Element::block(vec![KindIdx(0); 3]);
        let string = PanelString::new(vec![large.clone()]);
        site.installed[0].array = ArrayWiring { strings: vec![string] };
        site.spares = vec![Spare { kind: KindIdx(0), count: 5, price: None, places: Vec::new() }];
        let options = Options { touch: vec![Touch::Free], ..Options::default() };
        for plan in plan_only(&site, &options).expect("plans pass the audit") {
            let strings = plan.state.inputs.iter().flat_map(|i| &i.strings);
            let large =
                strings.flat_map(|s| s.wiring.elements()).filter(|e| e.members().len() > 2).count();
            assert!(large <= 1, "{case}: {large} blocks of three");
        }
    });
}

/// The list names strings as the plan does, and its fuses are those of the fuse rule.
#[test]
fn the_shopping_list_of_the_best_plan_holds_exactly_the_fuses_that_its_wiring_needs() {
    let n_fuses = Cell::new(0);
    for_many_sites(91_000, 6, |case, site, _| {
        let options = Options { touch: vec![Touch::Free], ..Options::default() };
        let found = advise(&site, &options).expect("plans pass the audit");
        let Some(plan) = found.best.map(|b| &found.plans[b]).filter(|p| p.changes_wiring()) else {
            assert_eq!(parts(&site, &found), [], "{case}");
            return;
        };
        let wiring: Vec<InputWiring> = plan
            .state
            .inputs
            .iter()
            .map(|i| InputWiring {
                at: i.at,
                array: ArrayWiring {
                    strings: i.strings.iter().map(|s| s.wiring.clone()).collect(),
                },
            })
            .collect();
        assert_eq!(fewest_joints(&site.installed, &wiring).inputs, wiring, "{case}");
        let catalog = Catalog::fit(&site.kinds).expect("the labels are legal");
        let evaluator = Evaluator::new(&site, &catalog);
        let needed: Vec<FuseNeed> = wiring.iter().flat_map(|w| evaluator.fuses(w)).collect();
        let listed: Vec<FuseNeed> = parts(&site, &found)
            .into_iter()
            .filter_map(|p| match p.item {
                Item::Fuse(need) => Some(need),
                _ => None,
            })
            .collect();
        assert_eq!(listed, needed, "{case}");
        assert!(parts(&site, &found).iter().all(|p| p.at_least <= p.at_most && p.at_most > 0));
        n_fuses.set(n_fuses.get() + listed.len());
    });
    assert!(n_fuses.get() > 0, "some of the sites need fuses");
}
