//! An array as it may really stand: today's wiring with one thing or another done wrong.

use crate::model::{Element, InputRef, Installation, KindIdx};

/// Full light, in thousandths.
pub(super) const FULL: u16 = 1000;

/// A panel as it may really be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct BuiltPanel {
    pub(super) kind: KindIdx,
    /// Share of the light that does its work, in thousandths.
    pub(super) light: u16,
    /// Sections whose bypass diode passes all current, of as many as the panel has.
    pub(super) sections_out: usize,
    /// Plus and minus are exchanged.
    pub(super) reversed: bool,
}

/// Panels in parallel.
pub(super) type BuiltElement = Vec<BuiltPanel>;

/// What of a string decides its curve.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Chain {
    /// Elements in series; none is a string of which nothing can be measured.
    pub(super) elements: Vec<BuiltElement>,
    /// Plus and minus of the whole string are exchanged.
    pub(super) reversed: bool,
    /// A joint inside it is open.
    pub(super) open: bool,
}

/// A string, and the input that it is joined to, if it is.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct BuiltString {
    pub(super) chain: Chain,
    /// Index of an input; `None` for a string that is not joined to any.
    pub(super) on: Option<usize>,
}

/// Where the controller holds an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Tracking {
    /// At the best point.
    Best,
    /// At another peak, by its number from the lowest voltage, the best left out.
    OtherPeak(usize),
    /// Above the voltage of the best point: less is wanted than the array could give.
    Held,
    /// Below it, where no peak is.
    Below,
}

/// A whole site as it may really stand, and how far its conditions and readings are to be trusted.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct World {
    /// Strings of each input, where they belong: what is read as string 2 is the second of these.
    pub(super) strings: Vec<Vec<BuiltString>>,
    /// Input by input.
    pub(super) tracking: Vec<Tracking>,
    /// True light against what was read, in thousandths.
    pub(super) sun: u16,
    /// True cell temperature less what was read, in tenths of a kelvin.
    pub(super) warmer: i16,
    /// Readings that are set aside.
    pub(super) doubted: Vec<usize>,
}

impl BuiltPanel {
    /// A panel in order.
    pub(super) fn sound(kind: KindIdx) -> Self {
        Self { kind, light: FULL, sections_out: 0, reversed: false }
    }
}

/// An element in order.
pub(super) fn sound_element(element: &Element) -> BuiltElement {
    element.members().iter().map(|k| BuiltPanel::sound(*k)).collect()
}

impl World {
    /// Everything as the site file says.
    pub(super) fn sound(installation: &Installation) -> Self {
        let strings = installation.installed.iter().enumerate().map(|(idx, input)| {
            let string = |s: &crate::model::PanelString| BuiltString {
                chain: Chain {
                    elements: s.elements().iter().map(sound_element).collect(),
                    reversed: false,
                    open: false,
                },
                on: Some(idx),
            };
            input.array.strings.iter().map(string).collect()
        });
        Self {
            strings: strings.collect(),
            tracking: vec![Tracking::Best; installation.installed.len()],
            sun: FULL,
            warmer: 0,
            doubted: Vec::new(),
        }
    }

    /// The strings that are joined to an input.
    pub(super) fn joined(&self, input: usize) -> impl Iterator<Item = &BuiltString> {
        self.strings.iter().flatten().filter(move |s| s.on == Some(input))
    }
}

/// The index of an input among the installed ones.
pub(super) fn input_idx(installation: &Installation, at: InputRef) -> usize {
    let found = installation.installed.iter().position(|w| w.at == at);
    found.expect("every input of every controller has an entry")
}
