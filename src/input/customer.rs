//! The `customer` group: what a seller may do at a site, and what more watts are worth there.

use super::codes::UNKNOWN_CHOICE;
use super::document::{Document, Value};
use super::fields::Fields;
use super::findings::{Findings, quoted};
use super::keys::CUSTOMER;
use super::meant::nearest;
use crate::model::{CustomerTerms, Leave};

const LEVELS: [(&str, Leave); 3] =
    [("none", Leave::None), ("extend", Leave::Extend), ("free", Leave::Free)];

/// What a document says of its owner as a customer; nothing if there is no such group.
pub(super) fn read_terms(document: &Document, findings: &mut Findings) -> CustomerTerms {
    let Value::Map(entries) = &document.root.value else { return CustomerTerms::default() };
    let group = entries.iter().find(|e| e.key == "customer" && e.node.value != Value::Nothing);
    let Some(fields) = group.and_then(|e| Fields::open(&e.node, &CUSTOMER, findings)) else {
        return CustomerTerms::default();
    };
    CustomerTerms {
        leave: read_touch(&fields, findings),
        worth_per_watt: fields.number("worth_per_watt", findings).map(|x| x.value),
        worth_per_kwh: fields.number("worth_per_kwh", findings).map(|x| x.value),
    }
}

fn read_touch(fields: &Fields, findings: &mut Findings) -> Option<Leave> {
    let typed = fields.text("touch", findings)?;
    let lower = typed.value.to_lowercase();
    if let Some((_, leave)) = LEVELS.iter().find(|(word, _)| *word == lower) {
        return Some(*leave);
    }
    let typed_word = quoted(&typed.value);
    let message = format!("`touch` must be `none`, `extend` or `free` (it is {typed_word})");
    let help = match nearest(&typed.value, LEVELS.iter().map(|(word, _)| *word)) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`none` adds new strings beside what is wired, `extend` lengthens strings, `free` rewires anything".to_owned(),
    };
    findings.error(UNKNOWN_CHOICE, typed.at, message, help);
    None
}
