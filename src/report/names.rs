//! The person's own names for kinds, inputs and wirings, everywhere the same.

use super::layout::GLUE;
use crate::model::{Element, InputRef, InputWiring, Installation, KindIdx, PanelString};
use crate::plan::{PanelPlace, Tag};

/// From this many equal neighbours on, a string says "6 × a" instead of naming each.
const FOLD_FROM: usize = 4;

/// Looks up names in an installation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Names<'a>(pub(super) &'a Installation);

impl<'a> Names<'a> {
    /// A kind's id.
    pub(super) fn kind(self, idx: KindIdx) -> &'a str {
        &self.0.kind(idx).id
    }

    /// The id of a kind's label: without its plane.
    pub(super) fn label(self, idx: KindIdx) -> &'a str {
        self.0.kind(idx).label_id()
    }

    /// The id of a kind's plane; `None` without planes.
    pub(super) fn plane(self, idx: KindIdx) -> Option<&'a str> {
        let plane = self.0.kind(idx).placed.as_ref()?.plane;
        Some(&self.0.site.sun.planes[plane.0].id)
    }

    /// A controller's id.
    pub(super) fn controller(self, at: InputRef) -> &'a str {
        &self.0.controller(at).id
    }

    /// `shed, input 1`.
    pub(super) fn input(self, at: InputRef) -> String {
        format!("{}, input{GLUE}{}", self.controller(at), at.input)
    }

    /// Does the site have more than one input?
    pub(super) fn has_several_inputs(self) -> bool {
        self.0.installed.len() > 1
    }

    /// ` (shed, input 1, string 2)`; the string counts from 0 and is shown from 1.
    ///
    /// With one input on the site its name is left out, and nothing remains if no string is meant.
    pub(super) fn in_place(self, at: InputRef, string: Option<usize>) -> String {
        let input = self.has_several_inputs().then(|| self.input(at));
        let string = string.map(|s| format!("string{GLUE}{}", s + 1));
        let parts: Vec<String> = input.into_iter().chain(string).collect();
        if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) }
    }

    /// The letter of an input on a site with several: `A` for the first of the site file.
    pub(super) fn letter(self, at: InputRef) -> String {
        let mut idx = self.0.installed.iter().position(|i| i.at == at).unwrap_or(0);
        let mut letters = String::new();
        loop {
            letters.insert(0, char::from(b'A' + u8::try_from(idx % 26).expect("below 26")));
            match idx / 26 {
                0 => return letters,
                more => idx = more - 1,
            }
        }
    }

    /// Where a panel stands in `wiring`: `1.2` is the second of string 1, counted from its plus end,
    /// `1.2b` the second member of a block there; `B1.2` on the second of several inputs.
    pub(super) fn place(self, wiring: &[InputWiring], place: PanelPlace) -> String {
        let input = if self.has_several_inputs() { self.letter(place.at) } else { String::new() };
        let element = wiring
            .iter()
            .find(|i| i.at == place.at)
            .map(|i| &i.array.strings[place.string].elements()[place.element]);
        let member = match element {
            Some(e) if e.is_block() => {
                char::from(b'a' + u8::try_from(place.member % 26).expect("below 26")).to_string()
            }
            _ => String::new(),
        };
        format!("{input}{}.{}{member}", place.string + 1, place.element + 1)
    }

    /// What is written on a panel's tape: its place today, or `new 1`.
    pub(super) fn tag(self, tag: Tag) -> String {
        match tag {
            Tag::Installed(place) => self.place(&self.0.installed, place),
            Tag::Spare(n) => format!("new{GLUE}{}", n + 1),
        }
    }

    /// `a` or `(a | b)`.
    pub(super) fn element(self, element: &Element) -> String {
        let members: Vec<&str> = element.members().iter().map(|&k| self.kind(k)).collect();
        if element.is_block() { format!("({})", members.join(" | ")) } else { members.concat() }
    }

    /// `a + a + (a | b)`; four or more equal neighbours as `6 × a`.
    pub(super) fn string(self, string: &PanelString) -> String {
        string
            .elements()
            .chunk_by(PartialEq::eq)
            .map(|run| {
                let one = self.element(&run[0]);
                if run.len() >= FOLD_FROM {
                    format!("{}{GLUE}×{GLUE}{one}", run.len())
                } else {
                    vec![one; run.len()].join(" + ")
                }
            })
            .collect::<Vec<_>>()
            .join(" + ")
    }

    /// The same with ordinary spaces, for files.
    pub(super) fn string_in_file(self, string: &PanelString) -> String {
        self.string(string).replace(GLUE, " ")
    }
}
