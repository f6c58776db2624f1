//! Text to a tree of located values; the only file that names `serde_yaml`.
//!
//! The reader tells no places of values, but an error does. So each single value is kept aside and then
//! refused: the refusal comes back with line and column, and the walk goes on behind the value. Lists and
//! groups cannot be refused without losing the way; they begin where their first value begins, and an
//! empty one is looked up by walking to it again.
//! Architecture invariant: nothing here knows what a key means.

use std::cell::{Cell, RefCell};
use std::fmt;

use serde::de::{
    self, DeserializeSeed, Deserializer, EnumAccess, IgnoredAny, MapAccess, SeqAccess, Visitor,
};

use super::codes::{TOO_MUCH, YAML_FEATURE};
use super::document::{Document, Entry, Node, Value};
use super::findings::Findings;
use super::lines::Lines;
use super::syntax::report_syntax;
use crate::diagnostic::Place;

/// Most values of a document, after aliases are followed: keeps an alias bomb small.
const MAX_VALUES: usize = 50_000;
/// Most levels of nesting; a site file has eight.
const MAX_DEPTH: usize = 30;
/// Most characters of a key.
const MAX_KEY: usize = 200;
/// Most bytes walked through to look up empty lists; past that they get the place of what stands before.
const MAX_LOOKED_THROUGH: usize = 5_000_000;

const START: Place = Place { line: 1, column: 1 };

/// The document in a text; `None` if it is not YAML, which is then among the findings.
pub(super) fn parse_document(text: &str, findings: &mut Findings) -> Option<Document> {
    let walk = Walk::new(&findings.lines);
    let result =
        NodeSeed { walk: &walk, depth: 0 }.deserialize(serde_yaml::Deserializer::from_str(text));
    let (caught, stop) = (walk.caught.take(), walk.stop.take());
    let error = match result {
        Ok(mut root) => {
            Settler { text, path: Vec::new(), looked_through: 0, last: START }.settle(&mut root);
            return Some(Document { root });
        }
        Err(error) => error,
    };
    let place = error.location().map(|at| Place { line: at.line(), column: at.column() });
    if let Some(value) = caught {
        let root = Node { place: place.unwrap_or(START), value };
        return Some(Document { root });
    }
    match stop {
        Some((code, message, help)) => findings.error(code, place.unwrap_or(START), message, help),
        None => report_syntax(&error.to_string(), place, text, findings),
    }
    None
}

/// Why a walk ended early: code, message, help.
type Stop = (&'static str, String, &'static str);

/// What one walk through a document shares.
struct Walk<'l> {
    lines: &'l Lines<'l>,
    n_values: Cell<usize>,
    /// The single value that was just refused so as to learn its place.
    caught: RefCell<Option<Value>>,
    stop: RefCell<Option<Stop>>,
}

impl<'l> Walk<'l> {
    fn new(lines: &'l Lines<'l>) -> Self {
        Self { lines, n_values: Cell::new(0), caught: RefCell::new(None), stop: RefCell::new(None) }
    }

    /// Keeps a single value aside and refuses it.
    fn refuse<E: de::Error>(&self, value: Value) -> E {
        if self.n_values.get() < MAX_VALUES {
            self.n_values.set(self.n_values.get() + 1);
            self.caught.replace(Some(value));
            return E::custom("a value stands here");
        }
        let message = format!("the file has too many values (at most {MAX_VALUES} are read)");
        self.stop(
            TOO_MUCH,
            message,
            "write each panel out once; aliases (`*name`) may repeat a list too often",
        )
    }

    fn stop<E: de::Error>(&self, code: &'static str, message: String, help: &'static str) -> E {
        self.stop.replace(Some((code, message, help)));
        E::custom("stopped")
    }

    /// The value that was refused with this error, and its place; the error again if it was another.
    fn caught_at<E: de::Error>(&self, error: E) -> Result<Node, E> {
        let Some(mut value) = self.caught.take() else {
            return Err(error);
        };
        let place = last_place_in(&error.to_string()).unwrap_or(START);
        if let Value::Number { value, typed } = &mut value {
            let raw = self.lines.number_at(place);
            *typed = match raw.parse::<f64>() {
                Ok(same) if same.total_cmp(value).is_eq() => raw.to_owned(),
                _ if !value.is_finite() && !raw.is_empty() => raw.to_owned(),
                _ => value.to_string(),
            };
        }
        Ok(Node { place, value })
    }
}

/// The place at the end of an error's text: `… at line 3 column 5`; the first sign of a text has none.
fn last_place_in(text: &str) -> Option<Place> {
    let (_, tail) = text.rsplit_once(" at line ")?;
    let (line, column) = tail.split_once(" column ")?;
    Some(Place { line: line.parse().ok()?, column: column.parse().ok()? })
}

/// Reads any value.
#[derive(Clone, Copy)]
struct NodeSeed<'w> {
    walk: &'w Walk<'w>,
    depth: usize,
}

impl<'de> DeserializeSeed<'de> for NodeSeed<'_> {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl NodeSeed<'_> {
    /// One level further in.
    fn inner<E: de::Error>(self) -> Result<Self, E> {
        if self.depth < MAX_DEPTH {
            return Ok(Self { depth: self.depth + 1, ..self });
        }
        let message = format!("values are nested too deeply (at most {MAX_DEPTH} levels are read)");
        Err(self.walk.stop(TOO_MUCH, message, "is a bracket left open further up?"))
    }
}

