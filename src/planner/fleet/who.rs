//! Who can use one kind of panel.

use std::collections::BTreeMap;

use super::class::Alone;
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
    let judge = Judge { customers, desks: &desks, stock, shelf: &shelf, options };
    let mut ranked = Vec::new();
    for (unit, reply) in units.units.iter().zip(&replies) {
        let offers = reply.offers.iter().filter(|offer| uses_stock(offer) && offer.value > 0.0);
        let Some(offer) = offers.reduce(|a, b| if b.value > a.value { b } else { a }) else {
            continue;
        };
        let mut arrays = BTreeMap::new();
        let mut searched = String::new();
        for (part, tag) in units.changes(unit, offer.tag) {
            let class = &units.classes[part.class];
            arrays.insert(part.at, class.ground.wiring(&class.met[tag].picked));
            searched.clone_from(&class.ground.menu.searched);
        }
        let customer = unit.customer;
        let allotment = judge.judge(customer, &arrays, searched)?.allotment;
        let count: usize = allotment.placed.iter().map(|p| p.count).sum();
        let watts_each = Watts(allotment.added().watts() / count.max(1) as f64);
        ranked.push(CanUse { customer, allotment, watts_each });
    }
    ranked.sort_by(|a, b| {
        b.allotment.value.total_cmp(&a.allotment.value).then(a.customer.cmp(&b.customer))
    });
    let misses: Vec<_> = units
        .units
        .iter()
        .flat_map(|unit| unit.parts.iter().map(move |part| (unit.customer, part)))
        .filter_map(|(customer, part)| match units.alone[part.class].first() {
            Some(Alone::Breaches(Some(miss))) => Some((customer, *miss)),
            _ => None,
        })
        .collect();
    let mut breaching: Vec<usize> = misses.iter().map(|(customer, _)| *customer).collect();
    breaching.dedup();
    breaching.retain(|customer| !ranked.iter().any(|r| r.customer == *customer));
    let asked = |customer: &usize| units.units.iter().any(|unit| unit.customer == *customer);
    let unasked = if units.n_unseen == 0 {
        0
    } else {
        let inputs = |customer: &usize| !desks[*customer].inputs.is_empty();
        (0..customers.len()).filter(inputs).filter(|customer| !asked(customer)).count()
    };
    let breaching = breaching.len();
    Ok(WhoCanUse { ranked, nearest_miss: nearest(&misses), breaching, unasked })
}

/// Does an offer have panels of the stock, which is the first row?
fn uses_stock(offer: &Offer) -> bool {
    offer.uses.iter().any(|(row, _)| *row == 0)
}
