//! Strings as typed: a list is in series, a list inside it is a block in parallel.

use std::collections::BTreeMap;

use super::codes::{LARGE_BLOCK, WIRING_SHAPE};
use super::document::{Node, Value};
use super::findings::Findings;
use super::ids::Ids;
use crate::diagnostic::Place;
use crate::model::{Element, KindIdx, PanelString};

const SHAPE: &str = "a string is a list of panels in series, and a list inside it a block in parallel: `[a, [b, b]]`";

/// Reads strings; gathers unknown kinds, so that each is reported once.
pub(super) struct WiringReader<'i> {
    kinds: &'i Ids,
    /// Most panels in a block; `None` if that could not be read.
    block_max: Option<usize>,
    /// Unknown ids: where first, and how often.
    unknown: BTreeMap<String, (Place, usize)>,
}

impl<'i> WiringReader<'i> {
    pub(super) fn new(kinds: &'i Ids, block_max: Option<usize>) -> Self {
        Self { kinds, block_max, unknown: BTreeMap::new() }
    }

    /// The strings of one input; those with a mistake are left out and reported.
    pub(super) fn read_strings(
        &mut self,
        nodes: &[Node],
        findings: &mut Findings,
    ) -> Vec<PanelString> {
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
        let found = self.kinds.find(text);
        if found.is_none() {
            let first = self.unknown.entry(text.to_owned()).or_insert((node.place, 0));
            first.1 += 1;
        }
        found.map(KindIdx)
    }
}
