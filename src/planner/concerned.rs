//! Which panels an answer speaks of.

use crate::model::{Element, InputWiring, Installation, PanelString, Spare};

/// Today's wiring, and one string for each spare kind beside it: every kind that is spoken of.
pub(super) fn concerned(installation: &Installation) -> Vec<InputWiring> {
    let mut wiring = installation.installed.clone();
    if let Some(first) = wiring.first_mut() {
        let single = |s: &Spare| PanelString::new(vec![Element::single(s.kind)]);
        first.array.strings.extend(installation.spares.iter().map(single));
    }
    wiring
}
