//! Where the watts go that labels promise and the rule of thumb does not find.

use super::sums::{ArraySum, BusPlace, StringSum};
use crate::model::{Element, Kind, KindIdx};
use crate::units::{Amps, Irradiance, Volts, Watts};

/// Less than this is nothing: the rounding of sums of label figures. \[W\]
const NOTHING: f64 = 1e-9;

/// Watts that are lost in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// Where, and what holds what down.
    pub cause: LossCause,
    /// How much; negative where a label promises less than its Vmp times its Imp. \[W\]
    pub watts: Watts,
}

/// What holds what down. Strings and elements count from 0.
#[derive(Debug, Clone, PartialEq)]
pub enum LossCause {
    /// The watts printed on labels are not exactly Vmp × Imp.
    Label,
    /// A plane in weaker light: current goes with the sun.
    WeakSun {
        /// Which kind.
        kind: KindIdx,
        /// How many panels of it.
        count: usize,
        /// The sun on its plane. \[W/m²\]
        sun: Irradiance,
    },
    /// Panels of a block are held to its lowest voltage.
    InBlock {
        /// Which string.
        string: usize,
        /// The block.
        block: Element,
        /// Which kind is held down.
        kind: KindIdx,
        /// How many panels of it, over all such blocks of the string.
        count: usize,
        /// Its Vmp. \[V\]
        own: Volts,
        /// The block's. \[V\]
        held: Volts,
        /// Its Imp. \[A\]
        amps: Amps,
    },
    /// Elements of a string are held to its lowest current.
    InString {
        /// Which string.
        string: usize,
        /// What is held down.
        element: Element,
        /// How many of them.
        count: usize,
        /// Its amps. \[A\]
        own: Amps,
        /// The string's. \[A\]
        held: Amps,
        /// What holds it.
        by: Element,
        /// Volts of one. \[V\]
        volts: Volts,
    },
    /// A string is held to the lowest string voltage.
    OnBus {
        /// Which string.
        string: usize,
        /// Its volts. \[V\]
        own: Volts,
        /// The bus. \[V\]
        held: Volts,
        /// Which string holds it.
        by: usize,
        /// Its amps. \[A\]
        amps: Amps,
    },
    /// The input holds the bus at the top of what it can.
    AboveWindow {
        /// The bus by itself. \[V\]
        own: Volts,
        /// The top. \[V\]
        held: Volts,
        /// All amps. \[A\]
        amps: Amps,
    },
    /// The bus lies below what the input can hold: nothing flows.
    BelowWindow {
        /// The bus. \[V\]
        own: Volts,
        /// The bottom. \[V\]
        least: Volts,
        /// All amps. \[A\]
        amps: Amps,
    },
}

/// Every loss, in the order of the steps; together the label watts less the watts by the rule.
pub(super) fn losses(sum: &ArraySum, kinds: &[Kind]) -> Vec<Loss> {
    let mut found = vec![Loss { cause: LossCause::Label, watts: misprint(sum, kinds) }];
    found.extend(weak_sun(sum, kinds));
    for (s, string) in sum.strings.iter().enumerate() {
        found.extend(in_blocks(s, string, kinds));
        found.extend(in_string(s, string));
    }
    let by = sum.strings.iter().position(|s| s.v == sum.lowest).unwrap_or(0);
    for (string, s) in sum.strings.iter().enumerate() {
        let cause = LossCause::OnBus { string, own: s.v, held: sum.lowest, by, amps: s.i };
        found.push(Loss { cause, watts: (s.v - sum.lowest) * s.i });
    }
    let amps: Amps = sum.strings.iter().map(|s| s.i).sum();
    match sum.place {
        BusPlace::Inside => {}
        BusPlace::Above => found.push(Loss {
            cause: LossCause::AboveWindow { own: sum.lowest, held: sum.bus, amps },
            watts: (sum.lowest - sum.bus) * amps,
        }),
        BusPlace::Below => found.push(Loss {
            cause: LossCause::BelowWindow { own: sum.lowest, least: sum.hold.0, amps },
            watts: sum.lowest * amps,
        }),
    }
    found.retain(|loss| loss.watts.watts().abs() > NOTHING);
    found
}

fn misprint(sum: &ArraySum, kinds: &[Kind]) -> Watts {
    let panels = sum.strings.iter().flat_map(|s| &s.elements).flat_map(|e| e.element.members());
    panels
        .map(|k| {
            let label = kinds[k.0].label;
            label.p_mp - label.v_mp * label.i_mp
        })
        .sum()
}

fn weak_sun(sum: &ArraySum, kinds: &[Kind]) -> Vec<Loss> {
    let panels = sum.strings.iter().flat_map(|s| &s.elements).flat_map(|e| e.element.members());
    let mut counts = vec![0; kinds.len()];
    panels.for_each(|k| counts[k.0] += 1);
    let loss = |(k, count): (usize, &usize)| {
        let kind = &kinds[k];
        let missing = kind.label.i_mp - kind.design_i_mp();
        let cause =
            LossCause::WeakSun { kind: KindIdx(k), count: *count, sun: kind.design_irradiance() };
        Loss { cause, watts: kind.label.v_mp * missing * *count as f64 }
    };
    counts.iter().enumerate().map(loss).collect()
}

fn in_blocks(string: usize, sum: &StringSum, kinds: &[Kind]) -> Vec<Loss> {
    let mut found: Vec<Loss> = Vec::new();
    for e in sum.elements.iter().filter(|e| e.element.is_block()) {
        for &kind in e.element.members() {
            let (label, amps) = (kinds[kind.0].label, kinds[kind.0].design_i_mp());
            let watts = (label.v_mp - e.v) * amps;
            let same = found.iter_mut().find_map(|loss| match &mut loss.cause {
                LossCause::InBlock { block, kind: k, count, .. }
                    if *block == e.element && *k == kind =>
                {
                    Some((count, &mut loss.watts))
                }
                _ => None,
            });
            match same {
                Some((count, sum)) => {
                    *count += 1;
                    *sum += watts;
                }
                None => found.push(Loss {
                    cause: LossCause::InBlock {
                        string,
                        block: e.element.clone(),
                        kind,
                        count: 1,
                        own: label.v_mp,
                        held: e.v,
                        amps,
                    },
                    watts,
                }),
            }
        }
    }
    found
}

fn in_string(string: usize, sum: &StringSum) -> Vec<Loss> {
    let by = sum.elements.iter().find(|e| e.i == sum.i).unwrap_or(&sum.elements[0]);
    let mut found: Vec<Loss> = Vec::new();
    for e in &sum.elements {
        let watts = e.v * (e.i - sum.i);
        let same = found.iter_mut().find_map(|loss| match &mut loss.cause {
            LossCause::InString { element, count, .. } if *element == e.element => {
                Some((count, &mut loss.watts))
            }
            _ => None,
        });
        match same {
            Some((count, sum)) => {
                *count += 1;
                *sum += watts;
            }
            None => found.push(Loss {
                cause: LossCause::InString {
                    string,
                    element: e.element.clone(),
                    count: 1,
                    own: e.i,
                    held: sum.i,
                    by: by.element.clone(),
                    volts: e.v,
                },
                watts,
            }),
        }
    }
    found
}
