//! How panels are wired: blocks, strings, arrays.

use super::KindIdx;

/// One element of a string: a single panel, or a block of panels in parallel.
///
/// Never empty; members stand in ascending order, since order in parallel means nothing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Element(Vec<KindIdx>);

/// Elements in series. Never empty. Elements keep the order in which they were given:
/// electrically it means nothing, on the roof it does.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PanelString(Vec<Element>);

/// Strings in parallel on one controller input. May be empty.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct ArrayWiring {
    /// The strings, in port order.
    pub strings: Vec<PanelString>,
}

/// One independent tracker of one controller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InputRef {
    /// Index into `Installation::controllers`, from 0.
    pub controller: usize,
    /// Number of the input as people count, from 1.
    pub input: usize,
}

/// The wiring on one input.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct InputWiring {
    /// Which input.
    pub at: InputRef,
    /// What is wired to it.
    pub array: ArrayWiring,
}

impl Element {
    /// A single panel.
    #[must_use]
    pub fn single(kind: KindIdx) -> Self {
        Self(vec![kind])
    }

    /// Panels in parallel (one panel is a single).
    ///
    /// # Panics
    /// If `members` is empty.
    #[must_use]
    pub fn block(mut members: Vec<KindIdx>) -> Self {
        assert!(!members.is_empty(), "an element has at least one panel");
        members.sort_unstable();
        Self(members)
    }

    /// The panels of this element, in ascending order of kind.
    #[must_use]
    pub fn members(&self) -> &[KindIdx] {
        &self.0
    }

    /// Are there two or more panels in parallel?
    #[must_use]
    pub fn is_block(&self) -> bool {
        self.0.len() > 1
    }
}

impl PanelString {
    /// Elements in series.
    ///
    /// # Panics
    /// If `elements` is empty.
    #[must_use]
    pub fn new(elements: Vec<Element>) -> Self {
        assert!(!elements.is_empty(), "a string has at least one element");
        Self(elements)
    }

    /// The elements, from the positive end, as given.
    #[must_use]
    pub fn elements(&self) -> &[Element] {
        &self.0
    }

    /// Every panel in the string.
    pub fn panels(&self) -> impl Iterator<Item = KindIdx> + '_ {
        self.0.iter().flat_map(|e| e.members().iter().copied())
    }

    /// The same string with its elements in ascending order: equal for strings that are electrically alike.
    #[must_use]
    pub fn canonical(&self) -> Self {
        let mut elements = self.0.clone();
        elements.sort();
        Self(elements)
    }
}

impl ArrayWiring {
    /// Every panel in the array.
    pub fn panels(&self) -> impl Iterator<Item = KindIdx> + '_ {
        self.strings.iter().flat_map(PanelString::panels)
    }

    /// How many panels of each kind are wired; one entry per kind.
    #[must_use]
    pub fn count_by_kind(&self, n_kinds: usize) -> Vec<usize> {
        let mut counts = vec![0; n_kinds];
        for kind in self.panels() {
            counts[kind.0] += 1;
        }
        counts
    }

    /// The same array with strings and elements in ascending order.
    #[must_use]
    pub fn canonical(&self) -> Self {
        let mut strings: Vec<_> = self.strings.iter().map(PanelString::canonical).collect();
        strings.sort();
        Self { strings }
    }
}
