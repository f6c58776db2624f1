//! Ids of kinds and controllers, and what refers to them.

use std::collections::HashMap;

use super::codes::{DUPLICATE_ID, TOO_MANY, UNKNOWN_CONTROLLER, UNKNOWN_KIND, UNKNOWN_PLANE};
use super::document::{Node, Value};
use super::findings::{Findings, quoted};
use super::meant::nearest;
use crate::diagnostic::Place;

/// Most ids that a message lists.
const MAX_NAMED: usize = 8;

/// The ids of one list, by index; broken entries keep their index.
pub(super) struct Ids {
    noun: &'static str,
    by_id: HashMap<String, usize>,
    in_order: Vec<String>,
    /// An entry has no sound id, or there are none at all: an id that is not found may be its.
    incomplete: bool,
}

impl Ids {
    /// Collects the ids of a list's entries. Reports repeated ids and a list that is too long;
    /// an entry without an id is reported by whoever reads the entry.
    pub(super) fn read(
        nodes: &[Node],
        noun: &'static str,
        max: usize,
        findings: &mut Findings,
    ) -> Self {
        if nodes.len() > max {
            let message =
                format!("there are too many {noun}s ({}; at most {max} are read)", nodes.len());
            let help = format!("leave out the {noun}s that are neither installed nor planned with");
            findings.error(TOO_MANY, nodes[max].place, message, help);
        }
        let incomplete = nodes.is_empty() || nodes.iter().any(|node| id_of(node).is_none());
        let mut ids = Self { noun, by_id: HashMap::new(), in_order: Vec::new(), incomplete };
        let mut first_lines = HashMap::new();
        for (idx, node) in nodes.iter().take(max).enumerate() {
            let Some((id, at)) = id_of(node) else { continue };
            if let Some(line) = first_lines.get(&id) {
                let message =
                    format!("two {noun}s have the id {} (the first in line {line})", quoted(&id));
                let help = format!("give each {noun} an id of its own, or delete one of the two");
                findings.error(DUPLICATE_ID, at, message, help);
                continue;
            }
            first_lines.insert(id.clone(), at.line);
            ids.by_id.insert(id.clone(), idx);
            ids.in_order.push(id);
        }
        ids
    }

    /// The ids of a list's entries and where they stand, sound ones alone.
    pub(super) fn each(nodes: &[Node]) -> impl Iterator<Item = (String, Place)> + '_ {
        nodes.iter().filter_map(id_of)
    }

    /// The ids of a list that was read and found sound.
    pub(super) fn known<'i>(noun: &'static str, ids: impl Iterator<Item = &'i str>) -> Self {
        let in_order: Vec<String> = ids.map(str::to_owned).collect();
        let by_id = in_order.iter().cloned().zip(0..).collect();
        Self { noun, by_id, in_order, incomplete: false }
    }

    /// The index of an id.
    pub(super) fn find(&self, id: &str) -> Option<usize> {
        self.by_id.get(id).copied()
    }

    /// Reports an id that is not there, however often it is named. Silent where a mistake that is
    /// reported already may be why.
    pub(super) fn report_unknown(
        &self,
        id: &str,
        at: Place,
        n_times: usize,
        findings: &mut Findings,
    ) {
        if self.incomplete {
            return;
        }
        let often = if n_times > 1 { format!(" (named {n_times} times)") } else { String::new() };
        let noun = self.noun;
        let message = format!("there is no {noun} {}{often}", quoted(id));
        let code = match noun {
            "kind" => UNKNOWN_KIND,
            "plane" => UNKNOWN_PLANE,
            _ => UNKNOWN_CONTROLLER,
        };
        findings.error(code, at, message, self.help_for(id));
    }

    fn help_for(&self, id: &str) -> String {
        let noun = self.noun;
        if let Some(help) = self.several_in_one(id) {
            return help;
        }
        if let Some(near) = nearest(id, self.in_order.iter().map(String::as_str)) {
            return format!("did you mean `{near}`?");
        }
        let named: Vec<String> =
            self.in_order.iter().take(MAX_NAMED).map(|id| quoted(id)).collect();
        let add = format!("add it to `{noun}s`, or name one that is there");
        match (named.len(), self.in_order.len() - named.len()) {
            (1, 0) => format!("the only {noun} is {}; {add}", named[0]),
            (_, 0) => format!("the {noun}s are {}; {add}", named.join(", ")),
            (_, more) => format!("the {noun}s are {} and {more} more; {add}", named.join(", ")),
        }
    }

    /// `2 x shed-160` or `shed-160, shed-160` where one id belongs.
    fn several_in_one(&self, text: &str) -> Option<String> {
        let parts: Vec<&str> = text.split([',', ';', '+']).map(str::trim).collect();
        if parts.len() > 1 && parts.iter().all(|part| self.find(part).is_some()) {
            return Some(format!("put a string into brackets, as `[{}]`", parts.join(", ")));
        }
        let is_count = |s: &str| s.trim().parse::<usize>().is_ok();
        let id = text.match_indices(['x', 'X', '*', '×']).find_map(|(at, sign)| {
            let (before, after) = (&text[..at], &text[at + sign.len()..]);
            let id = if is_count(before) {
                after
            } else if is_count(after) {
                before
            } else {
                return None;
            };
            self.find(id.trim()).map(|_| id.trim())
        })?;
        Some(format!(
            "write the {} once for each panel: `[{id}, {id}]` are two in series",
            self.noun
        ))
    }
}

/// The id of an entry, trimmed as names are.
fn id_of(node: &Node) -> Option<(String, Place)> {
    let Value::Map(entries) = &node.value else { return None };
    let entry = entries.iter().find(|e| e.key == "id")?;
    let id = match &entry.node.value {
        Value::Text(text) => text.trim(),
        Value::Number { typed, .. } => typed,
        _ => return None,
    };
    (!id.is_empty()).then(|| (id.to_owned(), entry.node.place))
}
