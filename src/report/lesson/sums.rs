//! One wiring worked step by step.

use super::words;
use super::words::Beside;
use crate::model::{ArrayWiring, Installation, PanelString};
use crate::plan::{ArraySum, BusPlace, LossCause, StringState, StringSum, Worked};
use crate::report::names::Names;
use crate::report::page::blocks::{Block, Setting};
use crate::report::page::table;
use crate::report::words::listed;
use crate::units::{Volts, Watts};

/// A difference of less than this share is none.
const ALIKE: f64 = 0.003;

/// How much of the steps is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Detail {
    /// Every step.
    Full,
    /// The sums as one table, then where the watts go and why the curve differs.
    Short,
}

/// The steps, in order.
pub(super) fn steps(installation: &Installation, worked: &Worked, detail: Detail) -> Vec<Block> {
    let names = Names(installation);
    let sum = &worked.sum;
    let mut blocks = Vec::new();
    let mut number = 0;
    let mut heading = |blocks: &mut Vec<Block>, words: &str| {
        number += 1;
        blocks.push(Block::Heading(format!("Step {number}. {words}")));
    };
    if detail == Detail::Full {
        let of_blocks = block_tables(names, sum);
        if !of_blocks.is_empty() {
            heading(&mut blocks, words::STEP_BLOCKS);
            blocks.extend(of_blocks);
        }
        heading(&mut blocks, words::STEP_STRINGS);
        blocks.extend(string_tables(names, sum));
    }
    heading(&mut blocks, words::STEP_BUS);
    blocks.push(bus_table(names, sum));
    blocks.extend(bus_sentences(sum));
    heading(&mut blocks, words::STEP_LABEL);
    let used = words::utilization(sum.watts, sum.label, sum.utilization());
    blocks.push(Block::Paragraph(used));
    heading(&mut blocks, words::STEP_LOST);
    blocks.extend(losses(names, sum));
    heading(&mut blocks, words::STEP_CURVE);
    blocks.extend(curve(names, worked));
    blocks
}

fn block_tables(names: Names<'_>, sum: &ArraySum) -> Vec<Block> {
    let mut seen = Vec::new();
    let mut blocks = Vec::new();
    for e in sum.strings.iter().flat_map(|s| &s.elements).filter(|e| e.element.is_block()) {
        if seen.contains(&&e.element) {
            continue;
        }
        seen.push(&e.element);
        let mut rows: Vec<Vec<String>> = e
            .element
            .members()
            .iter()
            .map(|&k| {
                let kind = names.0.kind(k);
                let (v, i) = (kind.label.v_mp, kind.design_i_mp());
                vec![names.kind(k).to_owned(), words::v(v), words::a(i)]
            })
            .collect();
        rows.push(vec!["the block".into(), words::v(e.v), words::a(e.i)]);
        let heads = [
            ("panel", Setting::Words),
            ("volts (lowest counts)", Setting::Figures),
            ("amps (add)", Setting::Figures),
        ];
        blocks.push(table(names.element(&e.element), &heads, rows));
    }
    blocks
}

fn string_tables(names: Names<'_>, sum: &ArraySum) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut done: Vec<(&StringSum, Vec<usize>)> = Vec::new();
    for (s, string) in sum.strings.iter().enumerate() {
        match done.iter_mut().find(|(of, _)| *of == string) {
            Some((_, which)) => which.push(s),
            None => done.push((string, vec![s])),
        }
    }
    for (string, which) in done {
        let mut rows: Vec<Vec<String>> = string
            .elements
            .iter()
            .map(|e| vec![names.element(&e.element), words::v(e.v), words::a(e.i)])
            .collect();
        rows.push(vec!["the string".into(), words::v(string.v), words::a(string.i)]);
        let heads = [
            ("panel or block", Setting::Words),
            ("volts (add)", Setting::Figures),
            ("amps (lowest counts)", Setting::Figures),
        ];
        blocks.push(table(numbers_of(&which), &heads, rows));
        blocks.push(Block::Paragraph(words::sum_of_string(string.v, string.i)));
    }
    blocks
}

/// `String 1`, `Strings 1, 2 and 3, each`.
fn numbers_of(which: &[usize]) -> String {
    match which {
        [one] => format!("String {}", one + 1),
        all => {
            let numbers: Vec<String> = all.iter().map(|s| (s + 1).to_string()).collect();
            format!("Strings {}, each", listed(&numbers))
        }
    }
}

fn bus_table(names: Names<'_>, sum: &ArraySum) -> Block {
    let mut rows: Vec<Vec<String>> = sum
        .strings
        .iter()
        .enumerate()
        .map(|(s, string)| {
            vec![
                format!("string {}", s + 1),
                words::v(string.v),
                words::a(string.i),
                names.string(&wiring_of(string)),
            ]
        })
        .collect();
    rows.push(vec!["the bus".into(), words::v(sum.lowest), words::a(amps(sum)), String::new()]);
    let heads = [
        ("where", Setting::Words),
        ("volts (lowest counts)", Setting::Figures),
        ("amps (add)", Setting::Figures),
        ("wired as", Setting::Words),
    ];
    table(words::BUS_CAPTION, &heads, rows)
}

fn amps(sum: &ArraySum) -> crate::units::Amps {
    sum.strings.iter().map(|s| s.i).sum()
}

fn bus_sentences(sum: &ArraySum) -> Vec<Block> {
    let (lo, hi) = sum.hold;
    let mut said = vec![match sum.place {
        BusPlace::Inside => words::inside(lo, hi),
        BusPlace::Above => words::above(sum.lowest, lo, hi),
        BusPlace::Below => words::below(sum.lowest, lo),
    }];
    if sum.place != BusPlace::Below {
        said.push(words::bus_watts(sum.bus, sum.i, sum.watts));
    }
    said.into_iter().map(Block::Paragraph).collect()
}

