//! A price file: what the parts of a shopping list cost.

use super::codes::{DUPLICATE_ID, UNKNOWN_CHOICE};
use super::document::{Document, Node};
use super::fields::Fields;
use super::findings::{Findings, quoted};
use super::keys::{PART_NAMES, PART_PRICE, PRICES};
use super::meant::nearest;
use super::{Read, text, yaml};
use crate::diagnostic::Diagnostics;
use crate::model::PartPrice;

/// Reads a price file. `name` is the file's name as the user gave it.
///
/// # Errors
/// Every mistake in the file at once, each with its place and how to mend it.
pub fn read_prices(name: &str, bytes: &[u8]) -> Result<Read<Vec<PartPrice>>, Diagnostics> {
    let text = text::decode(name, bytes)?;
    let mut findings = Findings::new(name, text);
    let prices = yaml::parse_document(text, &mut findings)
        .and_then(|document| prices_of(&document, &mut findings));
    let findings = findings.finish();
    match prices {
        Some(value) if !findings.has_errors() => Ok(Read { value, warnings: findings }),
        _ => Err(findings),
    }
}

/// A commented price file, its prices invented, to begin from.
#[must_use]
pub fn prices_starter() -> &'static str {
    include_str!("prices.yaml")
}

fn prices_of(document: &Document, findings: &mut Findings) -> Option<Vec<PartPrice>> {
    let file = Fields::open(&document.root, &PRICES, findings)?;
    let mut prices: Vec<PartPrice> = Vec::new();
    for node in file.list("parts", findings)? {
        let Some(price) = part_price(node, findings) else { continue };
        if prices.iter().any(|p| p.part == price.part) {
            let message = format!("the price of {} is given twice", quoted(&price.part));
            findings.error(DUPLICATE_ID, node.place, message, "keep one of them");
            continue;
        }
        prices.push(price);
    }
    Some(prices)
}

fn part_price(node: &Node, findings: &mut Findings) -> Option<PartPrice> {
    let fields = Fields::open(node, &PART_PRICE, findings)?;
    let part = fields.text("part", findings);
    let price = fields.number("price", findings);
    let part = part?;
    if !PART_NAMES.contains(&part.value.as_str()) {
        let message = format!("there is no part {}", quoted(&part.value));
        let help = match nearest(&part.value, PART_NAMES.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("the parts are `{}`", PART_NAMES.join("`, `")),
        };
        findings.error(UNKNOWN_CHOICE, part.at, message, help);
        return None;
    }
    Some(PartPrice { part: part.value, price: price?.value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_price_file_to_begin_from_names_every_part() {
        let read = read_prices("prices.yaml", prices_starter().as_bytes()).expect("is sound");
        assert!(read.warnings.0.is_empty());
        let named: Vec<&str> = read.value.iter().map(|p| p.part.as_str()).collect();
        assert_eq!(named, PART_NAMES);
        assert!(prices_starter().contains("invented"));
    }

    #[test]
    fn mistakes_in_a_price_file_are_told_all_at_once() {
        let text = "parts:\n  - part: fuze\n    price: 3\n  - part: cable\n    price: -1\n  - part: fuse\n    price: 4\n  - part: fuse\n    price: 5\n";
        let said = read_prices("p.yaml", text.as_bytes()).expect_err("has mistakes").to_string();
        assert!(said.contains("did you mean `fuse`?"), "{said}");
        assert!(said.contains("from 0 to") && said.contains("given twice"), "{said}");
    }

    #[test]
    fn a_site_file_is_no_price_file() {
        assert!(read_prices("p.yaml", b"site: {name: a}\n").is_err());
        assert!(read_prices("p.yaml", b"").is_err());
    }
}
