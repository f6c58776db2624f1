//! What to buy, in words: the same for a report, for programs and for spreadsheets.

use super::layout::GLUE;
use super::names::Names;
use super::numbers::{amps, plain, volts};
use super::words::listed;
use crate::model::RunPart;
use crate::plan::{Cable, CableSize, FusePlace, Item, NeededBy, Part, Unsure};
use crate::units::{Amps, Volts};

const TRADE: &str = "common practice, no source";
const FAULTS: &str = "IEC 62548, US NEC 690.9(A), from secondary sources: check your edition";
const CURRENTS: &str = "US NEC 690.8, from a secondary source: check your edition";

/// What it is, with its size.
pub(super) fn what(part: &Part) -> String {
    match &part.item {
        Item::Controller { .. } => "controller that stands ready".into(),
        Item::BatteryFuse => "fuse or breaker for direct current, at the battery".into(),
        Item::Fuse(need) => match need.size {
            Some(size) => format!("DC fuse (gPV), {}{GLUE}A", plain(size.amps(), 1)),
            None => "DC fuse (gPV), size open".into(),
        },
        Item::FuseHolder(FusePlace::String) => "fuse holder at the combiner".into(),
        Item::FuseHolder(FusePlace::Member { .. }) => {
            "fuse holder in a panel's lead, with connectors".into()
        }
        Item::BranchPair { ways } => {
            format!("branch connectors, one plus and one minus, {ways}{GLUE}to{GLUE}1")
        }
        Item::ConnectorPair => "pair of connectors that mate, of one make".into(),
        Item::Cable { cable, .. } => match cable.cross_section() {
            Some(size) => {
                format!("copper cable, {}, two conductors of {}", size.name(), length(cable))
            }
            None => {
                format!("copper cable, two conductors of {}: no listed size serves", length(cable))
            }
        },
        Item::UnknownCable { .. } => "copper cable, two conductors".into(),
        Item::Combiner { strings, ports } if strings > ports => {
            format!("combiner with {strings} places")
        }
        Item::Combiner { .. } => "combiner".into(),
        Item::Disconnect => "DC disconnect".into(),
        Item::WarningLabel => "warning sign".into(),
        Item::StringTag => "tag for a string's end".into(),
        Item::LeadCap => "cap for a lead, or insulating tape".into(),
    }
}

/// Is what is listed perhaps there already?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Presence {
    /// It must be bought.
    Absent,
    /// It is needed, and may be there.
    Perhaps,
    /// It may not be needed at all.
    Optional,
}

/// Of one line of the list.
pub(super) fn presence(part: &Part) -> Presence {
    let there = |u: &Unsure| matches!(u, Unsure::MaybeThere | Unsure::NeededToday);
    if part.at_least == part.at_most {
        Presence::Absent
    } else if part.unsure.iter().any(there) {
        Presence::Perhaps
    } else {
        Presence::Optional
    }
}

/// `2`, `1 to 4`, `up to 2`, `3, less what is there`.
pub(super) fn how_many(at_least: usize, at_most: usize, presence: Presence) -> String {
    match (at_least, at_most, presence) {
        (a, b, _) if a == b => a.to_string(),
        (0, 1, Presence::Perhaps) => format!("1,{GLUE}unless it is there"),
        (_, b, Presence::Perhaps) => format!("{b}, less what is there"),
        (0, b, _) => format!("up to{GLUE}{b}"),
        (a, b, _) => format!("{a}{GLUE}to{GLUE}{b}"),
    }
}

