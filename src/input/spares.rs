//! Panels that one could add.

use std::collections::HashMap;

use super::codes::{NO_PLANE, NO_ROOM, SPARE_TWICE, TOO_MANY};
use super::document::Node;
use super::fields::{Fields, read_name};
use super::findings::{Findings, quoted};
use super::ids::Ids;
use super::keys::SPARE;
use super::placed::on_plane;
use super::planes::Planes;
use crate::model::{KindIdx, Spare};

/// Most spare panels of a site.
const MAX_SPARES: usize = 5_000;

/// The spares, and what kinds of them would sell for; entries with a mistake are left out and reported.
pub(super) fn read_spares(
    nodes: &[Node],
    kinds: &Ids,
    planes: Planes,
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
        let places = read_places(&fields, planes, findings);
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
        let Some(places) = places else { continue };
        let places: Vec<KindIdx> =
            places.iter().map(|p| on_plane(idx, *p, planes.count())).collect();
        let kind = places.first().copied().unwrap_or(KindIdx(idx));
        spares.push(Spare { kind, count, price, places });
        resale.extend(sells_for.map(|price| (kind, price)));
    }
    (spares, resale)
}

/// The planes that a spare may go on, in their order; none where there are none. `None` if a finding
/// says why not.
fn read_places(fields: &Fields, planes: Planes, findings: &mut Findings) -> Option<Vec<usize>> {
    let nodes = match fields.list("planes", findings) {
        None if fields.has("planes") => return None,
        nodes => nodes.unwrap_or_default(),
    };
    if nodes.is_empty() {
        if planes.count() == 0 {
            return Some(Vec::new());
        }
        let message = format!("{} could go on no plane, though there are `planes`", fields.who);
        let help = format!("write where it could go, as in `planes: [{}]`", planes.named());
        findings.error(NO_PLANE, fields.at, message, help);
        return None;
    }
    let mut places = Vec::new();
    for node in nodes {
        let name = read_name(node, "each of `planes`", findings)?;
        let plane = planes.find(&name, findings)?;
        let room = planes.get(plane)?.room;
        let id = quoted(&name.value);
        match room {
            None => {
                let message = format!("{id} has no `room`, but a spare could go there");
                let help = "write in `planes` how many more panels fit, as in `room: 2`";
                findings.error(NO_ROOM, name.at, message, help);
                return None;
            }
            Some(0) => {
                let message = format!("no panel fits on {id}, but a spare could go there");
                let help = "correct `room` of the plane, or take the plane out here";
                findings.error(NO_ROOM, name.at, message, help);
                return None;
            }
            Some(_) => places.push(plane),
        }
    }
    places.sort_unstable();
    places.dedup();
    Some(places)
}
