//! What becomes of each spare, and why.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::{Advice, Binding, Cause, Certificate, SpareAnswer, Unit, Yield};
use crate::report::drawing;
use crate::report::layout::GLUE;
use crate::report::numbers::plain;
use crate::report::table::{harm, spares};
use crate::report::words::clause;
use crate::units::Watts;

/// A summary, then kind by kind what stands behind it.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    blocks.extend(summary(subject));
    for spare in &subject.advice.spares {
        blocks.extend(one(subject, spare));
    }
    blocks.extend(plugged_in(subject));
    blocks.extend(not_needed(subject));
    blocks
}

fn summary(subject: Subject<'_>) -> Option<Block> {
    let advice = subject.advice;
    let columns = [
        ("Kind", Setting::Words),
        ("Used", Setting::Figures),
        ("Adds", Setting::Figures),
        ("Why", Setting::Words),
    ];
    let row = |spare: &SpareAnswer| {
        vec![
            subject.page.names.label(spare.kind).to_owned(),
            spares::used(spare),
            spares::adds(subject.page, spare),
            sentence(&spares::explained(subject.page, advice, spare)),
        ]
    };
    let rows = advice.spares.iter().map(row).collect();
    (!advice.spares.is_empty()).then(|| table(caption(advice), &columns, rows))
}

fn caption(advice: &Advice) -> String {
    match advice.spares.iter().filter(|s| s.used > 0).count() {
        0 | 1 => "What the best plan makes of the spares".into(),
        _ => format!(
            "What the best plan makes of the spares{} ({})",
            spares::in_what(advice),
            spares::NEED_NOT_ADD_UP
        ),
    }
}

/// What would help a kind, how sure the verdict is, and the best wiring that has more of it.
fn one(subject: Subject<'_>, spare: &SpareAnswer) -> Vec<Block> {
    let page = subject.page;
    let mut lines: Vec<String> =
        spare.certificate.iter().map(|c| best_with_it(subject, c)).collect();
    lines.extend(spares::would_help(page, spare).iter().map(|line| sentence(line)));
    lines.extend(spares::how_sure(spare).map(|line| sentence(&line)));
    let drawn = drawing::worth(page.names.0, spare).map(Block::Figure);
    if lines.is_empty() && drawn.is_none() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading(page.names.label(spare.kind).to_owned())];
    blocks.extend((!lines.is_empty()).then_some(Block::List(lines)));
    blocks.extend(drawn);
    blocks
}

/// `The best wiring with one more of it: a + a, b + c: 780 W, 32 W less. What binds is …`
fn best_with_it(subject: Subject<'_>, certificate: &Certificate) -> String {
    let (page, scale) = (subject.page, subject.page.scale);
    let strings: Vec<String> =
        certificate.wiring.strings.iter().map(|s| page.names.string(s)).collect();
    let change = scale.difference(Watts(0.0), certificate.change);
    let against = if let Some(energy) = certificate.change_energy {
        let lost = energy.energy.kilowatt_hours() < 0.0;
        let size = Yield { energy: energy.energy * if lost { -1.0 } else { 1.0 }, ..energy };
        match lost {
            true => format!("{} less than the best plan", size.in_words()),
            false => format!("{} more, but not worth its place", size.in_words()),
        }
    } else if change < Watts(0.0) {
        format!("{} less than the best plan", scale.watts(change * -1.0))
    } else if change > Watts(0.0) {
        format!("{} more, but not worth its place", scale.watts(change))
    } else {
        "no more than the best plan".to_owned()
    };
    let binds = certificate.binding.map_or_else(
        || "No single limit keeps it out.".to_owned(),
        |binding| binding_in_words(subject, binding),
    );
    format!(
        "The best wiring with one more of it ({}) gives {}: {against}. {binds}",
        strings.join("; "),
        scale.watts(certificate.watts),
    )
}

/// `What binds: its current, 3.3 A against 8.7 A; without that it would bring 112 W.`
fn binding_in_words(subject: Subject<'_>, binding: Binding) -> String {
    let figure = |x: f64| match binding.unit {
        Unit::Strings | Unit::Panels => plain(x, 0),
        unit => format!("{}{GLUE}{}", plain(x, 1), unit.symbol()),
    };
    format!(
        "What binds: {}, {} against {}; without that it would bring {}.",
        cause(binding.cause),
        figure(binding.value),
        figure(binding.limit),
        binding
            .unlocks_energy
            .map_or_else(|| subject.page.scale.watts(binding.unlocks), Yield::in_words)
    )
}

fn cause(cause: Cause) -> &'static str {
    match cause {
        Cause::NoPort => "places on the combiner",
        Cause::NoRoom => "room on a plane",
        Cause::InputCurrent => "the input's current",
        Cause::InputPower => "the input's power",
        Cause::BatteryCharge => "what the battery takes",
        Cause::ColdVoltage => "voltage on the coldest morning",
        Cause::HotWindow => "the window on a hot noon",
        Cause::ReverseCurrent => "reverse current",
        Cause::Current => "its current in a string",
        Cause::Voltage => "its voltage beside the others",
    }
}

fn plugged_in(subject: Subject<'_>) -> Option<Block> {
    let mut kind = String::new();
    let mut rows = harm::rows(subject.page, subject.advice);
    for row in &mut rows {
        // A row may end up on another page than the one that names its kind.
        if row[0].is_empty() {
            row[0].clone_from(&kind);
        }
        kind.clone_from(&row[0]);
    }
    let columns = [
        ("Kind", Setting::Words),
        ("Connected", Setting::Words),
        ("What comes of it", Setting::Words),
    ];
    (!rows.is_empty()).then(|| table(harm::TITLE, &columns, rows))
}

fn not_needed(subject: Subject<'_>) -> Option<Block> {
    let columns = [
        ("Kind", Setting::Words),
        ("Installed", Setting::Figures),
        ("Why", Setting::Words),
        ("Instead", Setting::Words),
    ];
    let rows: Vec<Vec<String>> = subject
        .advice
        .idle
        .iter()
        .map(|idle| {
            vec![
                subject.page.names.kind(idle.kind).to_owned(),
                idle.count.to_string(),
                sentence(&idle.because),
                sentence(&idle.instead),
            ]
        })
        .collect();
    (!rows.is_empty()).then(|| table("Installed panels that are not needed", &columns, rows))
}

/// With a capital and a full stop; nothing from nothing. Ids keep their letters.
fn sentence(text: &str) -> String {
    match clause(text) {
        "" => String::new(),
        text => format!("{text}."),
    }
}
