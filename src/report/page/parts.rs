//! The shopping list in tables.

use super::blocks::{Block, Setting, Table, TableColumn};
use crate::model::Installation;
use crate::plan::{Advice, Cable, Item, Part, cables};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::numbers::{amps, fixed, plain, volts};
use crate::report::parts::{self, Presence};
use crate::report::words::listed;

/// Lines on the owner's page.
const SHORT_LINES: usize = 5;

/// The section's blocks: what to buy, what of it is not certain, and the cables.
pub(in crate::report) fn shopping(
    installation: &Installation,
    advice: &Advice,
    list: &[Part],
) -> Vec<Block> {
    let names = Names(installation);
    let mut blocks = Vec::new();
    if list.is_empty() {
        blocks.push(Block::Paragraph("Nothing is rewired, so there is nothing to buy.".into()));
    } else {
        blocks.push(Block::Paragraph(
            "The site file does not say which fuses, holders, connectors and cables are there today: where \
             a range stands, look first. Every part is rated for direct current and for the voltage beside it."
                .into(),
        ));
        blocks.push(Block::Table(what_to_buy(names, list)));
        blocks.push(Block::Heading("What is not certain, and where the figures come from".into()));
        blocks.push(Block::List(notes(names, list)));
    }
    let state = advice.best.map_or(&advice.today, |b| &advice.plans[b].state);
    let runs = cables(installation, state);
    if !runs.is_empty() {
        blocks.push(Block::Table(cable_table(names, &runs)));
        blocks.push(Block::Paragraph(
            "The watts of the plan are those at the panels' terminals; what is lost on the cables comes off \
             them. The drop is reckoned at full sun, with the copper as warm as its load makes it."
                .into(),
        ));
    }
    blocks
}

/// What to buy, for the owner's page: fuses in one line, a line for each other part, the rest counted.
pub(super) fn in_short(list: &[Part]) -> Vec<Block> {
    let mut fuses: Vec<(f64, usize)> = Vec::new();
    let mut others: Vec<(String, Presence, usize, usize)> = Vec::new();
    for part in list {
        let (what, presence) = (parts::what(part), parts::presence(part));
        if let Some(size) = fuse_to_buy(part) {
            match fuses.iter_mut().find(|f| f.0 == size) {
                Some(same) => same.1 += part.at_least,
                None => fuses.push((size, part.at_least)),
            }
            continue;
        }
        match others.iter_mut().find(|o| o.0 == what && o.1 == presence) {
            Some(same) => {
                same.2 += part.at_least;
                same.3 += part.at_most;
            }
            None => others.push((what, presence, part.at_least, part.at_most)),
        }
    }
    // What must be bought in any case comes first.
    others.sort_by_key(|other| other.2 == 0);
    let fuses: Vec<String> =
        fuses.iter().map(|(size, n)| format!("{n} of {}{GLUE}A", plain(*size, 1))).collect();
    let fuses = (!fuses.is_empty()).then(|| format!("DC fuses (gPV): {}", listed(&fuses)));
    let others = others.iter().map(|(what, presence, least, most)| {
        format!("{what}: {}", parts::how_many(*least, *most, *presence))
    });
    let mut lines: Vec<String> = fuses.into_iter().chain(others).collect();
    if lines.len() > SHORT_LINES {
        let n_left = lines.len() - (SHORT_LINES - 1);
        lines.truncate(SHORT_LINES - 1);
        lines.push(format!("{n_left}{GLUE}more: see the shopping list"));
    }
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Block::Heading("What to buy".into()), Block::List(lines)]
}

/// The size of a fuse that is needed in any case. \[A\]
fn fuse_to_buy(part: &Part) -> Option<f64> {
    match &part.item {
        Item::Fuse(need) if parts::presence(part) == Presence::Absent => {
            need.size.map(|size| size.amps())
        }
        _ => None,
    }
}

/// Parts that are alike: what, what it bears, why.
struct Row {
    alike: [String; 3],
    presence: Presence,
    at_least: usize,
    at_most: usize,
    places: Vec<String>,
}

