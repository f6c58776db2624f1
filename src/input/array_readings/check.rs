//! Can a meter have shown this on such an array, wired in whatever way?

use super::codes::{SIZE, SWAPPED};
use crate::input::fields::Typed;
use crate::input::findings::{Findings, rounded};
use crate::model::{InputRef, Installation, Kind, PanelString, Spot};

/// What a string may show against the sum of its labels, with panels too many, cold and in more than full
/// sun: beyond it a figure was mistyped (ours).
const MOST_OF_A_STRING: f64 = 3.0;
/// The same of an array against all that is on the site (ours).
const MOST_OF_ALL: f64 = 2.0;
/// Two figures look swapped if each lies so near the other's place, as a factor either way.
const NEAR: f64 = 1.5;

/// Volts at no load by the labels, one panel of each element. \[V\]
fn label_volts(string: &PanelString, kinds: &[Kind]) -> f64 {
    let highest = |e: &crate::model::Element| {
        e.members().iter().map(|k| kinds[k.0].label.v_oc.volts()).fold(0.0, f64::max)
    };
    string.elements().iter().map(highest).sum()
}

/// Amps at short circuit by the labels, of the strongest element. \[A\]
fn label_amps(string: &PanelString, kinds: &[Kind]) -> f64 {
    let sum = |e: &crate::model::Element| {
        e.members().iter().map(|k| kinds[k.0].label.i_sc.amps()).sum::<f64>()
    };
    string.elements().iter().map(sum).fold(0.0, f64::max)
}

/// Do volts and amps of a string stand in each other's place?
pub(super) fn are_swapped(
    (volts, amps): (f64, f64),
    string: &PanelString,
    kinds: &[Kind],
    sun: f64,
) -> bool {
    let (v, i) = (label_volts(string, kinds), label_amps(string, kinds) * sun / 1000.0);
    let near = |x: f64, y: f64| y / NEAR <= x.abs() && x.abs() <= y * NEAR;
    // A string whose volts and amps are of one size cannot be told.
    !(near(v, i)) && near(volts, i) && near(amps, v)
}

/// Says that they do.
pub(super) fn report_swapped(
    volts: &Typed<f64>,
    amps: &Typed<f64>,
    string: usize,
    findings: &mut Findings,
) {
    let message = format!(
        "volts and amperes of string {} look swapped (`voc_v` is {}, `isc_a` is {})",
        string + 1,
        volts.as_typed,
        amps.as_typed
    );
    let help = format!("write `voc_v: {}` and `isc_a: {}`", amps.as_typed, volts.as_typed);
    findings.error(SWAPPED, volts.at, message, help);
}

/// Is a figure of a size that these panels can give, wired in whatever way? Reports it if not.
pub(super) fn has_a_possible_size(
    installation: &Installation,
    at: InputRef,
    spot: Spot,
    typed: &Typed<f64>,
    findings: &mut Findings,
) -> bool {
    let kinds = &installation.kinds;
    let strings = || installation.installed.iter().flat_map(|w| &w.array.strings);
    let here = installation.installed.iter().find(|w| w.at == at);
    let string = spot.string().and_then(|s| here?.array.strings.get(s));
    let most = match (spot.is_volts(), string) {
        (true, Some(string)) => {
            // Another string may stand in this one's place.
            let longest = strings().map(|s| label_volts(s, kinds)).fold(0.0, f64::max);
            longest.max(MOST_OF_A_STRING * label_volts(string, kinds))
        }
        (true, None) => MOST_OF_ALL * strings().map(|s| label_volts(s, kinds)).fold(0.0, f64::max),
        (false, _) => MOST_OF_ALL * strings().map(|s| label_amps(s, kinds)).sum::<f64>(),
    };
    if typed.value.abs() <= most {
        return true;
    }
    let unit = if spot.is_volts() { "V" } else { "A" };
    let message = format!(
        "{} {unit} are more than these panels give, wired in whatever way (at most some {} {unit})",
        typed.as_typed,
        rounded(most, 0)
    );
    let thousandth = rounded(typed.value / 1000.0, 3);
    let help = if typed.value.abs() / 1000.0 > 0.02 * most {
        format!(
            "is a decimal point missing, or is it in m{unit} ({} m{unit} are {thousandth} {unit})?",
            typed.as_typed
        )
    } else {
        "is a decimal point missing?".to_owned()
    };
    findings.error(SIZE, typed.at, message, help);
    false
}
