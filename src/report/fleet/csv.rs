//! Who gets what as one table for spreadsheets: a `record` column says what a row is.

use serde::Serialize;

use super::words::{because, verdict};
use super::{FleetAsked, SiteNames, ranked};
use crate::plan::{Allocation, SiteAllotment};
use crate::report::csv::{cell, written};
use crate::report::figures::{Figure, figure, watts};

/// One line. The order of fields is the order of columns.
#[derive(Debug, Clone, Default, Serialize)]
pub(super) struct Row {
    pub(super) record: &'static str,
    pub(super) rank: Option<usize>,
    pub(super) site: String,
    pub(super) file: String,
    pub(super) kind: String,
    pub(super) count: Option<usize>,
    pub(super) verdict: &'static str,
    /// One panel.
    pub(super) price: Figure,
    /// All of the row.
    pub(super) asking: Figure,
    pub(super) watts_before: Figure,
    pub(super) watts_after: Figure,
    /// Behind the controllers' output limits, as are the watts added.
    pub(super) passed_watts_before: Figure,
    pub(super) passed_watts_after: Figure,
    pub(super) added_watts: Figure,
    pub(super) utilization_before: Figure,
    pub(super) utilization_after: Figure,
    pub(super) joints_opened: Option<usize>,
    pub(super) joints_made: Option<usize>,
    pub(super) worth: Figure,
    pub(super) margin: Figure,
    pub(super) in_stock: Option<usize>,
    pub(super) placed: Option<usize>,
    pub(super) left: Option<usize>,
    pub(super) one_more_brings: Figure,
    pub(super) one_more_at: String,
    pub(super) bound: Figure,
    pub(super) gap_percent: Figure,
    pub(super) line: Option<usize>,
    pub(super) text: String,
}

/// The answer as CSV: the sum, one row for each site and kind, one for each kind of the stock, and what
/// was left out. Figures of a site that gets several kinds stand on each of its rows.
pub(super) fn allocation(asked: &FleetAsked<'_>, allocation: &Allocation) -> String {
    let mut rows = vec![total(asked, allocation)];
    placements(asked, allocation, &mut rows);
    stock(asked, allocation, &mut rows);
    left_out(asked, &mut rows);
    rows.extend(allocation.notes.iter().map(|note| Row {
        record: "note",
        text: cell(note),
        ..Row::default()
    }));
    written(&rows)
}

fn total(asked: &FleetAsked<'_>, allocation: &Allocation) -> Row {
    let worth: Option<f64> = allocation.sites.iter().map(|s| s.worth).sum();
    let asking: Option<f64> = allocation.sites.iter().map(|s| s.asking).sum();
    Row {
        record: "total",
        added_watts: watts(allocation.added),
        worth: worth.and_then(|x| figure(x, 2)),
        asking: asking.and_then(|x| figure(x, 2)),
        margin: margin(allocation, allocation.value),
        in_stock: Some(asked.stock.iter().map(|item| item.count).sum()),
        placed: Some(allocation.stock.iter().map(|a| a.placed).sum()),
        left: Some(allocation.stock.iter().map(|a| a.left).sum()),
        bound: figure(allocation.bound, 2),
        gap_percent: figure(100.0 * allocation.gap, 3),
        ..Row::default()
    }
}

/// The value of an answer that was asked for margin.
fn margin(allocation: &Allocation, value: f64) -> Figure {
    match allocation.aim {
        crate::plan::FleetAim::Margin => figure(value, 2),
        crate::plan::FleetAim::Watts => None,
    }
}

impl Row {
    /// What a site has before and after.
    pub(super) fn of_site(names: &SiteNames<'_>, site: &SiteAllotment) -> Self {
        Self {
            site: cell(names.plain(site.customer)),
            file: cell(names.file(site.customer)),
            watts_before: watts(site.watts.0),
            watts_after: watts(site.watts.1),
            passed_watts_before: watts(site.passed.0),
            passed_watts_after: watts(site.passed.1),
            added_watts: watts(site.added()),
            utilization_before: figure(site.utilization.0, 4),
            utilization_after: figure(site.utilization.1, 4),
            joints_opened: Some(site.joints.opened),
            joints_made: Some(site.joints.made),
            worth: site.worth.and_then(|x| figure(x, 2)),
            ..Self::default()
        }
    }

    /// With the price of one panel, and of so many.
    pub(super) fn priced(self, price: Option<f64>, count: usize) -> Self {
        Self {
            price: price.and_then(|x| figure(x, 2)),
            asking: price.and_then(|x| figure(x * count as f64, 2)),
            ..self
        }
    }
}

fn placements(asked: &FleetAsked<'_>, allocation: &Allocation, rows: &mut Vec<Row>) {
    let names = SiteNames::of(asked.customers);
    for (rank, site) in ranked(allocation).into_iter().enumerate() {
        let of_site = Row {
            record: "placement",
            rank: Some(rank + 1),
            margin: margin(allocation, site.value),
            ..Row::of_site(&names, site)
        };
        rows.extend(site.placed.iter().map(|p| {
            let item = &asked.stock[p.stock];
            Row {
                kind: cell(&item.kind.id),
                count: Some(p.count),
                ..of_site.clone().priced(item.price, p.count)
            }
        }));
        rows.extend(site.own.iter().map(|(kind, count)| Row {
            record: "own_spare",
            kind: cell(&site.installation.kind(*kind).id),
            count: Some(*count),
            ..of_site.clone()
        }));
    }
}

fn stock(asked: &FleetAsked<'_>, allocation: &Allocation, rows: &mut Vec<Row>) {
    let names = SiteNames::of(asked.customers);
    rows.extend(allocation.stock.iter().map(|answer| {
        let item = &asked.stock[answer.stock];
        Row {
            record: "stock",
            kind: cell(&item.kind.id),
            verdict: verdict(answer, item),
            price: item.price.and_then(|x| figure(x, 2)),
            in_stock: Some(item.count),
            placed: Some(answer.placed),
            left: Some(answer.left),
            one_more_brings: figure(answer.next.map_or(0.0, |next| next.brings), 2),
            one_more_at: answer.next.map_or(String::new(), |next| cell(&names.name(next.customer))),
            text: answer
                .unplaced
                .as_ref()
                .map_or(String::new(), |why| in_file(&because(why, &names, allocation.aim))),
            ..Row::default()
        }
    }));
}

/// Sites and rows that are not in the answer.
pub(super) fn left_out(asked: &FleetAsked<'_>, rows: &mut Vec<Row>) {
    for site in asked.unread {
        rows.extend(site.mistakes.iter().map(|mistake| Row {
            record: "unread",
            file: cell(&site.file),
            line: mistake.at.map(|(line, _)| line),
            text: cell(&mistake.message),
            ..Row::default()
        }));
    }
    let skipped = |line: &usize| Row { record: "skipped_row", line: Some(*line), ..Row::default() };
    rows.extend(asked.skipped_rows.iter().map(skipped));
}

/// Text for a file, with ordinary spaces.
pub(super) fn in_file(text: &str) -> String {
    cell(&text.replace(crate::report::layout::GLUE, " "))
}
