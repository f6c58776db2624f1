//! Who gets what, as a page of at most 100 columns: totals, the first of each list, what is left and why.

use super::words::{self, amount, money, panels, whole_watts};
use super::{FleetAsked, SiteNames, n_placed, ranked};
use crate::plan::{Allocation, FleetAim, SiteAllotment};
use crate::report::layout::{self, Column, GLUE, lined_up, paragraph, titled};
use crate::report::numbers::share;
use crate::report::words::counted;
use crate::units::Watts;

/// The answer as a page.
pub(super) fn allocation(asked: &FleetAsked<'_>, allocation: &Allocation) -> String {
    let names = SiteNames::of(asked.customers);
    layout::page(&[
        verdict(asked, allocation),
        sites(asked, allocation, &names),
        stock(asked, allocation, &names),
        left(asked, allocation, &names),
        unread(asked),
        notes(allocation),
        cautions(),
    ])
}

fn verdict(asked: &FleetAsked<'_>, allocation: &Allocation) -> String {
    let offered: usize = asked.stock.iter().map(|item| item.count).sum();
    let placed: usize = allocation.sites.iter().map(n_placed).sum();
    let takers = allocation.sites.iter().filter(|s| n_placed(s) > 0).count();
    let of_sites = counted(asked.customers.len(), "site", "sites");
    let of_panels = counted(offered, "panel", "panels");
    let proof = words::proof(allocation.gap, allocation.proven, allocation.stopped);
    if placed == 0 {
        let none = format!("None of {of_panels} in stock finds a place at {of_sites}.");
        let early =
            if allocation.stopped { paragraph(words::TOO_EARLY, 0, 2) } else { String::new() };
        return paragraph(&none, 0, 2) + &early;
    }
    let said = format!(
        "{placed}{GLUE}of {of_panels} in stock find a place, at {takers}{GLUE}of {of_sites}: {} more at full sun{}.",
        whole_watts(allocation.added),
        match allocation.aim {
            FleetAim::Watts => String::new(),
            FleetAim::Margin => format!(", a margin of {}", money(allocation.value)),
        },
    );
    paragraph(&said, 0, 2) + &paragraph(&proof, 0, 2)
}

/// A column that is left out where it would be empty.
struct Optional<'a> {
    head: &'a str,
    of: fn(&SiteAllotment) -> Option<f64>,
}

/// One line for each site that gets something.
fn sites(asked: &FleetAsked<'_>, allocation: &Allocation, names: &SiteNames<'_>) -> String {
    let all = ranked(allocation);
    if all.is_empty() {
        return String::new();
    }
    let optional = [
        Optional { head: "worth", of: |s| s.worth },
        Optional { head: "asking", of: |s| s.asking },
        Optional { head: "margin", of: |s| Some(s.value) },
    ];
    let kept: Vec<&Optional> = optional
        .iter()
        .filter(|column| match column.head {
            "margin" => allocation.aim == FleetAim::Margin,
            _ => all.iter().any(|s| (column.of)(s).is_some()),
        })
        .collect();
    let mut columns = vec![Column::Right(5), Column::Left(26), Column::Rest];
    columns.extend([Column::Right(7), Column::Right(8), Column::Right(7), Column::Right(6)]);
    columns.extend(kept.iter().map(|_| Column::Right(9)));
    let mut header = vec!["".to_owned(), "site".into(), "panels".into()];
    header.extend(["adds".to_owned(), "used now".into(), "then".into(), "joints".into()]);
    header.extend(kept.iter().map(|column| column.head.to_owned()));
    let mut rows = vec![header];
    for (rank, site) in all.iter().take(asked.top).enumerate() {
        let mut row = vec![
            (rank + 1).to_string(),
            names.name(site.customer),
            with_own(panels(&site.placed, asked.stock), site),
            adds(site),
            if site.watts.0 > Watts(0.0) { share(site.utilization.0) } else { "-".into() },
            share(site.utilization.1),
            site.joints.total().to_string(),
        ];
        let sum = |x: Option<f64>| x.map_or("-".to_owned(), money);
        row.extend(kept.iter().map(|column| sum((column.of)(site))));
        rows.push(row);
    }
    paragraph("Who gets what (used: share of the label watts)", 0, 2)
        + &lined_up(0, &columns, &rows)
        + &more(all.len(), asked.top, "site", "sites")
        + &words::clipped(all.iter().take(asked.top).copied())
}

/// `811 W`, with a mark where an output cuts something off.
pub(super) fn adds(site: &SiteAllotment) -> String {
    let mark = if site.clips() { words::CLIPS } else { "" };
    format!("{mark}{}", whole_watts(site.added()))
}