/// `79.5 V, 14.5 A`; empty where nothing is asked.
pub(super) fn bears(part: &Part) -> String {
    // Rounded up, so that what bears the figure shown bears what flows.
    let up = |x: f64| (x * 10.0 - 1e-6).ceil() / 10.0;
    let volts = part.volts.map(|v| volts(Volts(up(v.volts()))));
    let amps = part.amps.map(|i| amps(Amps(up(i.amps()))));
    [volts, amps].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Where it belongs: `string 2, creek-90 in its block`.
pub(super) fn for_what(names: Names<'_>, part: &Part) -> String {
    let several = names.has_several_inputs();
    let input = several.then(|| names.input(part.place.at));
    let string = part.place.string.map(|s| format!("string{GLUE}{}", s + 1));
    let inside = match (&part.item, part.kind, part.place.element) {
        (_, Some(kind), _) => Some(format!("{} in its block", names.kind(kind))),
        (Item::BranchPair { .. }, None, Some(element)) => {
            Some(format!("element{GLUE}{}", element + 1))
        }
        (Item::Cable { cable, .. }, ..) => Some(run(cable.run.part).into()),
        (Item::UnknownCable { part, .. }, ..) => Some(run(*part).into()),
        _ => None,
    };
    let found: Vec<String> = [input, string, inside].into_iter().flatten().collect();
    if found.is_empty() { "the array".into() } else { found.join(", ") }
}

/// A stretch of cable, as a person would call it.
pub(super) fn run(part: RunPart) -> &'static str {
    match part {
        RunPart::Strings => "each string to the combiner",
        RunPart::Array => "combiner to controller",
        RunPart::Battery => "controller to battery",
    }
}

/// `18 m`, `60 ft`.
pub(super) fn length(cable: &Cable) -> String {
    let (number, unit) = cable.run.given_in.of(cable.run.length);
    format!("{}{GLUE}{unit}", plain(number, 1))
}

/// Why it is needed.
pub(super) fn why(names: Names<'_>, part: &Part) -> String {
    match &part.item {
        Item::Controller { charge, price } => {
            let charge = charge.map_or_else(String::new, |a| format!(", charges with up to {}", amps(a)));
            let price = price.map_or_else(String::new, |p| format!(", {} each", plain(p, 2)));
            format!("{} of the spare controllers{charge}{price}", names.controller(part.place.at))
        }
        Item::BatteryFuse => "close to the battery's plus pole, before the cable: a battery drives thousands \
                              of amperes into a short, so it must break that"
            .into(),
        Item::Fuse(need) => match need.most {
            Some(most) => format!(
                "a short there could be fed more than the label bears: at least {} to carry what flows, at \
                 most {} by the label",
                amps(need.need),
                amps(most)
            ),
            None => format!(
                "a short there could be fed {}, and the label does not say what it bears: at least {} to \
                 carry what flows",
                amps(need.feed),
                amps(need.need)
            ),
        },
        Item::FuseHolder(_) => "holds the fuse; one over several strings protects nothing".into(),
        Item::BranchPair { .. } => {
            "joins the panels of the block and carries their currents together".into()
        }
        Item::ConnectorPair => {
            "each string's end that is newly led to the combiner takes one; leads of panels mate with \
             each other without, if they are of one make and reach"
                .into()
        }
        Item::Cable { cable, instead_of } => {
            let instead = instead_of.map_or_else(String::new, |size| {
                format!(", instead of {}, which is too small", size.name())
            });
            let limit = match (cable.size, cable.carries) {
                (CableSize::NoneServes, _) | (_, None) => {
                    "; lay several in parallel only where code allows, or bring the parts closer".into()
                }
                (_, Some(a)) => format!(
                    ", and may carry {} in air at {}{GLUE}°C",
                    amps(a.allowed),
                    plain(cable.air.celsius(), 1)
                ),
            };
            format!("must carry {}{limit}{instead}", decided_by(cable.needed_by))
        }
        Item::UnknownCable { needed_by, .. } => format!(
            "must carry {}; the site file gives no length: with `runs` the list has sizes",
            decided_by(*needed_by)
        ),
        Item::Combiner { strings, ports } => {
            let places = match ports.checked_sub(*strings) {
                None => format!("{strings} strings and {ports} places: a larger one is needed"),
                Some(0) => format!("{strings} of {ports} places used, none left"),
                Some(free) => format!("{strings} of {ports} places used, {free} left"),
            };
            format!("{places}; plug pairs in its stead must bear the same")
        }
        Item::Disconnect => "opens the array under load before anything is touched".into(),
        Item::WarningLabel => {
            let input = names.input(part.place.at);
            format!(
                "says on the disconnect, and where connectors can be reached: {input}, direct current, \
                 danger of shock, live in any light, do not open under load, and these two figures"
            )
        }
        Item::StringTag => "says which string and which pole, so that none is taken for another".into(),
        Item::LeadCap => {
            "leads of panels that are left out, and freed ends at the combiner, are live or meet what is"
                .into()
        }
    }
}

