//! What a plan costs and earns, in the person's own currency; simple sums, without interest.

use std::collections::BTreeSet;

use super::{Advice, Item, Part, SpareAnswer, parts};
use crate::energy::Span;
use crate::model::{Installation, KindIdx, MoneyData};

/// Years within which panels are to earn what they cost, where the file does not say.
///
/// Common practice, no source: well within the life of a panel, about that of a controller.
pub const USUAL_YEARS: f64 = 10.0;

/// From so much to so much.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Range {
    /// At least.
    pub least: f64,
    /// At most.
    pub most: f64,
}

/// What comes of a plan's cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Payback {
    /// Nothing is told of the worth of energy, or of the sun.
    Unknown,
    /// It brings no energy.
    Never,
    /// After so many years.
    Years(Range),
}

/// What the best plan costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Panels that are bought.
    pub panels: f64,
    /// Kinds that it wires without a price: counted as nothing.
    pub unpriced_kinds: Vec<KindIdx>,
    /// Spare controllers that it hangs up, at their price.
    pub controllers: f64,
    /// Parts, as far as they have a price; `None` without prices of parts.
    pub parts: Option<Range>,
    /// Sorts of part on the shopping list that are not in it: without a price, or of unknown length.
    pub unpriced_parts: Vec<&'static str>,
    /// All of it.
    pub all: Range,
    /// For each watt more at full sun; `None` where there is none.
    pub per_watt: Option<Range>,
    /// For each kilowatt-hour a year more; `None` where there is none.
    pub per_kwh: Option<Range>,
    /// When it is earned.
    pub payback: Payback,
}

/// Panels that are worth more elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sale {
    /// How many to sell.
    pub count: usize,
    /// What each would sell for.
    pub resale: f64,
    /// What each would earn here over the years; `None` where that is not known.
    pub earns: Option<f64>,
}

/// Money about one spare kind.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareMoney {
    /// Which kind.
    pub kind: KindIdx,
    /// What one costs.
    pub price: Option<f64>,
    /// Highest price of one at which all that the plan wires are worth buying, parts aside; `None`
    /// where energy or its worth is not known.
    pub worth_each: Option<f64>,
    /// What is better sold.
    pub sale: Option<Sale>,
}

/// What an answer comes to in money.
#[derive(Debug, Clone, PartialEq)]
pub struct Money {
    /// Worth of a kilowatt-hour.
    pub worth_per_kwh: Option<f64>,
    /// Years within which panels are to earn what they cost.
    pub years: f64,
    /// What the best plan costs; `None` where it changes nothing.
    pub cost: Option<Cost>,
    /// One for each spare kind.
    pub spares: Vec<SpareMoney>,
}

/// Money, where the file says anything about it.
#[must_use]
pub fn money(installation: &Installation, advice: &Advice) -> Option<Money> {
    let data = &installation.site.money;
    let told = data != &MoneyData { worth_years: data.worth_years, ..MoneyData::default() }
        || installation.spares.iter().any(|s| s.price.is_some())
        || advice.controllers.iter().any(|c| c.price.is_some());
    let years = data.worth_years.unwrap_or(USUAL_YEARS);
    let worth = data.worth_per_kwh.map(|worth| worth * years);
    told.then(|| Money {
        worth_per_kwh: data.worth_per_kwh,
        years,
        cost: cost(installation, advice),
        spares: advice.spares.iter().map(|s| spare_money(installation, s, worth)).collect(),
    })
}

fn price_of(installation: &Installation, kind: KindIdx) -> Option<f64> {
    installation.spares.iter().find(|s| s.kind == kind).and_then(|s| s.price)
}

