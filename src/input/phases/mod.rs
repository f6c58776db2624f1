//! Steps of an upgrade: their order, what is on offer in each, and what each may cost.

mod date;
mod offers;

use super::codes::{BUDGET_TOO_LOW, DUPLICATE_ID, KEYS_CLASH, MISSING_KEY, PHASE_ORDER, TOO_MANY};
use super::document::{Node, Value};
use super::fields::{Fields, Typed};
use super::findings::{Findings, quoted, rounded};
use super::ids::Ids;
use super::keys::PHASE;
use super::places::Places;
use crate::diagnostic::Place;
use crate::model::{Date, Phase};
use date::read_date;
use offers::Offers;

/// Most phases of a site.
const MAX_PHASES: usize = 8;

/// The phases in order; entries with a mistake are left out and reported.
pub(super) fn read_phases(
    nodes: &[Node],
    kinds: &Ids,
    places: Places,
    findings: &mut Findings,
) -> Vec<Phase> {
    if let Some(extra) = nodes.get(MAX_PHASES) {
        let message = format!(
            "there are too many phases ({}; at most {MAX_PHASES} are planned)",
            nodes.len()
        );
        findings.error(TOO_MANY, extra.place, message, "join those that follow each other closely");
    }
    let mut offers = Offers::new(kinds, places);
    let mut read: Vec<Entry> = Vec::new();
    for node in nodes.iter().take(MAX_PHASES) {
        let Some(fields) = Fields::open(node, &PHASE, findings) else { continue };
        read.extend(read_entry(&fields, read.last(), &mut offers, findings));
    }
    report_repeated_names(&read, findings);
    report_order(&read, findings);
    lengths(read, findings)
}

/// A phase as typed.
struct Entry {
    phase: Phase,
    name_at: Place,
    months: Option<Typed<f64>>,
    /// Was anything typed for `months`, be it wrong?
    says_months: bool,
    says_date: bool,
    date_at: Option<Place>,
}

fn read_entry(
    fields: &Fields,
    before: Option<&Entry>,
    offers: &mut Offers,
    findings: &mut Findings,
) -> Option<Entry> {
    let name = fields.text("name", findings);
    let date = read_date(fields, findings);
    let months = fields.number("months", findings);
    let budget = fields.number("budget", findings);
    let joints = fields.count("joints", findings).map(|n| n.value);
    let hours = fields.number("hours", findings).map(|x| x.value);
    let called = name.as_ref().map_or_else(String::new, |name| name.value.clone());
    let spares = offers.read_spares(list(fields, "spares", findings), &called, findings);
    let controllers = offers.read_controllers(list(fields, "controllers", findings), findings);
    let carry = fields.switch("carry", findings).unwrap_or(false);
    // Money that is saved up is not too little yet, and where some comes over it is more.
    let alone = !carry && before.is_none_or(|before| !before.phase.carry);
    if let Some(budget) = budget.as_ref().filter(|_| alone) {
        offers.hold_against(budget, findings);
    }
    let name = name?;
    if carry && !fields.has("budget") {
        let message = format!(
            "phase {} carries over what is left of its `budget`, but has none",
            quoted(&name.value)
        );
        let help = "write a `budget:`, or take out `carry`";
        findings.error(MISSING_KEY, name.at, message, help);
    }
    Some(Entry {
        says_months: fields.has("months"),
        says_date: fields.has("date"),
        date_at: date.as_ref().map(|d| d.at),
        name_at: name.at,
        phase: Phase {
            name: name.value,
            date: date.map(|d| d.value),
            months: None,
            budget: budget.map(|b| b.value),
            carry,
            spares,
            controllers,
            joints,
            hours,
        },
        months,
    })
}

fn list<'n>(fields: &Fields<'n>, key: &'static str, findings: &mut Findings) -> &'n [Node] {
    fields.list(key, findings).unwrap_or_default()
}

fn report_repeated_names(read: &[Entry], findings: &mut Findings) {
    for (i, entry) in read.iter().enumerate() {
        let first = read[..i].iter().find(|e| e.phase.name == entry.phase.name);
        if let Some(first) = first {
            let message = format!(
                "two phases have the name {} (the first in line {})",
                quoted(&entry.phase.name),
                first.name_at.line
            );
            findings.error(DUPLICATE_ID, entry.name_at, message, "give each phase its own name");
        }
    }
}

/// Dates rise from each phase to the next that has one.
fn report_order(read: &[Entry], findings: &mut Findings) {
    let mut before: Option<(&Entry, Date)> = None;
    for entry in read {
        let Some(date) = entry.phase.date else { continue };
        if let Some((earlier, then)) = before.filter(|(_, then)| *then >= date) {
            let message = format!(
                "phase {} is dated {}, not after {} of phase {} before it",
                quoted(&entry.phase.name),
                date.name(),
                then.name(),
                quoted(&earlier.phase.name)
            );
            let help = "phases stand in the order in which they are carried out: correct a date, or put them in order";
            findings.error(PHASE_ORDER, entry.date_at.unwrap_or(entry.name_at), message, help);
        }
        before = Some((entry, date));
    }
}

/// How long each lasts: by its own months, or from its date to the next one's.
fn lengths(read: Vec<Entry>, findings: &mut Findings) -> Vec<Phase> {
    let next: Vec<Option<(Date, Place)>> = (1..=read.len())
        .map(|i| read.get(i).and_then(|e| Some((e.phase.date?, e.date_at?))))
        .collect();
    let n = read.len();
    let mut phases = Vec::with_capacity(n);
    for (i, (entry, next)) in read.into_iter().zip(next).enumerate() {
        let Entry { mut phase, name_at, months, says_months, says_date, .. } = entry;
        let dated = phase.date.zip(next).map(|(from, (to, _))| from.months_until(to));
        match (&months, dated) {
            (Some(months), Some(by_dates)) if (months.value - by_dates).abs() > 0.5 => {
                let message = format!(
                    "phase {} lasts {} months by `months`, but {} by the dates",
                    quoted(&phase.name),
                    months.as_typed,
                    rounded(by_dates, 1)
                );
                findings.error(KEYS_CLASH, months.at, message, "keep the one or the other");
            }
            (None, None) if i + 1 < n && !says_months && !(says_date && phase.date.is_none()) => {
                let message =
                    format!("phase {} does not say how long it lasts", quoted(&phase.name));
                let help = "write `months:` until the next phase, or a `date:` in both";
                findings.error(MISSING_KEY, name_at, message, help);
            }
            _ => {}
        }
        phase.months = months.map(|m| m.value).or(dated).filter(|m| *m > 0.0);
        phases.push(phase);
    }
    phases
}

/// A budget that buys nothing of what is on offer.
fn warn_too_low(budget: &Typed<f64>, cheapest: f64, findings: &mut Findings) {
    let message = format!(
        "nothing on offer can be bought with this `budget` ({}; the cheapest costs {})",
        budget.as_typed,
        rounded(cheapest, 2)
    );
    let help =
        "raise the budget, or correct the prices; nothing with a price is bought in this phase";
    findings.warning(BUDGET_TOO_LOW, budget.at, message, help);
}

/// The text of a node, if it is one.
fn text_of(node: &Node) -> Option<&str> {
    match &node.value {
        Value::Text(text) => Some(text.trim()),
        Value::Number { typed, .. } => Some(typed),
        _ => None,
    }
}
