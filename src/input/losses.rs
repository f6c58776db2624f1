//! What is lost between the sun on the panels and the controller.

use std::collections::HashMap;

use super::codes::{DUPLICATE_ID, TOO_MANY};
use super::document::Node;
use super::doubts;
use super::fields::Fields;
use super::findings::{Findings, quoted};
use super::keys::LOSS;
use crate::model::Loss;

/// Most entries of the list.
const MAX_LOSSES: usize = 50;

/// The list as given; entries with a mistake are left out and reported.
pub(super) fn read_losses(nodes: &[Node], findings: &mut Findings) -> Vec<Loss> {
    if let Some(node) = nodes.get(MAX_LOSSES) {
        let message =
            format!("there are too many losses ({}; at most {MAX_LOSSES} are read)", nodes.len());
        findings.error(TOO_MANY, node.place, message, "put the small ones together");
    }
    let mut first_lines: HashMap<String, usize> = HashMap::new();
    let mut losses = Vec::new();
    for node in nodes.iter().take(MAX_LOSSES) {
        let Some(fields) = Fields::open(node, &LOSS, findings) else { continue };
        let id = fields.text("id", findings);
        let percent = fields.number("percent", findings);
        if let Some(percent) = &percent {
            doubts::loss(percent, findings);
        }
        let Some(id) = id else { continue };
        if let Some(line) = first_lines.get(&id.value) {
            let id_typed = quoted(&id.value);
            let message = format!("two losses have the id {id_typed} (the first in line {line})");
            findings.error(DUPLICATE_ID, id.at, message, "put the two together, or name both");
            continue;
        }
        first_lines.insert(id.value.clone(), id.at.line);
        losses.extend(percent.map(|p| Loss { id: id.value, share: p.value / 100.0 }));
    }
    losses
}