/// Parts that are alike but for their string share a row.
fn what_to_buy(names: Names<'_>, list: &[Part]) -> Table {
    let mut rows: Vec<Row> = Vec::new();
    for part in list {
        let alike = [parts::what(part), parts::bears(part), parts::why(names, part)];
        let (place, presence) = (parts::for_what(names, part), parts::presence(part));
        match rows.iter_mut().find(|row| row.alike == alike && row.presence == presence) {
            Some(row) => {
                row.at_least += part.at_least;
                row.at_most += part.at_most;
                if !row.places.contains(&place) {
                    row.places.push(place);
                }
            }
            None => rows.push(Row {
                alike,
                presence,
                at_least: part.at_least,
                at_most: part.at_most,
                places: vec![place],
            }),
        }
    }
    let row = |row: Row| {
        let [what, bears, why] = row.alike;
        let how_many = parts::how_many(row.at_least, row.at_most, row.presence);
        vec![what, how_many, bears, row.places.join("; "), why]
    };
    table(
        "What to buy",
        &[
            ("Part", Setting::Words),
            ("How many", Setting::Figures),
            ("Bears at least", Setting::Figures),
            ("For", Setting::Words),
            ("Why", Setting::Words),
        ],
        rows.into_iter().map(row).collect(),
    )
}

/// One line for all parts of which the same is said.
fn notes(names: Names<'_>, list: &[Part]) -> Vec<String> {
    let mut notes: Vec<(String, Vec<String>)> = Vec::new();
    for part in list {
        let mut said = parts::unsure(names, part);
        said.push(format!("source: {}", parts::basis(part)));
        let (said, what) = (said.join("; "), parts::what(part));
        match notes.iter_mut().find(|(other, _)| *other == said) {
            Some((_, parts)) if parts.contains(&what) => {}
            Some((_, parts)) => parts.push(what),
            None => notes.push((said, vec![what])),
        }
    }
    let note = |(said, parts): (String, Vec<String>)| format!("{}: {said}.", parts.join("; "));
    notes.into_iter().map(note).collect()
}

fn cable_table(names: Names<'_>, runs: &[Cable]) -> Table {
    let row = |cable: &Cable| {
        let place = if names.has_several_inputs() {
            format!("{}: ", names.input(cable.run.at))
        } else {
            String::new()
        };
        let size = match (cable.cross_section(), cable.run.size) {
            (Some(size), Some(_)) => size.name(),
            (Some(size), None) => format!("{} (proposed)", size.name()),
            (None, _) => "none serves".into(),
        };
        let dash = || "-".to_owned();
        let carries = match cable.carries {
            Some(a) if cable.is_too_small() => format!("{}, too little", amps(a.allowed)),
            Some(a) => amps(a.allowed),
            None => dash(),
        };
        let (drop, lost) = cable.loss.map_or_else(
            || (dash(), dash()),
            |l| {
                let drop = format!("{}, {}{GLUE}%", volts(l.drop), fixed(l.percent, 1));
                (drop, format!("{}{GLUE}W", fixed(l.watts.watts(), 1)))
            },
        );
        vec![
            format!("{place}{}", parts::run(cable.run.part)),
            parts::length(cable),
            size,
            amps(cable.need),
            carries,
            format!("{}{GLUE}°C", plain(cable.air.celsius(), 1)),
            drop,
            lost,
        ]
    };
    table(
        "Cables under this wiring",
        &[
            ("Run", Setting::Words),
            ("One way", Setting::Figures),
            ("Copper", Setting::Words),
            ("Must carry", Setting::Figures),
            ("May carry", Setting::Figures),
            ("in air at", Setting::Figures),
            ("Drop", Setting::Figures),
            ("Lost", Setting::Figures),
        ],
        runs.iter().map(row).collect(),
    )
}

fn table(caption: &str, columns: &[(&str, Setting)], rows: Vec<Vec<String>>) -> Table {
    let columns = columns
        .iter()
        .map(|(head, setting)| TableColumn { head: (*head).into(), setting: *setting })
        .collect();
    Table { caption: caption.into(), columns, rows }
}
