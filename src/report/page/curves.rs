//! Where the array works on its curve, and what hand arithmetic makes of it.

use super::blocks::Block;
use super::{Subject, headed};
use crate::report::drawing::{self, When};
use crate::report::table::closing;

/// The rule of thumb, in a sentence.
const THUMB: &str = "Hand arithmetic: a string carries its lowest Imp at the sum of its Vmp; \
                     strings in parallel meet at the lowest voltage and add their amps.";

/// The curves, other peaks, clipping, and the rule of thumb beside the curves.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let (page, state) = (subject.page, subject.state());
    let drawn: Vec<Block> = subject
        .advice
        .by_input()
        .iter()
        .flat_map(|advice| {
            [When::Planned, When::Today].map(|when| drawing::curves(page.names.0, advice, when))
        })
        .flatten()
        .map(Block::Figure)
        .collect();
    let mut thumb = vec![THUMB.to_owned()];
    thumb.extend(closing::thumb_lines(page, subject.advice));
    [
        drawn,
        headed("Other peaks", closing::peak_lines(page, state)),
        headed("Clipping", closing::clipping_lines(page, state)),
        headed("Rule of thumb", thumb),
    ]
    .concat()
}
