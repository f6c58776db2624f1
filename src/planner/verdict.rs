//! Sentences for why a panel adds nothing and what would help, each with both numbers.

use super::gain::said;
use crate::model::{Element, Installation, KindIdx, PanelString};
use crate::patterns::{NearMiss, Obstacle, Screening};
use crate::plan::{Binding, Cause, Certificate, CheckRule, Help, ObviousWay, Yield};
use crate::units::KilowattHours;

/// No wiring with one more of it exists: the nearest miss in words.
pub(super) fn nothing_fits(
    kind: KindIdx,
    screening: Option<&Screening>,
    installation: &Installation,
) -> String {
    let Some(screening) = screening else {
        return "the search ended before it found a wiring of it".to_owned();
    };
    let distance = |m: &NearMiss| ((m.value - m.limit) / m.limit.abs().max(1.0)).abs();
    let alike = installation.same_label(kind);
    let misses = alike.iter().flat_map(|k| screening.near_misses(*k));
    misses.min_by(|a, b| distance(a).total_cmp(&distance(b))).map_or_else(
        || "no wiring with it keeps the limits on the whole array".to_owned(),
        |miss| near_miss(miss, installation),
    )
}

/// Why no more than so many spares of a kind can be put up: the room where they could go; `None` if
/// there is room for as many.
pub(super) fn no_room(kind: KindIdx, wanted: usize, installation: &Installation) -> Option<String> {
    let spare = installation.spares.iter().find(|s| s.kinds().contains(&kind))?;
    let planes = &installation.site.sun.planes;
    let plane_of = |k: &KindIdx| installation.kind(*k).placed.as_ref().map(|p| &planes[p.plane.0]);
    let places: Vec<_> = spare.places.iter().filter_map(plane_of).collect();
    let room: Option<usize> = places.iter().map(|plane| plane.room).sum();
    let rooms: Vec<String> = places
        .iter()
        .filter_map(|plane| Some(format!("{} on {}", plane.room?, plane.id)))
        .collect();
    let full = !places.is_empty() && room.is_some_and(|room| wanted > room);
    full.then(|| format!("no more find a place: there is room for {}", rooms.join(" and ")))
}

/// The gravest breach of an obvious way to connect a panel; `None` if it breaches nothing.
pub(super) fn breached(obvious: &ObviousWay) -> Option<String> {
    let breach = obvious.breaches.iter().min_by_key(|c| c.rule.gravity())?;
    let (value, limit) = (breach.value?, breach.limit?);
    let way =
        if obvious.way == "in_series" { "at the end of string 1" } else { "straight in parallel" };
    let (value, limit) = told_apart(value, limit);
    Some(match breach.rule {
        CheckRule::ColdVoc => format!(
            "{way} it would bring {value} V on the coldest morning, above the controller's {limit} V"
        ),
        CheckRule::SystemVoltage => format!(
            "{way} it would bring {value} V on the coldest morning, above the {limit} V on a label"
        ),
        CheckRule::StringPorts => format!(
            "{way} it finds no place: it would be string {value}, and the combiner holds {limit}"
        ),
        CheckRule::StartVoltage => format!(
            "{way} it would leave {value} V on the hottest noon, below the {limit} V that the controller needs"
        ),
        CheckRule::HotWindow => format!(
            "{way} a string would keep only {value} % of its power on the hottest noon, below {limit} %"
        ),
        CheckRule::InputCurrent => {
            format!("{way} the input would see {value} A, above its {limit} A")
        }
        CheckRule::InputPower => {
            format!("{way} the input would see {value} W, above its {limit} W")
        }
        CheckRule::IdleReverseCurrent => format!(
            "{way} {value} A would flow back into a string while the controller idles, above its {limit} A"
        ),
        CheckRule::BatteryCharge => {
            format!("{way} {value} A could flow into the battery, above its {limit} A")
        }
        CheckRule::FaultReverseCurrent | CheckRule::StringFuse | CheckRule::ChargeLimit => {
            format!("{way} {value} A could be fed into a short, above {limit} A, and no fuse fits")
        }
    })
}

fn near_miss(miss: &NearMiss, installation: &Installation) -> String {
    let string = string_in_words(&miss.string, installation);
    let (value, limit) = told_apart(miss.value, miss.limit);
    match miss.obstacle {
        Obstacle::ColdVoc => format!(
            "even {string} reaches {value} V on the coldest morning, above the controller's {limit} V"
        ),
        Obstacle::SystemVoltage => format!(
            "even {string} reaches {value} V on the coldest morning, above the {limit} V on a label"
        ),
        Obstacle::HotWindow => format!(
            "even {string} keeps only {value} % of its power on the hottest noon, below {limit} %"
        ),
        Obstacle::StartVoltage => format!(
            "even {string} reaches only {value} V on the hottest noon, below the {limit} V that the controller needs"
        ),
        Obstacle::BlockFault => format!(
            "in {string} a fault would feed {value} A into a panel whose label allows {limit} A"
        ),
    }
}

