//! One site with the whole stock is what `advise` plans with that stock as spares.

use sungraft::model::{Installation, KindIdx, Output, Spare, StockItem};
use sungraft::plan::{Customer, Touch};
use sungraft::planner::{FleetOptions, Options, Silent, allocate, plan_only};

use crate::random::Random;
use crate::sites::{charge, random_kind, random_site};

fn with_stock(site: &Installation, stock: &[StockItem]) -> Installation {
    let mut site = site.clone();
    for item in stock {
        let kind = KindIdx(site.kinds.len());
        site.kinds.push(item.kind.clone());
        site.spares.push(Spare { kind, count: item.count, price: item.price, places: Vec::new() });
    }
    site
}

#[test]
fn one_site_with_the_whole_stock_gets_what_advise_plans() {
    let mut compared = 0;
    for seed in 0..60 {
        let mut rng = Random::seeded(9_000 + seed);
        let n_panels = 2 + rng.below(4);
        let mut installation = random_site(&mut rng, n_panels);
        // `advise` plans for watts before the output clips.
        if let Output::Battery(bank) = &mut installation.controllers[0].output {
            bank.charge_limit = None;
        }
        let touch = Touch::ALL[rng.below(3)];
        let stock: Vec<StockItem> = (0..3)
            .map(|k| StockItem {
                kind: random_kind(&mut rng, 20 + k),
                count: 1 + rng.below(2),
                price: None,
            })
            .collect();
        let whole = with_stock(&installation, &stock);
        let options = Options { touch: vec![touch], ..Options::default() };
        let plans = plan_only(&whole, &options).expect("labels are legal, plans pass the audit");
        let customer = Customer {
            file: "site".to_owned(),
            installation: installation.clone(),
            touch,
            worth_per_watt: None,
            worth_per_kwh: None,
        };
        let allocation = allocate(&[customer], &stock, &FleetOptions::default(), &[], &Silent)
            .expect("labels are legal and wirings pass the audit");
        let Some(plan) = plans.first() else {
            // Without any wiring that keeps the limits everything stays as it is.
            assert!(allocation.sites.is_empty() || touch == Touch::Free, "seed {seed}");
            continue;
        };
        compared += 1;
        let charges = |panels: &mut dyn Iterator<Item = KindIdx>| -> f64 {
            panels.map(|k| charge(whole.kind(k))).sum()
        };
        let mut standing = installation.installed.iter().flat_map(|w| w.array.panels());
        let today = plan.state.watts() - plan.added;
        let advised = plan.charged.watts() - today.watts() + charges(&mut standing);
        let found = allocation.sites.first().map_or(0.0, |site| {
            let kinds = &site.installation;
            let all = |wiring: &[sungraft::model::InputWiring]| -> f64 {
                let panels = wiring.iter().flat_map(|w| w.array.panels());
                panels.map(|k| charge(kinds.kind(k))).sum()
            };
            site.value - all(&site.wiring) + all(&installation.installed)
        });
        // `advise` prefers fewer panels among plans within a thousandth of the best.
        let slack = 0.05 + 1.2e-3 * plan.state.watts().watts();
        assert!(
            (found - advised).abs() <= slack,
            "seed {seed}, {touch:?}: {found:.3} W more, where advise has {advised:.3}"
        );
    }
    assert!(compared >= 40, "too few sites have a plan: {compared}");
}
