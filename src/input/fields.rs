//! The keys of one group: takes each by name, and reports what is unknown, missing, twice or of the wrong sort.

use std::collections::HashMap;

use super::codes::{
    BAD_NAME, DUPLICATE_KEY, LIST_LENGTH, MISSING_KEY, NO_VALUE, UNKNOWN_KEY, WRONG_SORT,
};
use super::document::{Entry, Node, Value};
use super::findings::{Findings, quoted};
use super::keys::{Holds, READING_SECTIONS, SECTIONS, Section};
use super::meant::meant_key;
use super::mistyped::CURLY;
use super::number::{read_count, read_number, read_numbers};
use crate::diagnostic::Place;

/// A value with its place and its text as typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Typed<T> {
    pub(super) value: T,
    pub(super) at: Place,
    pub(super) as_typed: String,
}

/// Most characters of a name or id.
const MAX_NAME: usize = 100;

/// The keys of one group.
pub(super) struct Fields<'n> {
    section: &'static Section,
    /// What a message calls this group: kind `shed-160`.
    pub(super) who: String,
    /// Where it begins.
    pub(super) at: Place,
    entries: &'n [Entry],
    /// Keys that are reported already, such as those that a misspelt one stands for.
    excused: Vec<&'static str>,
}

impl<'n> Fields<'n> {
    /// The keys of a group; unknown and repeated ones are reported. `None` if it is no group.
    pub(super) fn open(
        node: &'n Node,
        section: &'static Section,
        findings: &mut Findings,
    ) -> Option<Self> {
        let Value::Map(entries) = &node.value else {
            let message =
                format!("{} must be a group of keys (it is {})", section.noun, node.value.sort());
            let first = section.keys[0].name;
            let help = format!("write its keys on lines of their own, each as `{first}: …`");
            findings.error(WRONG_SORT, node.place, message, help);
            return None;
        };
        let mut fields = Self {
            section,
            who: who(section, entries),
            at: node.place,
            entries,
            excused: Vec::new(),
        };
        fields.report_unknown(findings);
        fields.report_repeated(findings);
        Some(fields)
    }

    /// These keys are not missed: a finding about the whole file says so already.
    pub(super) fn excuse(&mut self, keys: &[&'static str]) {
        self.excused.extend(keys);
    }

    fn report_unknown(&mut self, findings: &mut Findings) {
        for entry in self.entries.iter().filter(|e| !self.section.has(&e.key)) {
            let key = quoted(&entry.key);
            let message = format!("unknown key {key} in {}", self.who);
            let elsewhere = self.file_sections().iter().find(|s| s.has(&entry.key));
            let help = match (meant_key(&entry.key, self.section), elsewhere) {
                (Some(meant), _) => {
                    self.excused.push(meant);
                    format!("did you mean `{meant}`?")
                }
                (None, Some(other)) => {
                    format!("{key} belongs to {}; is the indentation right?", as_group(other.noun))
                }
                (None, None) if entry.key == "<<" => {
                    "write the keys out; merging groups is not supported".into()
                }
                (None, None) => format!("keys here are {}", self.key_list()),
            };
            findings.error(UNKNOWN_KEY, entry.key_place, message, help);
        }
    }

    /// The sections of the file that this group stands in.
    fn file_sections(&self) -> &'static [&'static Section] {
        let readings = READING_SECTIONS.contains(&self.section);
        if readings { &READING_SECTIONS } else { &SECTIONS }
    }

    fn report_repeated(&self, findings: &mut Findings) {
        let mut first_entries = HashMap::new();
        for entry in self.entries {
            let first = *first_entries.entry(&entry.key).or_insert(entry);
            if std::ptr::eq(first, entry) {
                continue;
            }
            let both = match (first.node.value.scalar_text(), entry.node.value.scalar_text()) {
                (Some(a), Some(b)) => {
                    format!(": {} in line {}, then {}", quoted(a), first.key_place.line, quoted(b))
                }
                _ => format!(", first in line {}", first.key_place.line),
            };
            let message = format!("{} stands twice in {}{both}", quoted(&entry.key), self.who);
            findings.error(DUPLICATE_KEY, entry.key_place, message, "keep one of them");
        }
    }

