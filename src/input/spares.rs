//! Panels that one could add.

use std::collections::HashMap;

use super::codes::{SPARE_TWICE, TOO_MANY};
use super::document::Node;
use super::fields::Fields;
use super::findings::{Findings, quoted};
use super::ids::Ids;
use super::keys::SPARE;
use crate::model::{KindIdx, Spare};

/// Most spare panels of a site.
const MAX_SPARES: usize = 5_000;

/// The spares, and what kinds of them would sell for; entries with a mistake are left out and reported.
pub(super) fn read_spares(
    nodes: &[Node],
    kinds: &Ids,
    findings: &mut Findings,
) -> (Vec<Spare>, Vec<(KindIdx, f64)>) {
    let mut spares = Vec::new();
    let mut resale = Vec::new();
    let mut first: HashMap<usize, (usize, Option<usize>)> = HashMap::new();
    let mut n_panels = 0;
    for node in nodes {
        let Some(fields) = Fields::open(node, &SPARE, findings) else { continue };
        let kind = fields.text("kind", findings);
        let count = fields.count("count", findings).map(|n| n.value);
        let price = fields.number("price", findings).map(|x| x.value);
        let sells_for = fields.number("resale", findings).map(|x| x.value);
        let Some(kind) = kind else { continue };
        let Some(idx) = kinds.find(&kind.value) else {
            kinds.report_unknown(&kind.value, kind.at, 1, findings);
            continue;
        };
        if let Some((line, before)) = first.get(&idx) {
            let message = format!(
                "spare kind {} is listed twice (the first in line {line})",
                quoted(&kind.value)
            );
            let help = match (before, count) {
                (Some(a), Some(b)) => format!("add the counts: one entry with `count: {}`", a + b),
                _ => "add the counts in one entry".to_owned(),
            };
            findings.error(SPARE_TWICE, kind.at, message, help);
            continue;
        }
        first.insert(idx, (kind.at.line, count));
        let Some(count) = count else { continue };
        n_panels += count;
        if n_panels > MAX_SPARES && n_panels - count <= MAX_SPARES {
            let message = format!(
                "there are too many spare panels ({n_panels} up to here; at most {MAX_SPARES} are read)"
            );
            findings.error(TOO_MANY, kind.at, message, "write only as many as there is room for");
        }
        spares.push(Spare { kind: KindIdx(idx), count, price });
        resale.extend(sells_for.map(|price| (KindIdx(idx), price)));
    }
    (spares, resale)
}
