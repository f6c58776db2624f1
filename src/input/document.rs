//! The file as typed: a tree of values, each with its place.
//!
//! Architecture invariant: nothing here knows what a key means.

use crate::diagnostic::Place;

/// A whole file as typed: nothing is known about it but that it is YAML.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Document {
    pub(super) root: Node,
}

/// One value and where it begins.
///
/// A list or map begins where its first value begins; an empty one at its bracket.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) place: Place,
    pub(super) value: Value,
}

/// What was typed.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// A key with nothing behind it, `~` or `null`.
    Nothing,
    /// `true` or `false`.
    Switch(bool),
    /// A number, and its digits as typed.
    Number { value: f64, typed: String },
    /// Anything else, without its quotes.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// Keys with their values, in file order; a key may stand there twice.
    Map(Vec<Entry>),
}

/// A key and its value.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) key_place: Place,
    pub(super) node: Node,
}

impl Value {
    /// What a person would call it, with its article.
    pub(super) fn sort(&self) -> &'static str {
        match self {
            Value::Nothing => "empty",
            Value::Switch(_) => "true or false",
            Value::Number { .. } => "a number",
            Value::Text(_) => "text",
            Value::List(_) => "a list",
            Value::Map(_) => "a group of keys",
        }
    }

    /// A single value as typed; `None` for lists and maps.
    pub(super) fn scalar_text(&self) -> Option<&str> {
        match self {
            Value::Nothing => Some(""),
            Value::Switch(true) => Some("true"),
            Value::Switch(false) => Some("false"),
            Value::Number { typed, .. } => Some(typed),
            Value::Text(text) => Some(text),
            Value::List(_) | Value::Map(_) => None,
        }
    }
}