fn cost(installation: &Installation, advice: &Advice) -> Option<Cost> {
    let best = advice.best?;
    let plan = Some(&advice.plans[best]).filter(|plan| plan.changes_wiring())?;
    let data = &installation.site.money;
    let used = || advice.spares.iter().filter(|s| s.used > 0);
    let panels =
        used().map(|s| s.used as f64 * price_of(installation, s.kind).unwrap_or(0.0)).sum::<f64>();
    let no_price = |s: &&SpareAnswer| price_of(installation, s.kind).is_none();
    let (parts, unpriced_parts) = cost_of_parts(data, &parts(installation, advice));
    let price = |c: &super::ControllerAnswer| c.used as f64 * c.price.unwrap_or(0.0);
    let controllers = advice.controllers.iter().map(price).sum::<f64>();
    let bought = panels + controllers;
    let all = parts.map_or(Range { least: bought, most: bought }, |parts| Range {
        least: bought + parts.least,
        most: bought + parts.most,
    });
    let added_kwh = advice
        .energy
        .as_ref()
        .map(|energy| (energy.plans[best].out() - energy.today.out()).kilowatt_hours());
    let over =
        |more: f64| (more > 0.0).then(|| Range { least: all.least / more, most: all.most / more });
    Some(Cost {
        panels,
        unpriced_kinds: used().filter(no_price).map(|s| s.kind).collect(),
        controllers,
        parts,
        unpriced_parts,
        per_watt: over(plan.added.watts()),
        per_kwh: added_kwh.and_then(over),
        payback: payback(all, added_kwh, data.worth_per_kwh),
        all,
    })
}

/// Years after which a cost is earned.
fn payback(cost: Range, added_kwh: Option<f64>, worth: Option<f64>) -> Payback {
    let (Some(kwh), Some(worth)) = (added_kwh, worth) else { return Payback::Unknown };
    let a_year = kwh * worth;
    if cost.most <= 0.0 && a_year >= 0.0 {
        return Payback::Years(Range::default());
    }
    if a_year <= 0.0 {
        return Payback::Never;
    }
    Payback::Years(Range { least: cost.least / a_year, most: cost.most / a_year })
}

/// What a shopping list costs, and the sorts on it that have no price.
fn cost_of_parts(data: &MoneyData, list: &[Part]) -> (Option<Range>, Vec<&'static str>) {
    let Some(prices) = &data.prices else { return (None, Vec::new()) };
    let mut sum = Range::default();
    let mut unpriced = BTreeSet::new();
    for part in list {
        let name = part.item.name();
        let price = prices.iter().find(|p| p.part == name).map(|p| p.price);
        let each = match &part.item {
            Item::UnknownCable { .. } => None,
            Item::Cable { cable, .. } => price.map(|p| p * cable.run.length.metres()),
            _ => price,
        };
        match each {
            Some(each) => {
                sum.least += each * part.at_least as f64;
                sum.most += each * part.at_most as f64;
            }
            None => {
                unpriced.insert(name);
            }
        }
    }
    (Some(sum), unpriced.into_iter().collect())
}

/// Energy a year with so many panels on offer more than with none, as far as it is known.
fn yearly(spare: &SpareAnswer) -> Vec<(usize, f64)> {
    let points = spare.worth.iter().filter_map(|p| Some((p.panels, p.energy?.brings)));
    let points: Vec<_> = points.filter(|(_, brings)| brings.span == Span::Year).collect();
    if let Some((_, none)) = points.first() {
        let beyond = |brings: &crate::plan::Yield| (brings.energy - none.energy).kilowatt_hours();
        return points.iter().map(|(n, brings)| (*n, beyond(brings))).collect();
    }
    match (spare.used, spare.adds_energy) {
        (0, _) | (_, None) => vec![(0, 0.0)],
        (n, Some(adds)) => vec![(0, 0.0), (n, adds.kilowatt_hours())],
    }
}

fn spare_money(installation: &Installation, spare: &SpareAnswer, worth: Option<f64>) -> SpareMoney {
    let yearly = yearly(spare);
    let known = yearly.iter().any(|(n, _)| *n == spare.used);
    let worth = worth.filter(|_| known);
    SpareMoney {
        kind: spare.kind,
        price: price_of(installation, spare.kind),
        worth_each: worth.map(|worth| worth * least_each(&yearly, spare.used)),
        sale: installation
            .site
            .money
            .resale_of(spare.kind)
            .and_then(|resale| sale((spare.offered, spare.used), &yearly, worth, resale)),
    }
}

/// Energy a year for which each of `n` panels is worth having: what the last of them bring, however
/// many of them are taken together, is not below it.
fn least_each(yearly: &[(usize, f64)], n: usize) -> f64 {
    let Some((_, all)) = yearly.iter().find(|(k, _)| *k == n) else { return 0.0 };
    let last = |&(k, fewer): &(usize, f64)| (k < n).then(|| (all - fewer) / (n - k) as f64);
    yearly.iter().filter_map(last).reduce(f64::min).unwrap_or(0.0).max(0.0)
}