/// The wiring of a string that was worked out.
pub(super) fn wiring_of(string: &StringSum) -> PanelString {
    PanelString::new(string.elements.iter().map(|e| e.element.clone()).collect())
}

/// The wiring of an array that was worked out.
pub(super) fn array_of(sum: &ArraySum) -> ArrayWiring {
    ArrayWiring { strings: sum.strings.iter().map(wiring_of).collect() }
}

fn losses(names: Names<'_>, sum: &ArraySum) -> Vec<Block> {
    if sum.losses.is_empty() {
        return vec![Block::Paragraph(words::NOTHING_LOST.into())];
    }
    if sum.losses.iter().all(|loss| loss.cause == LossCause::Label) {
        return vec![Block::Paragraph(words::ONLY_ROUNDING.into())];
    }
    let several = sum.strings.len() > 1;
    let place = |s: usize| if several { format!(" of string {}", s + 1) } else { String::new() };
    let many =
        |count: usize, id: String| if count == 1 { id } else { format!("each of {count} {id}") };
    let mut rows: Vec<Vec<String>> = sum
        .losses
        .iter()
        .map(|loss| {
            let said = match &loss.cause {
                LossCause::Label => words::LOST_LABEL.into(),
                LossCause::WeakSun { kind, count, sun } => {
                    words::lost_weak_sun(&many(*count, names.kind(*kind).to_owned()), *sun)
                }
                LossCause::InBlock { string, block, kind, count, own, held, amps } => {
                    let what = many(*count, names.kind(*kind).to_owned());
                    let what = format!("{what} in {}{}", names.element(block), place(*string));
                    words::lost_in_block(&what, *own, *held, *amps, *count)
                }
                LossCause::InString { string, element, count, own, held, by, volts } => {
                    let what = many(*count, names.element(element)) + &place(*string);
                    let by = names.element(by);
                    words::lost_in_string(&what, &by, *own, *held, *volts, *count)
                }
                LossCause::OnBus { string, own, held, by, amps } => {
                    words::lost_on_bus(*string, *by, *own, *held, *amps)
                }
                LossCause::AboveWindow { own, held, amps } => words::lost_above(*own, *held, *amps),
                LossCause::BelowWindow { own, least, amps } => {
                    words::lost_below(*own, *least, *amps)
                }
            };
            vec![words::w(loss.watts), said]
        })
        .collect();
    rows.push(vec![words::w(sum.lost()), words::LOST_SUM.into()]);
    let heads = [("watts", Setting::Figures), ("where", Setting::Words)];
    let mut blocks = vec![table(words::lost(sum.lost()), &heads, rows)];
    if !adds_up(sum) {
        blocks.push(Block::Paragraph(words::NOT_ROUND.into()));
    }
    blocks
}

/// Do the losses add up as they are shown?
fn adds_up(sum: &ArraySum) -> bool {
    let hundredths = |w: Watts| (w.watts() * 100.0).round();
    let shown: f64 = sum.losses.iter().map(|l| hundredths(l.watts)).sum();
    (shown - hundredths(sum.lost())).abs() < 0.5
}

fn curve(names: Names<'_>, worked: &Worked) -> Vec<Block> {
    let (sum, state) = (&worked.sum, &worked.curve);
    if state.power.watts() <= 0.0 {
        return vec![Block::Paragraph(words::CURVE_NOTHING.into())];
    }
    let mut said = vec![words::curve_total(state.v, state.i, state.power, sum.watts)];
    let strings = state.strings.iter().enumerate();
    let mut points: Vec<String> = strings.map(|(s, at)| why(names, sum, s, at, state.v)).collect();
    if names.0.controller(state.at).blocking_diodes {
        points.push(words::BLOCKING.into());
    }
    said.push(words::used_by_curve(state.power.watts() / state.label.watts()));
    let mut blocks: Vec<Block> = said.into_iter().map(Block::Paragraph).collect();
    blocks.insert(1, Block::List(points));
    blocks
}

/// Why one string gives another figure by the curve, in a sentence.
fn why(names: Names<'_>, sum: &ArraySum, string: usize, at: &StringState, bus: Volts) -> String {
    let of = &sum.strings[string];
    let rule_watts = sum.string_watts(string);
    let beside = Beside {
        string,
        bus,
        amps: at.current,
        watts: at.power,
        rule_watts,
        rule_amps: of.i,
        own_volts: of.v,
    };
    let share = |x: f64, of: f64| (x - of) / of.abs().max(1e-9);
    let (amps, volts) = (share(at.current.amps(), of.i.amps()), share(bus.volts(), of.v.volts()));
    let uneven = of.elements.iter().any(|e| e.i != of.i);
    if at.current.amps() < 0.0 {
        words::pushed_back(beside)
    } else if !at.bypassed.is_empty() {
        let mut ids: Vec<String> =
            at.bypassed.iter().map(|&e| names.element(&of.elements[e].element)).collect();
        ids.sort();
        ids.dedup();
        words::bypassed(beside, &listed(&ids))
    } else if share(at.power.watts(), rule_watts.watts()).abs() < ALIKE && amps.abs() < ALIKE {
        words::same(beside)
    } else if uneven && amps > ALIKE {
        words::stretched(beside)
    } else if volts > ALIKE && amps < 0.0 {
        words::above_own(beside)
    } else if volts < -ALIKE && amps > 0.0 {
        words::below_own(beside)
    } else {
        words::otherwise(beside)
    }
}
