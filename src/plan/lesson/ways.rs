//! The ways to add one panel that come to mind first.

use crate::model::{ArrayWiring, Element, Installation, KindIdx, PanelString};

/// How one panel is joined to an array.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// As a string of its own, beside the others.
    Beside,
    /// At the end of the first string.
    AtEnd,
    /// Side by side with the first panel of the first string, as a block.
    Across,
}

/// Each obvious way with the array it makes; none with nothing wired. A block only where the site
/// allows blocks.
#[must_use]
pub fn ways(
    installation: &Installation,
    today: &ArrayWiring,
    kind: KindIdx,
) -> Vec<(Way, ArrayWiring)> {
    let Some(first) = today.strings.first() else { return Vec::new() };
    let mut beside = today.clone();
    beside.strings.push(PanelString::new(vec![Element::single(kind)]));
    let with_first = |elements: Vec<Element>| {
        let mut array = today.clone();
        array.strings[0] = PanelString::new(elements);
        array
    };
    let mut longer = first.elements().to_vec();
    longer.push(Element::single(kind));
    let mut found = vec![(Way::Beside, beside), (Way::AtEnd, with_first(longer))];
    if first.elements()[0].members().len() < installation.site.block_max {
        let mut elements = first.elements().to_vec();
        let members = elements[0].members().iter().copied().chain([kind]).collect();
        elements[0] = Element::block(members);
        found.push((Way::Across, with_first(elements)));
    }
    found
}