/// A certificate in words: what binds, and what the best plan with the panel comes to.
pub(super) fn certified(
    kind: KindIdx,
    certificate: &Certificate,
    installation: &Installation,
    charge: (f64, Option<Yield>),
) -> String {
    let string =
        certificate.wiring.strings.iter().find(|s| s.panels().any(|k| installation.alike(k, kind)));
    let at_best = string.map_or_else(
        || "at best it".to_owned(),
        |s| format!("at best, in {}, it", string_in_words(s, installation)),
    );
    let change = certificate.change.watts();
    let outcome = if let Some(change) = certificate.change_energy {
        let charge = charge.1.unwrap_or(Yield { energy: KilowattHours(0.0), ..change });
        changed_energy(&at_best, change, charge)
    } else if change <= -0.95 {
        format!("{at_best} costs {:.0} W", -change)
    } else if change <= -0.05 {
        format!("{at_best} costs {:.1} W", -change)
    } else if change < 0.05 {
        format!("{at_best} changes nothing")
    } else {
        let (change, charge) = told_apart(change, charge.0);
        format!("{at_best} brings {change} W, too little for its place ({charge} W)")
    };
    match &certificate.binding {
        Some(binding) => format!("{}; {outcome}", cause_in_words(binding)),
        None => format!("no single limit keeps it out; {outcome}"),
    }
}

fn changed_energy(at_best: &str, change: Yield, charge: Yield) -> String {
    let kwh = change.energy.kilowatt_hours();
    if kwh.abs() < 0.01 * charge.energy.kilowatt_hours() {
        format!("{at_best} changes nothing")
    } else if kwh < 0.0 {
        format!("{at_best} costs {}", Yield { energy: change.energy * -1.0, ..change }.in_words())
    } else {
        let (change, charge) = (change.in_words(), charge.in_words());
        format!("{at_best} brings {change}, too little for its place ({charge})")
    }
}

pub(super) fn cause_in_words(binding: &Binding) -> String {
    let gain = said(binding.unlocks, binding.unlocks_energy);
    let (value, limit) = told_apart(binding.value, binding.limit);
    let otherwise = format!("without that limit it would bring {gain}");
    match binding.cause {
        Cause::NoPort => format!(
            "it would take a string port more, {value}, and the combiner has {limit}; with one it would bring {gain}"
        ),
        Cause::NoRoom => format!(
            "a plane it could go on has room for {limit}, and the best wiring with it puts up {value} there; with the room it would bring {gain:.0} W"
        ),
        Cause::InputCurrent => format!(
            "the input takes at most {limit} A, and the best wiring with it sees {value} A; {otherwise}"
        ),
        Cause::InputPower => format!(
            "the input takes at most {limit} W, and the best wiring with it has {value} W; {otherwise}"
        ),
        Cause::BatteryCharge => format!(
            "the battery takes at most {limit} A, and with it up to {value} A could flow; {otherwise}"
        ),
        Cause::ColdVoltage => format!(
            "at the end of string 1 it reaches {value} V on the coldest morning, and the controller takes at most {limit} V; with the next rating it would bring {gain}"
        ),
        Cause::HotWindow => {
            format!("it gives {value} V, and the window begins at {limit} V; {otherwise}")
        }
        Cause::ReverseCurrent => {
            format!("up to {value} A could flow back, and a label allows {limit} A; {otherwise}")
        }
        Cause::Current if binding.value < binding.limit => {
            format!("its {value} A would hold down a string that carries {limit} A")
        }
        Cause::Current => format!("a string that carries {limit} A cannot use its {value} A"),
        Cause::Voltage => {
            format!("its string gives {value} V, and the others stand at {limit} V")
        }
    }
}

