//! What must hold for every allocation.

use proptest::prelude::*;
use sungraft::electrical::Catalog;
use sungraft::model::StockItem;
use sungraft::plan::{Allocation, Customer, Evaluator, FleetAim, Outcome};
use sungraft::planner::{FleetOptions, Silent, allocate};

use crate::fleet::{FleetSize, best_first, customers, stock};

fn shared(customers: &[Customer], stock: &[StockItem], options: &FleetOptions) -> Allocation {
    allocate(customers, stock, options, &[], &Silent)
        .expect("labels are legal and wirings pass the audit")
}

/// Panels of the stock that are wired at all sites together, by what stands in the wirings.
fn wired(customers: &[Customer], allocation: &Allocation, n_stock: usize) -> Vec<usize> {
    let mut wired = vec![0; n_stock];
    for site in &allocation.sites {
        let own = customers[site.customer].installation.kinds.len();
        for kind in site.wiring.iter().flat_map(|w| w.array.panels()) {
            if let Some(at) = kind.0.checked_sub(own) {
                wired[site.placed[at].stock] += 1;
            }
        }
    }
    wired
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    #[test]
    fn no_panel_is_placed_twice_and_none_that_is_not_there(
        seed in 0_u64..10_000,
        sites in 4_usize..14,
        panels in 6_usize..30,
        margin in any::<bool>(),
    ) {
        let size = FleetSize { sites, kinds: 6, panels };
        let (customers, stock) = (customers(seed, size), stock(seed, size));
        let aim = if margin { FleetAim::Margin } else { FleetAim::Watts };
        let options =
            FleetOptions { aim, visit_cost: 15.0, joint_cost: 1.0, ..FleetOptions::default() };
        let allocation = shared(&customers, &stock, &options);
        let wired = wired(&customers, &allocation, stock.len());
        for (k, item) in stock.iter().enumerate() {
            prop_assert!(wired[k] <= item.count);
            prop_assert_eq!(wired[k], allocation.stock[k].placed);
            prop_assert_eq!(item.count - wired[k], allocation.stock[k].left);
            prop_assert_eq!(allocation.stock[k].unplaced.is_some(), item.count > wired[k]);
        }
        let mut seen = std::collections::BTreeSet::new();
        for site in &allocation.sites {
            prop_assert!(seen.insert(site.customer), "a site stands there twice");
            // Its own spares are not used twice either.
            for (kind, n) in &site.own {
                prop_assert!(*n <= customers[site.customer].installation.n_spare(*kind));
            }
            let catalog = Catalog::fit(&site.installation.kinds).expect("legal labels");
            let state = Evaluator::new(&site.installation, &catalog).state(&site.wiring);
            prop_assert!(state.checks.iter().all(|c| c.outcome != Outcome::Breach));
            prop_assert!((state.watts() - site.watts.1).watts().abs() < 1e-6);
            // What a customer has of it is what its controllers let through, before and after.
            let own = &customers[site.customer].installation;
            let today = Catalog::fit(&own.kinds).expect("legal labels");
            let today = Evaluator::new(own, &today).state(&own.installed);
            let added = state.passed() - today.passed();
            prop_assert!((added - site.added()).watts().abs() < 1e-6);
            if aim == FleetAim::Watts {
                prop_assert!((added.watts() - site.value).abs() < 1e-6);
            }
        }
        let sum: f64 = allocation.sites.iter().map(|s| s.value).sum();
        prop_assert!((sum - allocation.value).abs() < 1e-6);
        prop_assert!(allocation.value <= allocation.bound + 1e-6);
    }
}

#[test]
fn the_answer_does_not_depend_on_the_number_of_threads() {
    let size = FleetSize { sites: 24, kinds: 8, panels: 40 };
    let (customers, stock) = (customers(5, size), stock(5, size));
    let with = |n: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(n).build().expect("threads");
        pool.install(|| shared(&customers, &stock, &FleetOptions::default()))
    };
    assert_eq!(with(1), with(3));
}

#[test]
fn best_customer_first_is_never_above_the_bound() {
    for seed in 0..4 {
        let size = FleetSize { sites: 16, kinds: 6, panels: 24 };
        let (customers, stock) = (customers(seed, size), stock(seed, size));
        let allocation = shared(&customers, &stock, &FleetOptions::default());
        let greedy = best_first(&customers, &stock);
        // The bound is on charged watts, and told with the charges of the panels that were placed.
        let charges: f64 = stock
            .iter()
            .map(|item| (0.02 * item.kind.label.p_mp.watts()).max(1.0) * item.count as f64)
            .sum();
        assert!(greedy <= allocation.bound + charges, "seed {seed}: {greedy} {allocation:?}");
        assert!(greedy <= allocation.value + charges + 0.01 * allocation.value, "seed {seed}");
    }
}
