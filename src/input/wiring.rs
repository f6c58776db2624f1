//! Strings as typed: a list is in series, a list inside it is a block in parallel.

use std::collections::BTreeMap;

use super::codes::{LARGE_BLOCK, WIRING_SHAPE};
use super::document::{Node, Value};
use super::fields::Typed;
use super::findings::Findings;
use super::ids::Ids;
use super::placed::on_plane;
use super::planes::Planes;
use crate::diagnostic::Place;
use crate::model::{Element, KindIdx, PanelString};

const SHAPE: &str = "a string is a list of panels in series, and a list inside it a block in parallel: `[a, [b, b]]`";

/// Reads strings; gathers unknown kinds, so that each is reported once.
pub(super) struct WiringReader<'i> {
    kinds: &'i Ids,
    planes: Planes<'i>,
    /// The plane of panels that name none.
    plane: Option<usize>,
    /// Where first a panel has no plane though there are some.
    homeless: Option<Place>,
    /// Most panels in a block; `None` if that could not be read.
    block_max: Option<usize>,
    /// Unknown ids: where first, and how often.
    unknown: BTreeMap<String, (Place, usize)>,
}

impl<'i> WiringReader<'i> {
    pub(super) fn new(kinds: &'i Ids, planes: Planes<'i>, block_max: Option<usize>) -> Self {
        let unknown = BTreeMap::new();
        Self { kinds, planes, plane: None, homeless: None, block_max, unknown }
    }

    /// The strings of one input, on a plane unless they say otherwise; those with a mistake are left
    /// out and reported.
    pub(super) fn read_strings(
        &mut self,
        nodes: &[Node],
        plane: Option<usize>,
        findings: &mut Findings,
    ) -> Vec<PanelString> {
        self.plane = plane;
        self.homeless = None;
        nodes.iter().filter_map(|node| self.read_string(node, findings)).collect()
    }

    /// Reports each unknown kind once.
    pub(super) fn report_unknown_kinds(&self, findings: &mut Findings) {
        for (id, (at, n_times)) in &self.unknown {
            self.kinds.report_unknown(id, *at, *n_times, findings);
        }
    }

    /// A list of elements, or the bare id of a single panel.
    fn read_string(&mut self, node: &Node, findings: &mut Findings) -> Option<PanelString> {
        let Value::List(items) = &node.value else {
            let kind = self.read_panel(node, "string", findings)?;
            return Some(PanelString::new(vec![Element::single(kind)]));
        };
        if items.is_empty() {
            let help = "delete it; a port without a string needs no entry";
            findings.error(WIRING_SHAPE, node.place, "a string has no panels", help);
            return None;
        }
        let elements: Vec<Option<Element>> =
            items.iter().map(|item| self.read_element(item, findings)).collect();
        elements.into_iter().collect::<Option<Vec<_>>>().map(PanelString::new)
    }

    /// A single panel, or a list of panels in parallel.
    fn read_element(&mut self, node: &Node, findings: &mut Findings) -> Option<Element> {
        let Value::List(items) = &node.value else {
            return self.read_panel(node, "panel", findings).map(Element::single);
        };
        if items.is_empty() {
            let help = format!("delete it; {SHAPE}");
            findings.error(WIRING_SHAPE, node.place, "a block has no panels", help);
            return None;
        }
        let members: Vec<Option<KindIdx>> =
            items.iter().map(|item| self.read_member(item, findings)).collect();
        let members = members.into_iter().collect::<Option<Vec<_>>>()?;
        if let Some(max) = self.block_max.filter(|max| members.len() > *max) {
            let message = format!(
                "a block has more panels than `block_max` ({} against {max})",
                members.len()
            );
            let help = "it is kept as it stands, but no plan will build such a block; raise `block_max` in `site` to allow it";
            findings.warning(LARGE_BLOCK, node.place, message, help);
        }
        Some(Element::block(members))
    }

    fn read_member(&mut self, node: &Node, findings: &mut Findings) -> Option<KindIdx> {
        if matches!(node.value, Value::List(_)) {
            let message = "a list stands inside a block";
            let help = format!("{SHAPE}; strings inside a block cannot be described");
            findings.error(WIRING_SHAPE, node.place, message, help);
            return None;
        }
        self.read_panel(node, "panel", findings)
    }

    /// The kind that an id names. `what` would stand here.
    fn read_panel(&mut self, node: &Node, what: &str, findings: &mut Findings) -> Option<KindIdx> {
        let text = match (&node.value, node.value.scalar_text()) {
            (Value::Nothing, _) => {
                let message = format!("a {what} is missing here");
                let help =
                    "is there a dash or comma too many? A panel is written as the `id` of its kind";
                findings.error(WIRING_SHAPE, node.place, message, help);
                return None;
            }
            (_, Some(text)) => text.trim(),
            (value, None) => {
                let message =
                    format!("a {what} must be the `id` of a kind (it is {})", value.sort());
                let help = format!("write the kind once for each panel; {SHAPE}");
                findings.error(WIRING_SHAPE, node.place, message, help);
                return None;
            }
        };
        // An id may have an `@` in it; then it is the id.
        let (id, plane) = match text.rsplit_once('@') {
            Some((id, plane)) if self.kinds.find(text).is_none() => (id.trim(), Some(plane.trim())),
            _ => (text, None),
        };
        let found = self.kinds.find(id);
        if found.is_none() {
            let first = self.unknown.entry(id.to_owned()).or_insert((node.place, 0));
            first.1 += 1;
        }
        let plane = self.plane_of(plane, node.place, findings)?;
        Some(on_plane(found?, plane, self.planes.count()))
    }

    /// The plane of a panel that names one, or its entry's; 0 where there are none.
    fn plane_of(
        &mut self,
        named: Option<&str>,
        at: Place,
        findings: &mut Findings,
    ) -> Option<usize> {
        match (named, self.plane) {
            (Some(name), _) => {
                let name = Typed { value: name.to_owned(), at, as_typed: name.to_owned() };
                self.planes.find(&name, findings)
            }
            (None, Some(plane)) => Some(plane),
            (None, None) if self.planes.count() == 0 => Some(0),
            (None, None) => {
                self.homeless.get_or_insert(at);
                None
            }
        }
    }

    /// Where first, among the strings read last, a panel has no plane though there are some.
    pub(super) fn homeless(&self) -> Option<Place> {
        self.homeless
    }
}