/// How many are better sold: as many as make selling and keeping together worth most.
fn sale(
    (offered, used): (usize, usize),
    yearly: &[(usize, f64)],
    worth: Option<f64>,
    resale: f64,
) -> Option<Sale> {
    let keep = match worth {
        None => used,
        Some(worth) => {
            let value = |&(n, kwh): &(usize, f64)| kwh * worth - n as f64 * resale;
            let possible = yearly.iter().filter(|(n, _)| *n <= used);
            let best = possible.reduce(|a, b| if value(b) > value(a) { b } else { a });
            best.map_or(0, |(n, _)| *n)
        }
    };
    let count = offered.saturating_sub(keep);
    let at = |n: usize| yearly.iter().find(|(k, _)| *k == n).map_or(0.0, |(_, kwh)| *kwh);
    let earns = worth.map(|worth| {
        worth * (at(used) - at(keep)).max(0.0) / used.saturating_sub(keep).max(1) as f64
    });
    (count > 0 && resale > 0.0).then_some(Sale { count, resale, earns })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn payback_is_cost_over_what_a_year_earns() {
        let cost = Range { least: 90.0, most: 150.0 };
        // 120 kWh a year at 0.25 are 30 a year: 90 are back in 3 years, 150 in 5.
        let years = Range { least: 3.0, most: 5.0 };
        assert_eq!(payback(cost, Some(120.0), Some(0.25)), Payback::Years(years));
    }

    #[test]
    fn what_brings_nothing_never_pays_and_what_costs_nothing_pays_at_once() {
        let cost = Range { least: 90.0, most: 90.0 };
        assert_eq!(payback(cost, Some(0.0), Some(0.25)), Payback::Never);
        assert_eq!(payback(cost, Some(-3.0), Some(0.25)), Payback::Never);
        assert_eq!(payback(cost, Some(120.0), Some(0.0)), Payback::Never);
        assert_eq!(payback(cost, Some(120.0), None), Payback::Unknown);
        assert_eq!(payback(cost, None, Some(0.25)), Payback::Unknown);
        let free = Range::default();
        assert_eq!(payback(free, Some(120.0), Some(0.25)), Payback::Years(free));
        assert_eq!(payback(free, Some(0.0), Some(0.25)), Payback::Years(free));
        assert_eq!(payback(free, Some(-1.0), Some(0.25)), Payback::Never);
    }

    #[test]
    fn the_highest_price_is_what_the_last_panels_bring() {
        // The first brings 100 kWh, the second 40: two at one price are worth it up to 40 each.
        assert_eq!(least_each(&[(0, 0.0), (1, 100.0), (2, 140.0)], 2), 40.0);
        // Two that pay only together: 150 kWh for two.
        assert_eq!(least_each(&[(0, 0.0), (1, 0.0), (2, 150.0)], 2), 75.0);
        assert_eq!(least_each(&[(0, 0.0), (1, 100.0)], 0), 0.0);
        assert_eq!(least_each(&[(0, 0.0)], 1), 0.0);
    }

    #[test]
    fn as_many_are_sold_as_earn_less_here_than_they_sell_for() {
        // 100, 40 and 10 kWh a year; a kWh is worth 1 over the years. At 30 the third is better sold.
        let yearly = [(0, 0.0), (1, 100.0), (2, 140.0), (3, 150.0)];
        let third = Some(Sale { count: 1, resale: 30.0, earns: Some(10.0) });
        assert_eq!(sale((3, 3), &yearly, Some(1.0), 30.0), third);
        // At 45 the second, too: 40 and 10 for two.
        let two = Some(Sale { count: 2, resale: 45.0, earns: Some(25.0) });
        assert_eq!(sale((3, 3), &yearly, Some(1.0), 45.0), two);
        // At 5 none; what the plan leaves out anyway is sold at any price, and without a worth only that.
        assert_eq!(sale((3, 3), &yearly, Some(1.0), 5.0), None);
        let left = Some(Sale { count: 1, resale: 5.0, earns: Some(0.0) });
        assert_eq!(sale((4, 3), &yearly, Some(1.0), 5.0), left);
        let unknown = Some(Sale { count: 1, resale: 45.0, earns: None });
        assert_eq!(sale((4, 3), &yearly, None, 45.0), unknown);
        assert_eq!(sale((4, 3), &yearly, Some(1.0), 0.0), None);
    }
}
