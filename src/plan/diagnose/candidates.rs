//! Everything that may be wrong with one site, each thing by itself.

use itertools::Itertools;

use super::Fault;
use super::built::{World, input_idx};
use super::curves::Curves;
use super::fault::StringAt;
use crate::model::{ArrayReadings, Element, Installation, KindIdx};

/// Shares that are tried before the best is refined, in thousandths.
pub(super) const SHARES: [u16; 10] = [20, 100, 200, 300, 400, 500, 600, 700, 800, 900];
/// The same for the light on the whole array; the meter may also read too little.
pub(super) const LIGHT_SHARES: [u16; 10] = [300, 400, 500, 600, 700, 800, 900, 1100, 1200, 1350];
/// Cells against what was read, in tenths of a kelvin.
const WARMER: [i16; 10] = [-200, -150, -100, -70, -50, 50, 70, 100, 150, 200];
/// Most other peaks of one input that are tried.
const MOST_PEAKS: usize = 3;
/// Most kinds that are tried in each place of a string.
const MOST_KINDS: usize = 8;
/// Most strings of which any two are tried in each other's place.
const MOST_SWAPPED: usize = 24;

/// Causes, those of one family together: the same thing with another share.
pub(super) type Family = Vec<Fault>;

/// All families for a site and what was read on it.
pub(super) fn families(
    installation: &Installation,
    curves: &Curves<'_>,
    readings: &ArrayReadings,
) -> Vec<Family> {
    let read = inputs_read(installation, readings);
    let strings: Vec<StringAt> = read
        .iter()
        .flat_map(|input| {
            let n = installation.installed[*input].array.strings.len();
            (0..n).map(|string| StringAt { input: *input, string })
        })
        .collect();
    let mut all: Vec<Family> =
        strings.iter().flat_map(|at| of_string(installation, curves, *at)).collect();
    all.extend(exchanges(installation, &strings).into_iter().map(|c| vec![c]));
    for input in &read {
        all.extend((0..MOST_PEAKS).map(|n| vec![Fault::OtherPeak(*input, n)]));
        all.push(vec![Fault::HeldBack(*input)]);
        all.push(vec![Fault::Below(*input)]);
    }
    all.push(LIGHT_SHARES.map(Fault::Light).to_vec());
    all.push(WARMER.map(Fault::Warmer).to_vec());
    let n_readings: usize = readings.sets.iter().map(|s| s.readings.len()).sum();
    all.extend((0..n_readings).map(|r| vec![Fault::Misread(r)]));
    // What cannot befall a sound array is no candidate.
    let sound = World::sound(installation);
    all.retain(|family| family[0].befall(&sound).is_some());
    all
}

/// Inputs on which anything was read.
fn inputs_read(installation: &Installation, readings: &ArrayReadings) -> Vec<usize> {
    let read = readings.sets.iter().flat_map(|s| &s.readings);
    read.map(|r| input_idx(installation, r.at)).sorted_unstable().dedup().collect()
}

fn of_string(installation: &Installation, curves: &Curves<'_>, at: StringAt) -> Vec<Family> {
    let string = &installation.installed[at.input].array.strings[at.string];
    let mut all: Vec<Family> = vec![
        vec![Fault::StringOpen(at)],
        vec![Fault::StringOff(at)],
        vec![Fault::StringReversed(at)],
    ];
    if string.panels().count() > 1 {
        all.push(SHARES.map(|share| Fault::WeakString(at, share)).to_vec());
    }
    let others = (0..installation.installed.len()).filter(|input| *input != at.input);
    all.extend(others.map(|input| vec![Fault::OnOther(at, input)]));
    let kinds = || {
        let here = string.panels();
        here.chain((0..installation.kinds.len()).map(KindIdx)).unique().take(MOST_KINDS)
    };
    all.extend(kinds().map(|kind| vec![Fault::TooMany(at, kind)]));
    for element in string.elements().iter().unique() {
        all.push(vec![Fault::Missing(at, element.clone())]);
        for kind in element.members().iter().copied().unique() {
            all.extend(of_panel(curves, at, element, kind));
            let others = kinds().filter(|other| *other != kind);
            all.extend(others.map(|is| vec![Fault::OtherKind(at, element.clone(), kind, is)]));
        }
    }
    all
}

fn of_panel(curves: &Curves<'_>, at: StringAt, element: &Element, kind: KindIdx) -> Vec<Family> {
    let e = || element.clone();
    let mut all = vec![
        vec![Fault::PanelReversed(at, e(), kind)],
        SHARES.map(|share| Fault::Weak(at, e(), kind, share)).to_vec(),
    ];
    all.extend((1..curves.sections(kind)).map(|n| vec![Fault::Bypassed(at, e(), kind, n)]));
    if element.is_block() {
        all.push(vec![Fault::MemberOff(at, e(), kind)]);
    }
    all
}

/// Two strings, or two panels of two strings, in each other's place.
fn exchanges(installation: &Installation, strings: &[StringAt]) -> Vec<Fault> {
    let of = |at: StringAt| &installation.installed[at.input].array.strings[at.string];
    let singles = |at: StringAt| {
        let singles = of(at).elements().iter().filter(|e| !e.is_block());
        singles.map(|e| e.members()[0]).unique().collect::<Vec<_>>()
    };
    let mut all = Vec::new();
    for (a, b) in strings.iter().take(MOST_SWAPPED).copied().tuple_combinations() {
        if of(a).canonical() == of(b).canonical() {
            continue;
        }
        all.push(Fault::StringsSwapped(a, b));
        for (of_a, of_b) in singles(a).into_iter().cartesian_product(singles(b)) {
            if of_a != of_b {
                all.push(Fault::PanelsSwapped(a, of_a, b, of_b));
            }
        }
    }
    all
}
