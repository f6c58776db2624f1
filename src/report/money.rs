//! Money in words: what a plan costs and earns, what panels are worth here and elsewhere.

use super::layout::GLUE;
use super::names::Names;
use super::numbers::plain;
use super::words::listed;
use crate::plan::{Cost, Money, Payback, Range, Sale, SpareMoney};

/// Two decimals for small amounts, none for large ones.
pub(super) fn amount(x: f64) -> String {
    plain(x, if x.abs() < 99.5 { 2 } else { 0 })
}

/// `90`, `90 to 150`.
pub(super) fn range(range: Range) -> String {
    let (least, most) = (amount(range.least), amount(range.most));
    if least == most { least } else { format!("{least} to {most}") }
}

/// What all figures rest on.
pub(super) fn basis(money: &Money) -> String {
    match money.worth_per_kwh {
        None => {
            "In the currency of your file. With `worth_per_kwh` and a year of sun it is told when \
                 this is earned back"
                .to_owned()
        }
        Some(worth) => format!(
            "In the currency of your file, a kWh at {}, earned over {}{GLUE}years; simple sums, \
             without interest, wear and labour",
            plain(worth, 4),
            plain(money.years, 1)
        ),
    }
}

/// Lines about the plan's cost: what, and how much.
pub(super) fn cost_lines(names: Names<'_>, cost: &Cost) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    let mut panels = amount(cost.panels);
    if !cost.unpriced_kinds.is_empty() {
        let kinds: Vec<String> =
            cost.unpriced_kinds.iter().map(|k| names.label(*k).to_owned()).collect();
        panels += &format!(" ({} without a price: yours already)", listed(&kinds));
    }
    lines.push(("panels", panels));
    if cost.controllers > 0.0 {
        lines.push(("controllers", amount(cost.controllers)));
    }
    match cost.parts {
        None => lines.push(("parts", "not counted: name their prices with --prices".into())),
        Some(parts) => {
            let mut text = range(parts);
            if !cost.unpriced_parts.is_empty() {
                let items: Vec<String> =
                    cost.unpriced_parts.iter().map(|p| p.replace('_', " ")).collect();
                text += &format!(", without {} (no price, or no length)", listed(&items));
            }
            lines.push(("parts", text));
            lines.push(("all", range(cost.all)));
        }
    }
    lines.extend(cost.per_watt.map(|r| ("each watt more", range(r))));
    lines.extend(cost.per_kwh.map(|r| ("each kWh a year more", range(r))));
    match cost.payback {
        Payback::Unknown => {}
        Payback::Never => {
            lines.push(("earned back", "never: it brings no energy that pays".into()))
        }
        Payback::Years(years) => lines.push(("earned back", after(years))),
    }
    lines
}

/// `at once`, `after 3 to 5 years`.
fn after(years: Range) -> String {
    let shown = |x: f64| plain(x, 1);
    match (shown(years.least), shown(years.most)) {
        (a, b) if a == "0" && b == "0" => "at once".into(),
        (a, b) if a == b => format!("after {a}{GLUE}years"),
        (a, b) => format!("after {a} to {b}{GLUE}years"),
    }
}

/// What a kind is worth here, and what is better sold.
pub(super) fn spare_line(spare: &SpareMoney) -> String {
    let price = spare.price.map(|price| format!("{} each", amount(price)));
    let worth = spare.worth_each.map(|worth| match (worth, spare.price) {
        (w, _) if w <= 0.0 => "worth nothing here".to_owned(),
        (w, Some(price)) if w < price => {
            format!("worth buying here up to {} each: too dear", amount(w))
        }
        (w, _) => format!("worth buying here up to {} each, parts aside", amount(w)),
    });
    let parts: Vec<String> = [price, worth, spare.sale.map(sale)].into_iter().flatten().collect();
    parts.join("; ")
}

/// `sell 2: 40 each, against 12 that each would earn here`.
pub(super) fn sale(sale: Sale) -> String {
    let earns = sale
        .earns
        .map(|earns| format!(", against {} that each would earn here", amount(earns)))
        .unwrap_or_default();
    format!("better sold: {} at {} each{earns}", sale.count, amount(sale.resale))
}

/// Does it say more than the file's own prices?
pub(super) fn says_anything(money: &Money) -> bool {
    let tells = |s: &SpareMoney| s.worth_each.is_some() || s.sale.is_some();
    money.cost.is_some() || money.spares.iter().any(tells)
}

/// What money says, for the first lines: the cost and when it is earned, and what to sell.
pub(super) fn in_words(names: Names<'_>, money: &Money) -> Option<String> {
    let mut said = Vec::new();
    if let Some(cost) = &money.cost {
        let counted_in = match (cost.parts.is_some(), cost.controllers > 0.0) {
            (true, false) => "panels and parts",
            (true, true) => "panels, controllers and parts",
            (false, false) => "panels, parts aside",
            (false, true) => "panels and controllers, parts aside",
        };
        let back = match cost.payback {
            Payback::Unknown => String::new(),
            Payback::Never => ", never earned back".into(),
            Payback::Years(years) => format!(", earned back {}", after(years)),
        };
        said.push(format!("{} for {counted_in}{back}", range(cost.all)));
    }
    let to_sell: Vec<String> = money
        .spares
        .iter()
        .filter_map(|s| Some(format!("{}{GLUE}{}", s.sale?.count, names.label(s.kind))))
        .collect();
    if !to_sell.is_empty() {
        said.push(format!("better sold than added: {}", listed(&to_sell)));
    }
    (!said.is_empty()).then(|| format!("Money: {}.", said.join("; ")))
}