fn decided_by(needed_by: NeededBy) -> &'static str {
    match needed_by {
        NeededBy::ShortCircuit => "1.25 × 1.25 × the short-circuit current",
        NeededBy::Fuse => "what its fuse lets through",
        NeededBy::Feed => "what the other strings could feed into a short",
        NeededBy::Charging => "1.25 × the charging current",
    }
}

/// Standard and clause, or the practice behind it.
pub(super) fn basis(part: &Part) -> String {
    match &part.item {
        Item::Fuse(_) | Item::FuseHolder(_) => FAULTS.into(),
        Item::BranchPair { .. } | Item::UnknownCable { .. } => CURRENTS.into(),
        Item::Combiner { .. } | Item::Disconnect | Item::WarningLabel => {
            format!("US NEC 690.7 for the voltage, {CURRENTS}")
        }
        Item::Cable { cable, .. } => cable_basis(cable),
        Item::BatteryFuse => {
            "1.25 × the charging current, US NEC 690.8 and 690.9, from a secondary source: \
                              check your edition"
                .into()
        }
        Item::Controller { .. } | Item::ConnectorPair | Item::StringTag | Item::LeadCap => {
            TRADE.into()
        }
    }
}

/// What a cable's two currents rest on.
pub(super) fn cable_basis(cable: &Cable) -> String {
    match cable.carries {
        Some(carries) => format!("{}; {}", cable.needed_by.basis(), carries.source),
        None => cable.needed_by.basis().into(),
    }
}

/// What is not known about it, one clause each.
pub(super) fn unsure(names: Names<'_>, part: &Part) -> Vec<String> {
    part.unsure.iter().map(|u| one_unsure(names, u)).collect()
}

fn one_unsure(names: Names<'_>, unsure: &Unsure) -> String {
    match unsure {
        Unsure::MaybeThere => "check whether one of this rating is already there".into(),
        Unsure::NeededToday => {
            "today's wiring needs the same one: check whether it is already there".into()
        }
        Unsure::Freed(n) => format!("{n} opened today: what they leave may serve, if sound and of that make"),
        Unsure::LeadLength => "how far the panels' leads reach is not known: measure".into(),
        Unsure::Make => {
            "the make of the panels' connectors is not known: two makes are not mated".into()
        }
        Unsure::Poles => "one pole, or both where code asks for it".into(),
        Unsure::Unrated(kinds) => {
            let ids: Vec<String> = kinds.iter().map(|&k| names.kind(k).to_owned()).collect();
            format!("the maximum fuse on the label of {} is not known: ask for it first", listed(&ids))
        }
        Unsure::NoStandardSize => "no standard size fits: do not build this".into(),
        Unsure::Length => "measure its way".into(),
        Unsure::Air => "the air around it is taken as the site's hottest: an attic or a conduit in the sun is hotter".into(),
        Unsure::StaysInPlace => "none where the panel is taken down and its leads are stored apart".into(),
    }
}

/// Text for files: without spaces that hold words together.
pub(super) fn plain_text(text: &str) -> String {
    text.replace(GLUE, " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::InputRef;
    use crate::plan::PartPlace;

    #[test]
    fn counts_say_what_may_be_there_already() {
        assert_eq!(how_many(2, 2, Presence::Absent), "2");
        let said = |a, b, p| how_many(a, b, p).replace(GLUE, " ");
        assert_eq!(said(0, 1, Presence::Perhaps), "1, unless it is there");
        assert_eq!(said(1, 4, Presence::Perhaps), "4, less what is there");
        assert_eq!(said(0, 3, Presence::Optional), "up to 3");
        assert_eq!(said(1, 3, Presence::Optional), "1 to 3");
    }

    #[test]
    fn what_a_part_must_bear_is_rounded_up() {
        let at = InputRef { controller: 0, input: 1 };
        let part = Part {
            item: Item::Disconnect,
            at_least: 0,
            at_most: 1,
            place: PartPlace { at, string: None, element: None, member: None },
            kind: None,
            volts: Some(Volts(126.21)),
            amps: Some(Amps(17.5)),
            unsure: Vec::new(),
        };
        assert_eq!(plain_text(&bears(&part)), "126.3 V, 17.5 A");
    }
}