/// Panels, and a word where the site's own spares are wired beside them, which count in its watts.
pub(super) fn with_own(panels: String, site: &SiteAllotment) -> String {
    match (panels.is_empty(), site.own.is_empty()) {
        (_, true) => panels,
        (false, false) => panels + ", beside spares of its own",
        (true, false) => "spares of its own alone".to_owned(),
    }
}

/// One line for each kind of the stock.
fn stock(asked: &FleetAsked<'_>, allocation: &Allocation, names: &SiteNames<'_>) -> String {
    let columns = [
        Column::Left(30),
        Column::Right(8),
        Column::Right(6),
        Column::Right(6),
        Column::Right(9),
        Column::Rest,
    ];
    let heads = ["kind", "in stock", "placed", "left", "asking", "one more would bring"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    for answer in allocation.stock.iter().take(asked.top) {
        let item = &asked.stock[answer.stock];
        let next = match &answer.next {
            Some(next) => {
                format!("{} at {}", amount(allocation.aim, next.brings), names.name(next.customer))
            }
            None => "nothing".to_owned(),
        };
        rows.push(vec![
            item.kind.id.clone(),
            item.count.to_string(),
            answer.placed.to_string(),
            answer.left.to_string(),
            item.price.map_or("-".to_owned(), money),
            next,
        ]);
    }
    paragraph("Stock", 0, 2)
        + &lined_up(2, &columns, &rows)
        + &more(allocation.stock.len(), asked.top, "kind", "kinds")
}

/// Kinds of which some are left, and why.
fn left(asked: &FleetAsked<'_>, allocation: &Allocation, names: &SiteNames<'_>) -> String {
    let told: Vec<_> = allocation
        .stock
        .iter()
        .filter_map(|answer| Some((answer, answer.unplaced.as_ref()?)))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    let columns = [Column::Left(30), Column::Right(10), Column::Rest];
    let line = |(answer, why): &(&crate::plan::StockAnswer, &crate::plan::Unplaced)| {
        let item = &asked.stock[answer.stock];
        vec![
            item.kind.id.clone(),
            format!("{}{GLUE}of{GLUE}{}", answer.left, item.count),
            words::because(why, names, allocation.aim),
        ]
    };
    let rows: Vec<Vec<String>> = told.iter().take(asked.top).map(line).collect();
    paragraph("Left, and why", 0, 2)
        + &lined_up(2, &columns, &rows)
        + &more(told.len(), asked.top, "kind", "kinds")
}

/// How to see what the page does not show.
pub(super) fn more(n: usize, top: usize, one: &str, many: &str) -> String {
    if n <= top {
        return String::new();
    }
    let text = format!(
        "… and {}: `--top {n}` shows them here, `--format csv` for a spreadsheet.",
        counted(n - top, &format!("more {one}"), &format!("more {many}"))
    );
    paragraph(&text, 2, 4)
}

/// Sites and rows that are not in the answer.
pub(super) fn unread(asked: &FleetAsked<'_>) -> String {
    let mut texts: Vec<String> = asked
        .unread
        .iter()
        .take(asked.top)
        .map(|site| {
            let first = site.mistakes.first();
            let place = first
                .and_then(|m| m.at)
                .map_or(String::new(), |(line, _)| format!(", line{GLUE}{line}"));
            let message = first.map_or("", |m| m.message.as_str());
            let rest = match site.mistakes.len() {
                0 | 1 => String::new(),
                n => format!(" (and {} more)", n - 1),
            };
            format!("{}{place}: {message}{rest}", site.file)
        })
        .collect();
    if asked.unread.len() > asked.top {
        texts.push(format!("… and {} more.", asked.unread.len() - asked.top));
    }
    if !asked.skipped_rows.is_empty() {
        let lines: Vec<String> =
            asked.skipped_rows.iter().take(asked.top).map(ToString::to_string).collect();
        let rest = if asked.skipped_rows.len() > asked.top { ", …" } else { "" };
        let rows = counted(asked.skipped_rows.len(), "row", "rows");
        texts.push(format!("{rows} of the stock, in line {}{rest}.", lines.join(", ")));
    }
    titled("Left out", &texts)
}

fn notes(allocation: &Allocation) -> String {
    titled("Notes", &allocation.notes)
}

/// What everybody must know who acts on the page.
pub(super) fn cautions() -> String {
    let lines: String = words::CAUTIONS.iter().map(|text| paragraph(text, 2, 4)).collect();
    format!("Take care\n{lines}")
}