/// A figure without zeros behind its point.
fn plain(x: f64, digits: usize) -> String {
    let text = format!("{x:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// Two figures with as few digits as tell them apart.
fn told_apart(value: f64, limit: f64) -> (String, String) {
    (1..=3)
        .map(|digits| (plain(value, digits), plain(limit, digits)))
        .find(|(value, limit)| value != limit)
        .unwrap_or_else(|| (plain(value, 1), plain(limit, 1)))
}

/// The smallest change that helps, in words.
pub(super) fn first_help(helps: &[Help]) -> String {
    match helps.first() {
        None => "no single change among those tried".to_owned(),
        Some(help) => {
            let nothing_short = matches!(help.change, "own_input" | "own_controller");
            let lead = if nothing_short { "nothing short of " } else { "" };
            format!("{lead}{} (+{})", help.words, said(help.unlocks, help.unlocks_energy))
        }
    }
}

/// Panels that pay for their places but not for their joints.
pub(super) fn not_its_joints(worth: f64, joints: usize, watts: f64) -> String {
    format!(
        "worth a place, but not its joints: {watts:.0} W more in all for {joints} joints more, each of which must bring {} W",
        plain(worth, 2)
    )
}

/// The worth of a joint below which such panels are wired.
pub(super) fn cheaper_joints(worth: Option<f64>) -> String {
    match worth {
        // Rounded down, so that it does hold at what is said.
        Some(worth) => {
            format!(
                "a joint that need bring no more than {} W",
                plain((worth * 10.0).floor() / 10.0, 1)
            )
        }
        None => first_help(&[]),
    }
}

/// What the two ends of a label's band come to.
pub(super) fn certain(band: (f64, f64), adds: (&str, &str), flips: bool) -> String {
    let (low, high) = (100.0 * band.0, 100.0 * band.1);
    if flips {
        format!(
            "uncertain: at {low:.0} % of its label it adds {}, at {high:.0} % {}. One reading settles it: its short-circuit current in full sun, beside a panel whose label you trust",
            adds.0, adds.1
        )
    } else {
        format!(
            "the verdict holds from {low:.0} % of its label ({}) to {high:.0} % ({})",
            adds.0, adds.1
        )
    }
}

/// Why one more spare controller is not used: what the best plan with it comes to.
pub(super) fn controller_too_little(
    change: f64,
    strings: &[PanelString],
    charge: f64,
    installation: &Installation,
) -> String {
    let wired: Vec<String> = strings.iter().map(|s| string_in_words(s, installation)).collect();
    let at_best = format!("at best, with {} on it, the site gives", wired.join("; "));
    if change <= -0.5 {
        format!("{at_best} {:.0} W less", -change)
    } else if change < 0.5 {
        format!("{at_best} no more than without it")
    } else {
        let (change, charge) = told_apart(change, charge);
        format!(
            "{at_best} {change} W more, too little for its place ({charge} W, and the places of its \
             panels)"
        )
    }
}

/// What hangs on a spare controller is not what is there.
pub(super) fn other_battery(installation: &Installation, controller: usize) -> String {
    let own = installation.controllers[controller].battery();
    let mut there: Vec<String> = Vec::new();
    for battery in
        installation.controllers.iter().filter(|c| c.spare.is_none()).map(|c| c.battery())
    {
        let words = battery.map_or("none".to_owned(), |v| format!("one of {} V", v.volts()));
        if !there.contains(&words) {
            there.push(words);
        }
    }
    match own {
        Some(own) => format!(
            "it charges a battery of {} V, and the installed controllers charge {}",
            own.volts(),
            there.join(" and ")
        ),
        None => "it charges no battery, and every installed controller does".to_owned(),
    }
}

/// `3 a and 1 b`.
pub(super) fn counted_kinds(panels: &[(KindIdx, usize)], installation: &Installation) -> String {
    let each: Vec<String> =
        panels.iter().map(|(k, n)| format!("{n} {}", installation.kind(*k).label_id())).collect();
    each.join(" and ")
}

/// What could be done with panels that are not needed.
pub(super) fn instead(places: &[Help]) -> String {
    match places.first() {
        None => "nothing was found for them on this battery".to_owned(),
        Some(place) => {
            format!("{} ({} there)", place.words, said(place.unlocks, place.unlocks_energy))
        }
    }
}

/// The controller's output limit hides the gain; over a year it shows.
pub(super) fn clipped(watts: f64, passed: f64, adds: Option<KilowattHours>) -> String {
    let year = adds
        .map_or_else(String::new, |energy| format!(", {:.0} kWh a year", energy.kilowatt_hours()));
    format!(
        "at full sun the controller passes {passed:.0} W of the array's {watts:.0} W; the gain comes in the morning, under cloud and in winter{year}"
    )
}

fn string_in_words(string: &PanelString, installation: &Installation) -> String {
    let element = |e: &Element| {
        let ids: Vec<&str> =
            e.members().iter().map(|k| installation.kind(*k).id.as_str()).collect();
        if e.is_block() { format!("({})", ids.join(" | ")) } else { ids.join("") }
    };
    string.elements().iter().map(element).collect::<Vec<_>>().join(" + ")
}
