//! Sentences about a stock and the sites it goes to.

use super::SiteNames;
use crate::model::StockItem;
use crate::plan::{
    Check, FleetAim, NearestMiss, Outcome, Placed, SiteAllotment, StockAnswer, Unit, Unplaced,
};
use crate::report::layout::{GLUE, paragraph};
use crate::report::numbers::{fixed, plain};
use crate::report::words::{counted, rule, side};
use crate::units::Watts;

/// What everybody must know who acts on an answer for many sites (common practice, no source).
pub(super) const CAUTIONS: [&str; 4] = [
    "This is a list to sell by, not to wire by: each site's own report (`--reports`, `sungraft advise`) \
     has its wiring, fuses, steps and cautions.",
    "It knows labels, wiring and limits as the files give them. Whether connectors, frames, listing and \
     the maker's terms allow a panel there, and whether it is sound, is for a person to see.",
    "Panels are live in any light, a DC arc does not put itself out, and over its maximum voltage a \
     controller is destroyed. Never part a connector under load.",
    "Local code and a licensed person have the last word.",
];

/// Before the watts of a site whose output cuts something off.
pub(super) const CLIPS: &str = "~";

/// Where a search was stopped before anything was found.
pub(super) const TOO_EARLY: &str =
    "The search was stopped before it had found anything: give it more time.";

/// What the mark before the watts of some sites means; empty where none has it.
pub(super) fn clipped<'a>(mut shown: impl Iterator<Item = &'a SiteAllotment>) -> String {
    if shown.any(SiteAllotment::clips) {
        let text = format!(
            "{CLIPS} What the controller's output lets through; the array would give more at full sun. \
             What it brings in weak sun is not counted here (`sungraft advise` reckons a year)."
        );
        paragraph(&text, 2, 4)
    } else {
        String::new()
    }
}

/// `82 W`, or a sum of money without a currency.
pub(super) fn amount(aim: FleetAim, x: f64) -> String {
    match aim {
        FleetAim::Watts => whole_watts(Watts(x)),
        FleetAim::Margin => money(x),
    }
}

/// `811 W`.
pub(super) fn whole_watts(watts: Watts) -> String {
    format!("{}{GLUE}W", fixed(watts.watts(), 0))
}

/// `+42 W` or `-153 W`: the difference of two figures as they are shown.
pub(super) fn signed_watts(from: Watts, to: Watts) -> String {
    let change = to.watts().round() - from.watts().round();
    let sign = if change > 0.0 { "+" } else { "" };
    format!("{sign}{}{GLUE}W", fixed(change, 0))
}

/// `35` or `35.50`.
pub(super) fn money(x: f64) -> String {
    let text = fixed(x, 2);
    text.strip_suffix(".00").map_or(text.clone(), str::to_owned)
}

/// `4 × creek-90, ridge-200`.
pub(super) fn panels(placed: &[Placed], stock: &[StockItem]) -> String {
    let one = |p: &Placed| {
        let id = &stock[p.stock].kind.id;
        if p.count == 1 { id.clone() } else { format!("{}{GLUE}×{GLUE}{id}", p.count) }
    };
    placed.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// How near an allocation is to the best there can be.
pub(super) fn proof(gap: f64, proven: bool, stopped: bool) -> String {
    // Rounded up, so that the proof never claims more than it has.
    let percent = (gap.max(0.0) * 1e4 - 1e-9).ceil().max(0.0) / 100.0;
    let within = if percent == 0.0 {
        "No sharing-out among these wirings brings more.".to_owned()
    } else {
        format!("Within {}{GLUE}% of the best there can be.", fixed(percent, 2))
    };
    match (stopped, proven) {
        (true, _) => format!("Stopped before the end: best found so far. {within}"),
        (false, true) => within,
        (false, false) => format!("Best found. {within}"),
    }
}

/// What becomes of a kind, in one word for files.
pub(super) fn verdict(answer: &StockAnswer, item: &StockItem) -> &'static str {
    match (&answer.unplaced, answer.placed, item.count) {
        (_, _, 0) => "none_left",
        (_, placed, count) if placed == count => "placed",
        (_, placed, _) if placed > 0 => "placed_part",
        (Some(Unplaced::Breaches(_)), ..) => "breaches",
        (Some(Unplaced::TooLittle { .. }), ..) => "adds_too_little",
        (Some(Unplaced::Outdone { .. }), ..) => "outdone",
        (None, ..) => "not_asked_for",
    }
}

/// Why panels of a kind are left.
pub(super) fn because(unplaced: &Unplaced, names: &SiteNames<'_>, aim: FleetAim) -> String {
    match unplaced {
        Unplaced::Breaches(miss) => miss_in_words(miss, names),
        Unplaced::TooLittle { customer, brings } => format!(
            "one brings {} at most ({}), less than a panel must bring.",
            amount(aim, *brings),
            names.name(*customer)
        ),
        Unplaced::Outdone { customer, brings } => format!(
            "one would bring {} at {}, but other panels bring more in its place.",
            amount(aim, *brings),
            names.name(*customer)
        ),
    }
}

/// The limit that stands in the way, and where it is broken by least.
pub(super) fn miss_in_words(miss: &NearestMiss, names: &SiteNames<'_>) -> String {
    format!(
        "no wiring of one keeps every limit: {} stands in the way at {}. Nearest: {}, {}, {} {}.",
        rule(miss.rule),
        counted(miss.sites, "site", "sites"),
        names.name(miss.customer),
        figure(miss.value, miss.limit, miss.unit),
        side(miss.rule),
        figure(miss.limit, miss.value, miss.unit),
    )
}

/// A figure with its unit, with as many decimals as tell it from another.
fn figure(x: f64, other: f64, unit: Unit) -> String {
    let usual = usize::from(!matches!(unit, Unit::Watts | Unit::Strings));
    let decimals = (usual..=3).find(|&d| fixed(x, d) != fixed(other, d)).unwrap_or(3);
    format!("{}{GLUE}{}", plain(x, decimals), unit.symbol())
}

/// `2 cautions, 1 figure to ask for`; empty where nothing is to be looked at.
pub(super) fn to_look_at(checks: &[Check]) -> String {
    let n = |outcome| checks.iter().filter(|c| c.outcome == outcome).count();
    let parts = [
        (n(Outcome::Breach), "breach", "breaches"),
        (n(Outcome::Caution), "caution", "cautions"),
        (n(Outcome::Unknown), "figure to ask for", "figures to ask for"),
    ];
    let said = parts.iter().filter(|(n, ..)| *n > 0).map(|(n, one, many)| counted(*n, one, many));
    said.collect::<Vec<_>>().join(", ")
}
