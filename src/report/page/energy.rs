//! A year of sun: the plans side by side, then month by month.

use super::blocks::{Block, Setting};
use super::{Subject, headed, table};
use crate::energy::EnergyAnswer;
use crate::report::drawing;
use crate::report::table::energy::{HEADS, a_day, basis, chosen, kwh, rows};
use crate::report::words;

/// Where the mark of the best stands in the rows.
const MARK: usize = 0;

/// Nothing without a year of sun.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let Some(energy) = &subject.advice.energy else { return Vec::new() };
    let mut blocks = vec![plans(subject, energy)];
    blocks.extend(drawing::months(subject.advice).map(Block::Figure));
    blocks.push(months(subject, energy));
    let rests = chosen(subject.advice).into_iter().chain([basis(subject.page)]);
    blocks.extend(headed("What it rests on", rests.collect()));
    blocks
}

fn plans(subject: Subject<'_>, energy: &EnergyAnswer) -> Block {
    let mut rows = rows(subject.advice, energy);
    for row in &mut rows {
        let mark = row.remove(MARK);
        if !mark.is_empty() {
            row[0].push_str(" (best)");
        }
    }
    let setting = |head: &str| match head {
        "" | "worst month" => Setting::Words,
        _ => Setting::Figures,
    };
    let columns: Vec<(&str, Setting)> =
        HEADS.iter().map(|h| (if h.is_empty() { "Wiring" } else { h }, setting(h))).collect();
    table("A year, by wiring", &columns, rows)
}

fn months(subject: Subject<'_>, energy: &EnergyAnswer) -> Block {
    let best = subject.advice.best.filter(|_| subject.change().is_some()).map(|b| &energy.plans[b]);
    let mut columns = vec![
        ("Month", Setting::Words),
        ("kWh today", Setting::Figures),
        ("kWh a day", Setting::Figures),
    ];
    if best.is_some() {
        columns.extend([("kWh planned", Setting::Figures), ("kWh a day", Setting::Figures)]);
    }
    let cells = |year: &crate::energy::YearEnergy, month: usize| {
        [kwh(year.months[month].out), a_day(year.per_day(month))]
    };
    let row = |month: usize| {
        let mut row = vec![words::month(month).to_owned()];
        row.extend(cells(&energy.today, month));
        row.extend(best.map(|year| cells(year, month)).into_iter().flatten());
        row
    };
    table("Month by month", &columns, (0..12).map(row).collect())
}