impl<'de> Visitor<'de> for NodeSeed<'_> {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any value")
    }

    fn visit_bool<E: de::Error>(self, on: bool) -> Result<Node, E> {
        Err(self.walk.refuse(Value::Switch(on)))
    }

    fn visit_i64<E: de::Error>(self, whole: i64) -> Result<Node, E> {
        self.visit_f64(whole as f64)
    }

    fn visit_u64<E: de::Error>(self, whole: u64) -> Result<Node, E> {
        self.visit_f64(whole as f64)
    }

    fn visit_i128<E: de::Error>(self, whole: i128) -> Result<Node, E> {
        self.visit_f64(whole as f64)
    }

    fn visit_u128<E: de::Error>(self, whole: u128) -> Result<Node, E> {
        self.visit_f64(whole as f64)
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Node, E> {
        Err(self.walk.refuse(Value::Number { value, typed: String::new() }))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Node, E> {
        Err(self.walk.refuse(Value::Text(text.to_owned())))
    }

    fn visit_unit<E: de::Error>(self) -> Result<Node, E> {
        Err(self.walk.refuse(Value::Nothing))
    }

    fn visit_none<E: de::Error>(self) -> Result<Node, E> {
        self.visit_unit()
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Node, A::Error> {
        let inner = self.inner()?;
        let mut items = Vec::new();
        loop {
            items.push(match seq.next_element_seed(inner) {
                Ok(Some(container)) => container,
                Ok(None) => break,
                Err(error) => self.walk.caught_at(error)?,
            });
        }
        Ok(Node { place: START, value: Value::List(items) })
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let inner = self.inner()?;
        let mut entries = Vec::new();
        loop {
            let key_node = match map.next_key_seed(inner) {
                Ok(Some(key)) => key,
                Ok(None) => break,
                Err(error) => self.walk.caught_at(error)?,
            };
            let Some(key) = key_node.value.scalar_text() else {
                let message = "a list or a group of keys stands where a key belongs".to_owned();
                return Err(self.walk.stop(
                    YAML_FEATURE,
                    message,
                    "is a bracket or a brace too many, or a `-` or `?` misplaced?",
                ));
            };
            if key.chars().count() > MAX_KEY {
                let message = format!("a key is longer than {MAX_KEY} characters");
                return Err(self.walk.stop(
                    TOO_MUCH,
                    message,
                    "is a quote left open, or a line break missing?",
                ));
            }
            let node = match map.next_value_seed(inner) {
                Ok(container) => container,
                Err(error) => self.walk.caught_at(error)?,
            };
            entries.push(Entry { key: key.to_owned(), key_place: key_node.place, node });
        }
        Ok(Node { place: START, value: Value::Map(entries) })
    }

    fn visit_enum<A: EnumAccess<'de>>(self, _tagged: A) -> Result<Node, A::Error> {
        let message = "a value begins with `!`, which is a tag in YAML".to_owned();
        Err(self.walk.stop(YAML_FEATURE, message, "take the `!` away, or put the text into quotes"))
    }
}

/// Gives every list and group the place of its first value, or of its bracket if it is empty.
struct Settler<'t> {
    text: &'t str,
    /// Indices that lead to the value at hand.
    path: Vec<usize>,
    looked_through: usize,
    /// Place of the value before.
    last: Place,
}

impl Settler<'_> {
    fn settle(&mut self, node: &mut Node) {
        let before = self.last;
        let first = match &mut node.value {
            Value::List(items) => {
                for (i, item) in items.iter_mut().enumerate() {
                    self.settle_inner(i, item);
                }
                items.first().map(|item| item.place)
            }
            Value::Map(entries) => {
                for (i, entry) in entries.iter_mut().enumerate() {
                    self.last = entry.key_place;
                    self.settle_inner(i, &mut entry.node);
                }
                entries.first().map(|entry| entry.key_place)
            }
            _ => {
                self.last = node.place;
                return;
            }
        };
        node.place = first.or_else(|| self.look_up()).unwrap_or(before);
    }

    fn settle_inner(&mut self, idx: usize, node: &mut Node) {
        self.path.push(idx);
        self.settle(node);
        self.path.pop();
    }

    /// Walks to the empty list or group at hand and fails there, which tells the place.
    fn look_up(&mut self) -> Option<Place> {
        self.looked_through += self.text.len();
        if self.looked_through > MAX_LOOKED_THROUGH {
            return None;
        }
        let deserializer = serde_yaml::Deserializer::from_str(self.text);
        let error = PathSeed(&self.path).deserialize(deserializer).err()?;
        error.location().map(|at| Place { line: at.line(), column: at.column() })
    }
}

/// Steps over everything but one path.
struct PathSeed<'p>(&'p [usize]);

impl<'de> DeserializeSeed<'de> for PathSeed<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for PathSeed<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the value at a path")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<(), A::Error> {
        let Some((&idx, rest)) = self.0.split_first() else {
            return Err(de::Error::custom("here"));
        };
        for _ in 0..idx {
            seq.next_element::<IgnoredAny>()?;
        }
        seq.next_element_seed(PathSeed(rest)).map(|_| ())
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let Some((&idx, rest)) = self.0.split_first() else {
            return Err(de::Error::custom("here"));
        };
        for _ in 0..idx {
            map.next_entry::<IgnoredAny, IgnoredAny>()?;
        }
        map.next_key::<IgnoredAny>()?;
        map.next_value_seed(PathSeed(rest))
    }
}

#[cfg(test)]
mod tests;