    fn key_list(&self) -> String {
        let names: Vec<String> =
            self.section.keys.iter().map(|k| format!("`{}`", k.name)).collect();
        names.join(", ")
    }

    /// Is there such a key with a value?
    pub(super) fn has(&self, key: &str) -> bool {
        self.present(key).is_some()
    }

    /// Where a key stands, if it does.
    pub(super) fn key_place(&self, key: &str) -> Option<Place> {
        self.entry(key).map(|e| e.key_place)
    }

    fn entry(&self, key: &str) -> Option<&'n Entry> {
        self.entries.iter().find(|e| e.key == key)
    }

    fn present(&self, key: &str) -> Option<&'n Entry> {
        self.entry(key).filter(|e| e.node.value != Value::Nothing)
    }

    /// The value of a key. Reports it if it must be there and is not; an optional key may be left blank.
    pub(super) fn take(&self, key: &'static str, findings: &mut Findings) -> Option<&'n Entry> {
        let present = self.present(key);
        if let (None, Some(help)) = (present, self.section.key(key).if_missing) {
            self.report_missing(key, help, findings);
        }
        present
    }

    /// Reports a key that is missing or has no value.
    pub(super) fn report_missing(&self, key: &'static str, help: &str, findings: &mut Findings) {
        if self.excused.contains(&key) {
            return;
        }
        if let Some(blank) = self.entry(key) {
            let message = format!("`{key}` of {} has no value", self.who);
            findings.error(NO_VALUE, blank.key_place, message, help);
        } else {
            let message = format!("{} has no `{key}`", self.who);
            findings.error(MISSING_KEY, self.at, message, help);
        }
    }

    pub(super) fn number(&self, key: &'static str, findings: &mut Findings) -> Option<Typed<f64>> {
        let Holds::Number(unit, range) = self.section.key(key).holds else {
            unreachable!("the table says that `{key}` is a number");
        };
        let node = &self.take(key, findings)?.node;
        read_number(node, &format!("`{key}`"), unit, range, findings)
    }

    pub(super) fn count(&self, key: &'static str, findings: &mut Findings) -> Option<Typed<usize>> {
        let Holds::Count(lo, hi) = self.section.key(key).holds else {
            unreachable!("the table says that `{key}` is a count");
        };
        let node = &self.take(key, findings)?.node;
        read_count(node, &format!("`{key}`"), lo, hi, findings)
    }

    /// A list of as many numbers as the table says; `None` unless all are sound.
    pub(super) fn numbers(
        &self,
        key: &'static str,
        findings: &mut Findings,
    ) -> Option<Vec<Typed<f64>>> {
        let Holds::Numbers(unit, range, n) = self.section.key(key).holds else {
            unreachable!("the table says that `{key}` is a list of numbers");
        };
        let items = self.list(key, findings)?;
        if items.len() != n {
            let at = self.key_place(key).unwrap_or(self.at);
            let message = format!("`{key}` must have {n} numbers (it has {})", items.len());
            let months = if n == 12 {
                "one for each month from January to December"
            } else {
                "the lowest and the highest, as in `[32, 130]`"
            };
            let help = if n < items.len() && items.len() <= 2 * n {
                format!(
                    "write {months}; a decimal comma would part one number in two, so use points"
                )
            } else {
                format!("write {months}")
            };
            findings.error(LIST_LENGTH, at, message, help);
            return None;
        }
        read_numbers(items, &format!("each number of `{key}`"), unit, range, findings)
    }

    pub(super) fn list(&self, key: &'static str, findings: &mut Findings) -> Option<&'n [Node]> {
        let entry = self.take(key, findings)?;
        if let Value::List(items) = &entry.node.value {
            return Some(items);
        }
        let message = format!("`{key}` must be a list (it is {})", entry.node.value.sort());
        let help = match (self.section.key(key).holds, &entry.node.value) {
            (Holds::Numbers(_, _, 2), _) => "write it as `[32, 130]`".to_owned(),
            (Holds::Numbers(..), _) => "write it as `[1.9, 2.8, …]`".to_owned(),
            (_, Value::Map(_)) => {
                "begin each entry with `- `; the further keys of the entry stand below its first"
                    .to_owned()
            }
            _ => "begin each entry on a line of its own with `- `".to_owned(),
        };
        findings.error(WRONG_SORT, entry.node.place, message, help);
        None
    }

    pub(super) fn group(&self, key: &'static str, findings: &mut Findings) -> Option<&'n Node> {
        self.take(key, findings).map(|entry| &entry.node)
    }

    pub(super) fn switch(&self, key: &'static str, findings: &mut Findings) -> Option<bool> {
        let node = &self.take(key, findings)?.node;
        if let Value::Switch(on) = node.value {
            return Some(on);
        }
        let typed = node.value.scalar_text().map_or(node.value.sort().to_owned(), quoted);
        let message = format!("`{key}` must be `true` or `false` (it is {typed})");
        findings.error(
            WRONG_SORT,
            node.place,
            message,
            "write `true` for yes and `false` for no, without quotes",
        );
        None
    }

    pub(super) fn text(&self, key: &'static str, findings: &mut Findings) -> Option<Typed<String>> {
        let node = &self.take(key, findings)?.node;
        read_name(node, &format!("`{key}`"), findings)
    }
}

/// A name or id; numbers will do.
pub(super) fn read_name(
    node: &Node,
    subject: &str,
    findings: &mut Findings,
) -> Option<Typed<String>> {
    let text = match &node.value {
        Value::Text(text) => text.trim(),
        Value::Number { typed, .. } => typed.as_str(),
        other => {
            let message = format!("{subject} must be text (it is {})", other.sort());
            let help = if matches!(other, Value::Switch(_)) {
                "put it into quotes"
            } else {
                "write one name or number"
            };
            findings.error(WRONG_SORT, node.place, message, help);
            return None;
        }
    };
    let n_chars = text.chars().count();
    let odd = if text.is_empty() {
        Some(("is empty".to_owned(), "write a short name of your own".to_owned()))
    } else if n_chars > MAX_NAME {
        let why = format!("is too long ({n_chars} characters; at most {MAX_NAME})");
        Some((why, "shorten it".to_owned()))
    } else if text.contains(char::is_control) {
        Some((
            "has a line break or another control character in it".to_owned(),
            "write it on one line".to_owned(),
        ))
    } else if text.starts_with(CURLY) || text.ends_with(['“', '”', '„', '‟', '«', '»']) {
        let plain = text.trim_matches(CURLY);
        Some((
            "stands in typographic quotes".to_owned(),
            format!("write `{plain}`, without quotes or with straight ones"),
        ))
    } else {
        None
    };
    if let Some((why, help)) = odd {
        findings.error(BAD_NAME, node.place, format!("{subject} {why}"), help);
        return None;
    }
    Some(Typed { value: text.to_owned(), at: node.place, as_typed: text.to_owned() })
}

/// "a kind" for kinds; the name itself for groups that exist once.
fn as_group(noun: &str) -> String {
    if noun.starts_with(['`']) || noun.starts_with("the ") || noun.starts_with("an ") {
        noun.to_owned()
    } else {
        format!("a {noun}")
    }
}

/// What messages call a group: by its id if it has one.
fn who(section: &Section, entries: &[Entry]) -> String {
    let id = entries.iter().find(|e| e.key == "id").and_then(|e| e.node.value.scalar_text());
    match id {
        Some(id) if section.has("id") && !id.is_empty() => {
            format!("{} {}", section.noun, quoted(id))
        }
        _ if section.has("id") => format!("this {}", section.noun),
        _ => match section.noun.strip_prefix("an entry") {
            Some(rest) => format!("this entry{rest}"),
            None => section.noun.to_owned(),
        },
    }
}
