//! Kinds where there are planes: one for each label and plane that a string or a spare names.

use std::collections::BTreeMap;

use super::codes::TOO_MANY;
use super::findings::{Findings, quoted};
use crate::diagnostic::Place;
use crate::model::{
    ArrayWiring, Element, InputRef, Kind, KindIdx, PanelPlane, PanelString, Placed, PlaneIdx, Spare,
};

/// Most kinds that stand on a plane and may also be put up there: what they share is written out for
/// each set of them.
const MAX_SHARED: usize = 8;

/// While a file is read, a kind on a plane is counted as label × planes + plane.
pub(super) fn on_plane(label: usize, plane: usize, n_planes: usize) -> KindIdx {
    KindIdx(label * n_planes.max(1) + plane)
}

/// What was read with kinds counted so.
pub(super) struct Wirings {
    pub(super) arrays: BTreeMap<InputRef, ArrayWiring>,
    pub(super) spares: Vec<Spare>,
    /// What spare kinds would sell for.
    pub(super) resale: Vec<(KindIdx, f64)>,
}

/// The kinds that are named, and the wirings with their indices. A kind that nobody names stays
/// without a plane.
pub(super) fn place_kinds(
    labels: Vec<Kind>,
    planes: &[PanelPlane],
    read: Wirings,
) -> (Vec<Kind>, Wirings) {
    if planes.is_empty() {
        return (labels, read);
    }
    let installed = read.arrays.values().flat_map(ArrayWiring::panels);
    let mut named: Vec<KindIdx> =
        installed.chain(read.spares.iter().flat_map(|s| s.places.clone())).collect();
    named.sort_unstable();
    named.dedup();
    let mut kinds = Vec::new();
    let mut indices: BTreeMap<KindIdx, KindIdx> = BTreeMap::new();
    for (l, label) in labels.into_iter().enumerate() {
        let before = kinds.len();
        for (p, plane) in planes.iter().enumerate() {
            let counted = on_plane(l, p, planes.len());
            if named.binary_search(&counted).is_ok() {
                indices.insert(counted, KindIdx(kinds.len()));
                kinds.push(on(&label, PlaneIdx(p), plane));
            }
        }
        if kinds.len() == before {
            kinds.push(label);
        }
    }
    let index = |k: KindIdx| indices[&k];
    let element = |e: &Element| Element::block(e.members().iter().map(|k| index(*k)).collect());
    let string = |s: &PanelString| PanelString::new(s.elements().iter().map(element).collect());
    let array = |a: ArrayWiring| ArrayWiring { strings: a.strings.iter().map(string).collect() };
    let arrays = read.arrays.into_iter().map(|(at, a)| (at, array(a))).collect();
    let spares = read.spares.into_iter().map(|s| Spare {
        kind: index(s.kind),
        places: s.places.iter().map(|k| index(*k)).collect(),
        ..s
    });
    let spares = spares.collect();
    let resale = read.resale.into_iter().map(|(k, price)| (index(k), price)).collect();
    (kinds, Wirings { arrays, spares, resale })
}

fn on(label: &Kind, plane: PlaneIdx, its: &PanelPlane) -> Kind {
    let placed = Placed { label_id: label.id.clone(), plane, sun: its.at_design };
    Kind { id: format!("{}@{}", label.id, its.id), placed: Some(placed), ..label.clone() }
}

/// Reports a plane on which too many labels both stand and may be put up.
pub(super) fn check_shared(
    planes: &[PanelPlane],
    read: &Wirings,
    at: Place,
    findings: &mut Findings,
) {
    let installed: Vec<KindIdx> = read.arrays.values().flat_map(ArrayWiring::panels).collect();
    for (p, plane) in planes.iter().enumerate() {
        let here = |k: &&KindIdx| k.0 % planes.len() == p && installed.contains(k);
        let n = read.spares.iter().flat_map(|s| &s.places).filter(here).count();
        if n > MAX_SHARED {
            let id = quoted(&plane.id);
            let message = format!(
                "too many kinds both stand on {id} and are spare for it ({n}; at most {MAX_SHARED} are planned)"
            );
            let help = "leave out the spares that matter least, or part the plane in two";
            findings.error(TOO_MANY, at, message, help);
        }
    }
}
