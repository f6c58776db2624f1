//! Who can use one kind of panel.

use std::collections::BTreeMap;

use super::class::{AS_IT_IS, Alone};
use super::customer::desks;
use super::options::{FleetFailure, FleetOptions, Progress};
use super::outcome::Judge;
use super::shelf::Shelf;
use super::stock::nearest;
use super::units::Units;
use crate::model::StockItem;
use crate::plan::{CanUse, Customer, WhoCanUse};
use crate::solve::master::{Ask, Offer, Sites};
use crate::units::Watts;

/// Share of the threshold on one panel that an answer may be off.
const TOLERANCE: f64 = 0.05;

/// Who can use panels of one kind, best first: each customer as if it were the only one, with as many
/// as there are.
///
/// # Errors
/// As [`allocate`](super::allocate).
pub fn who_can_use(
    customers: &[Customer],
    item: &StockItem,
    options: &FleetOptions,
    progress: &dyn Progress,
) -> Result<WhoCanUse, FleetFailure> {
    let stock = std::slice::from_ref(item);
    let shelf = Shelf::new(stock)?;
    let desks = desks(customers, stock, options)?;
    let mut units = Units::new(customers, &desks, &shelf, &[], (progress, options.watch));
    let tolerance = TOLERANCE * options.threshold_watts;
    let asks: Vec<Ask> = (0..units.units.len())
        .map(|site| Ask {
            site,
            prices: vec![0.0; units.rows.len()],
            spans: Vec::new(),
            known: Vec::new(),
            tolerance: tolerance * desks[units.units[site].customer].terms.watt,
        })
        .collect();
    let replies = units.ask(&asks);
    // Of a customer's inputs the one where it is worth most.
    let mut best: BTreeMap<usize, (usize, usize, f64)> = BTreeMap::new();
    for (site, reply) in replies.iter().enumerate() {
        for offer in reply.offers.iter().filter(|offer| uses_stock(offer)) {
            let customer = units.units[site].customer;
            let known = best.entry(customer).or_insert((site, AS_IT_IS, 0.0));
            if offer.value > known.2 {
                *known = (site, offer.tag, offer.value);
            }
        }
    }
    let judge = Judge { customers, desks: &desks, stock, shelf: &shelf, options };
    let mut ranked = Vec::with_capacity(best.len());
    for (customer, (site, tag, _)) in best.into_iter().filter(|(_, b)| b.1 != AS_IT_IS) {
        let unit = &units.units[site];
        let class = &units.classes[unit.class];
        let array = class.ground.wiring(&class.met[tag].picked);
        let arrays = BTreeMap::from([(unit.at, array)]);
        let allotment =
            judge.judge(customer, &arrays, class.ground.menu.searched.clone())?.allotment;
        let count: usize = allotment.placed.iter().map(|p| p.count).sum();
        let added = allotment.watts.1 - allotment.watts.0;
        let watts_each = Watts(added.watts() / count.max(1) as f64);
        ranked.push(CanUse { customer, allotment, watts_each });
    }
    ranked.sort_by(|a, b| {
        b.allotment.value.total_cmp(&a.allotment.value).then(a.customer.cmp(&b.customer))
    });
    let misses: Vec<_> = units
        .units
        .iter()
        .filter_map(|unit| match units.alone[unit.class].first() {
            Some(Alone::Breaches(Some(miss))) => Some((unit.customer, *miss)),
            _ => None,
        })
        .collect();
    let mut breaching: Vec<usize> = misses.iter().map(|(customer, _)| *customer).collect();
    breaching.dedup();
    breaching.retain(|customer| !ranked.iter().any(|r| r.customer == *customer));
    Ok(WhoCanUse { ranked, nearest_miss: nearest(&misses), breaching: breaching.len() })
}

/// Does an offer have panels of the stock, which is the first row?
fn uses_stock(offer: &Offer) -> bool {
    offer.uses.iter().any(|(row, _)| *row == 0)
}
