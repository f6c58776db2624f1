//! Money, in the currency of the site file.

use serde::Serialize;

use crate::plan::{Cost, Money, Payback, Range, SpareMoney};
use crate::report::figures::{Figure, figure};
use crate::report::names::Names;

#[derive(Serialize)]
pub(super) struct MoneyJson<'a> {
    worth_per_kwh: Figure,
    years: Figure,
    cost: Option<CostJson<'a>>,
    spares: Vec<SpareMoneyJson<'a>>,
}

#[derive(Serialize)]
struct RangeJson {
    least: Figure,
    most: Figure,
}

#[derive(Serialize)]
struct CostJson<'a> {
    panels: Figure,
    unpriced_kinds: Vec<&'a str>,
    /// Only where spare controllers are bought.
    #[serde(skip_serializing_if = "Option::is_none")]
    controllers: Figure,
    parts: Option<RangeJson>,
    unpriced_parts: Vec<&'static str>,
    all: RangeJson,
    per_added_watt: Option<RangeJson>,
    per_added_kwh: Option<RangeJson>,
    /// `unknown`, `never` or `years`.
    payback: &'static str,
    payback_years: Option<RangeJson>,
}

#[derive(Serialize)]
struct SpareMoneyJson<'a> {
    kind: &'a str,
    price: Figure,
    worth_each: Figure,
    sell: Option<SaleJson>,
}

#[derive(Serialize)]
struct SaleJson {
    count: usize,
    resale: Figure,
    earns_each: Figure,
}

impl RangeJson {
    fn new(range: Range) -> Self {
        Self { least: figure(range.least, 4), most: figure(range.most, 4) }
    }
}

impl<'a> MoneyJson<'a> {
    pub(super) fn new(names: Names<'a>, money: &Money) -> Self {
        Self {
            worth_per_kwh: money.worth_per_kwh.and_then(|x| figure(x, 6)),
            years: figure(money.years, 2),
            cost: money.cost.as_ref().map(|cost| CostJson::new(names, cost)),
            spares: money.spares.iter().map(|s| SpareMoneyJson::new(names, s)).collect(),
        }
    }
}

impl<'a> CostJson<'a> {
    fn new(names: Names<'a>, cost: &Cost) -> Self {
        let (payback, payback_years) = match cost.payback {
            Payback::Unknown => ("unknown", None),
            Payback::Never => ("never", None),
            Payback::Years(years) => ("years", Some(RangeJson::new(years))),
        };
        Self {
            panels: figure(cost.panels, 2),
            unpriced_kinds: cost.unpriced_kinds.iter().map(|k| names.label(*k)).collect(),
            controllers: Some(cost.controllers).filter(|x| *x > 0.0).and_then(|x| figure(x, 2)),
            parts: cost.parts.map(RangeJson::new),
            unpriced_parts: cost.unpriced_parts.clone(),
            all: RangeJson::new(cost.all),
            per_added_watt: cost.per_watt.map(RangeJson::new),
            per_added_kwh: cost.per_kwh.map(RangeJson::new),
            payback,
            payback_years,
        }
    }
}

impl<'a> SpareMoneyJson<'a> {
    fn new(names: Names<'a>, spare: &SpareMoney) -> Self {
        Self {
            kind: names.label(spare.kind),
            price: spare.price.and_then(|x| figure(x, 2)),
            worth_each: spare.worth_each.and_then(|x| figure(x, 2)),
            sell: spare.sale.map(|sale| SaleJson {
                count: sale.count,
                resale: figure(sale.resale, 2),
                earns_each: sale.earns.and_then(|x| figure(x, 2)),
            }),
        }
    }
}
