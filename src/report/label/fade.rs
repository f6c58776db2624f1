//! How far a panel has faded, in words.

use super::words::ends;
use crate::electrical::readings::{Fade, FadeVerdict};
use crate::model::Kind;
use crate::report::layout::{GLUE, titled};
use crate::report::numbers::{fixed, plain};

/// The verdict, for files.
pub(super) fn verdict_name(verdict: FadeVerdict) -> &'static str {
    match verdict {
        FadeVerdict::AsUsual => "as_usual",
        FadeVerdict::Faster => "faster",
        FadeVerdict::Slower => "slower",
    }
}

/// The section of the page.
pub(super) fn section(kind: &Kind, fade: &Fade) -> String {
    let lost = |name: &str, band| {
        let band: &crate::electrical::readings::Band = band;
        format!("{name} {}{GLUE}% ({}{GLUE}%)", fixed(band.value, 1), ends(band, 1))
    };
    let mut texts = vec![format!(
        "Against the label of {}: {}; {}; {}. A loss below zero is a gain. The label's own tolerance is not counted.",
        kind.id,
        lost("power less", &fade.p_mp_percent),
        lost("current less", &fade.i_sc_percent),
        lost("voltage less", &fade.v_oc_percent),
    )];
    texts.push(match (fade.usual, kind.age_years) {
        (Some((usual, verdict)), Some(age)) => {
            let against = match verdict {
                FadeVerdict::AsUsual => "inside the band: the panel has aged as usual, as far as these readings tell",
                FadeVerdict::Faster => "less than even the low end of the band: it has faded faster than most. Look for dirt, browning, cracked cells, a bypassed section",
                FadeVerdict::Slower => "more than even the high end of the band: it has kept better than most",
            };
            format!(
                "Usual after {} years at 0.5{GLUE}% a year: {}{GLUE}% of power, {against}.",
                plain(age, 1),
                plain(usual, 1)
            )
        }
        _ => "Give its years in the sun with `--age` (or `age_years` in the site file) to have it held against the usual 0.5 % a year.".to_owned(),
    });
    titled("Faded", &texts)
}
