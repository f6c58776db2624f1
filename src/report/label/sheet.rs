//! The answer as a table for spreadsheets: one figure a line.

use super::LabelAnswer;
use crate::electrical::readings::Band;
use crate::report::numbers::fixed;

/// The answer as CSV. Nothing in it was typed by a person, so nothing needs quotes.
pub(super) fn text(answer: &LabelAnswer<'_>) -> String {
    let b = answer.bands();
    let line = |figure: &str, band: &Band, unit: &str, decimals: usize| {
        let number = |x: f64| fixed(x, decimals);
        format!(
            "{figure},{},{},{},{unit}\n",
            number(band.value),
            number(band.low),
            number(band.high)
        )
    };
    let mut text = String::from("figure,value,low,high,unit\n");
    text += &line("pmax", &b.p_mp, "W", 2);
    text += &line("vmp", &b.v_mp, "V", 2);
    text += &line("imp", &b.i_mp, "A", 3);
    text += &line("voc", &b.v_oc, "V", 2);
    text += &line("isc", &b.i_sc, "A", 3);
    if let Some((_, fade)) = answer.fade {
        text += &line("pmax_faded", &fade.p_mp_percent, "%", 2);
        text += &line("voc_faded", &fade.v_oc_percent, "%", 2);
        text += &line("isc_faded", &fade.i_sc_percent, "%", 2);
    }
    text
}
