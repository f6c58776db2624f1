//! Two questions about single panels: who can use this one, and what may stand where one broke.

use serde::Serialize;

use super::csv::{Row, in_file, left_out};
use super::json::{MissJson, SiteJson, UnreadJson, unread};
use super::table::{adds, cautions, more, with_own};
use super::words::{self, money, signed_watts, to_look_at, whole_watts};
use super::{FleetAsked, SiteNames, table};
use crate::model::Installation;
use crate::plan::{CanUse, DropIn, Outcome, Replacements, WhoCanUse};
use crate::report::Format;
use crate::report::csv::{cell, written};
use crate::report::figures::{Figure, figure, watts};
use crate::report::json::{CheckLineJson, checks, text};
use crate::report::layout::{self, Column, GLUE, lined_up, paragraph, titled};
use crate::report::names::Names;
use crate::report::numbers::{finding, fixed, share};
use crate::report::words::counted;
use crate::units::Watts;

/// A panel that broke, and what may stand in its place.
#[derive(Debug, Clone, Copy)]
pub struct Broken<'a> {
    /// Index of the customer.
    pub customer: usize,
    /// Where it stands, as a person named it.
    pub place: &'a str,
    /// What may stand there.
    pub found: &'a Replacements,
}

impl Broken<'_> {
    fn installation<'c>(self, asked: &FleetAsked<'c>) -> &'c Installation {
        &asked.customers[self.customer].installation
    }

    fn kind<'c>(self, asked: &FleetAsked<'c>) -> &'c str {
        &self.installation(asked).kind(self.found.kind).id
    }
}

/// Who can use a panel of the stock, best first, as text that ends with a line end.
#[must_use]
pub fn who_can_use(
    asked: &FleetAsked<'_>,
    stock: usize,
    found: &WhoCanUse,
    format: Format,
) -> String {
    match format {
        Format::Table => users_page(asked, stock, found),
        Format::Json => users_json(asked, stock, found),
        Format::Csv => users_csv(asked, stock, found),
    }
}

/// What may stand where a panel broke, best first, as text that ends with a line end.
#[must_use]
pub fn substitutes(asked: &FleetAsked<'_>, broken: Broken<'_>, format: Format) -> String {
    match format {
        Format::Table => substitutes_page(asked, broken),
        Format::Json => substitutes_json(asked, broken),
        Format::Csv => substitutes_csv(asked, broken),
    }
}

fn users_page(asked: &FleetAsked<'_>, stock: usize, found: &WhoCanUse) -> String {
    let names = SiteNames::of(asked.customers);
    let item = &asked.stock[stock];
    let id = &item.kind.id;
    let of_sites = counted(asked.customers.len(), "site", "sites");
    let head = if found.ranked.is_empty() {
        format!(
            "None of {of_sites} can use a {id} inside its limits so that it is worth its place."
        )
    } else {
        let asking =
            item.price.map_or(String::new(), |p| format!(", offered at {} each", money(p)));
        format!(
            "{} of {of_sites} can use {id} ({}{GLUE}in stock{asking}). Each site is asked by itself.",
            found.ranked.len(),
            item.count
        )
    };
    let worth = found.ranked.iter().any(|user| user.allotment.worth.is_some());
    let mut columns = vec![Column::Right(5), Column::Rest, Column::Left(16), Column::Right(8)];
    columns.extend([Column::Right(9), Column::Right(8), Column::Right(8), Column::Right(6)]);
    let mut header = vec!["", "site", "takes", "adds", "each adds", "used now", "then", "joints"];
    if worth {
        columns.push(Column::Right(10));
        header.push("worth each");
    }
    let mut rows: Vec<Vec<String>> = vec![header.into_iter().map(str::to_owned).collect()];
    for (rank, user) in found.ranked.iter().take(asked.top).enumerate() {
        let site = &user.allotment;
        let taken = super::n_placed(site);
        let mut row = vec![
            (rank + 1).to_string(),
            names.name(user.customer),
            with_own(taken.to_string(), site),
            adds(site),
            whole_watts(user.watts_each),
            if site.watts.0 > Watts(0.0) { share(site.utilization.0) } else { "-".into() },
            share(site.utilization.1),
            site.joints.total().to_string(),
        ];
        if worth {
            let each = site.worth.map(|w| w / taken.max(1) as f64);
            row.push(each.map_or("-".to_owned(), money));
        }
        rows.push(row);
    }
    let list = if found.ranked.is_empty() { String::new() } else { lined_up(0, &columns, &rows) };
    layout::page(&[
        paragraph(&head, 0, 2),
        list + &more(found.ranked.len(), asked.top, "site", "sites")
            + &words::clipped(found.ranked.iter().take(asked.top).map(|user| &user.allotment)),
        others(asked, &names, found),
        table::unread(asked),
        cautions(),
    ])
}

/// The sites that cannot use it, and why.
fn others(asked: &FleetAsked<'_>, names: &SiteNames<'_>, found: &WhoCanUse) -> String {
    let rest = asked.customers.len() - found.ranked.len();
    let mut texts = Vec::new();
    if let Some(miss) = found.nearest_miss.as_ref().filter(|_| found.breaching > 0) {
        let why = words::miss_in_words(miss, names);
        let at = counted(found.breaching, "site", "sites");
        texts.push(format!("At {at} {why}"));
    }
    let little = rest.saturating_sub(found.breaching + found.unasked);
    if little > 0 {
        let at = counted(little, "site", "sites");
        texts.push(format!("At {at} one brings less than a panel must bring."));
    }
    if found.unasked > 0 {
        let at = counted(found.unasked, "site", "sites");
        texts.push(format!("The time was over before anybody looked at {at}."));
    }
    titled("The others", &texts)
}

#[derive(Serialize)]
struct UsersJson<'a> {
    format: &'static str,
    kind: &'a str,
    in_stock: usize,
    price: Figure,
    sites_asked: usize,
    sites: Vec<UserJson<'a>>,
    sites_breaching: usize,
    sites_not_asked: usize,
    nearest_miss: Option<MissJson<'a>>,
    unread: Vec<UnreadJson<'a>>,
}

#[derive(Serialize)]
struct UserJson<'a> {
    watts_each: Figure,
    worth_each: Figure,
    #[serde(flatten)]
    site: SiteJson<'a>,
}

fn worth_each(user: &CanUse) -> Figure {
    let taken = super::n_placed(&user.allotment).max(1);
    user.allotment.worth.and_then(|w| figure(w / taken as f64, 2))
}

fn users_json(asked: &FleetAsked<'_>, stock: usize, found: &WhoCanUse) -> String {
    let names = SiteNames::of(asked.customers);
    let item = &asked.stock[stock];
    let user = |(rank, user)| {
        let user: &CanUse = user;
        UserJson {
            watts_each: watts(user.watts_each),
            worth_each: worth_each(user),
            site: SiteJson::new(asked, &names, rank + 1, &user.allotment),
        }
    };
    text(&UsersJson {
        format: "sungraft/match-panel@1",
        kind: &item.kind.id,
        in_stock: item.count,
        price: item.price.and_then(|x| figure(x, 2)),
        sites_asked: asked.customers.len(),
        sites: found.ranked.iter().enumerate().map(user).collect(),
        sites_breaching: found.breaching,
        sites_not_asked: found.unasked,
        nearest_miss: found.nearest_miss.as_ref().map(|miss| MissJson::new(&names, miss)),
        unread: unread(asked),
    })
}

fn users_csv(asked: &FleetAsked<'_>, stock: usize, found: &WhoCanUse) -> String {
    let names = SiteNames::of(asked.customers);
    let item = &asked.stock[stock];
    let mut rows: Vec<Row> = found
        .ranked
        .iter()
        .enumerate()
        .map(|(rank, user)| {
            let site = &user.allotment;
            let taken = super::n_placed(site);
            Row {
                record: "can_use",
                rank: Some(rank + 1),
                kind: cell(&item.kind.id),
                count: Some(taken),
                in_stock: Some(item.count),
                text: in_file(&to_look_at(&site.checks)),
                ..Row::of_site(&names, site).priced(item.price, taken)
            }
        })
        .collect();
    left_out(asked, &mut rows);
    written(&rows)
}

/// Breaches first, then what a person should look at; the nearest of each rule.
fn limits_of(names: Names<'_>, substitute: &DropIn) -> String {
    let told: Vec<String> = substitute
        .checks
        .iter()
        .filter(|c| c.outcome == Outcome::Breach)
        .map(|c| format!("BREACHES {}", finding(names, c)))
        .collect();
    let apart = substitute.apart_percent.map(|percent| {
        format!("its Voc is {}{GLUE}% from that of its block, which is too far", fixed(percent, 0))
    });
    let told: Vec<String> = told.into_iter().chain(apart).collect();
    if !told.is_empty() {
        return told.join("; ");
    }
    let cautions = substitute.checks.iter().filter(|c| c.outcome == Outcome::Caution);
    let cautions = cautions.map(|c| format!("caution: {}", finding(names, c)));
    let unknown = substitute.checks.iter().filter(|c| c.outcome == Outcome::Unknown).count();
    let unknown =
        (unknown > 0).then(|| counted(unknown, "figure to ask for", "figures to ask for"));
    let kept = std::iter::once("all limits kept".to_owned());
    kept.chain(cautions).chain(unknown).collect::<Vec<_>>().join("; ")
}

fn substitutes_page(asked: &FleetAsked<'_>, broken: Broken<'_>) -> String {
    let names = Names(broken.installation(asked));
    let found = &broken.found.ranked;
    let sound = broken.found.sound;
    let site = SiteNames::of(asked.customers).name(broken.customer);
    let fitting: Vec<&DropIn> = found.iter().filter(|s| s.fits).collect();
    let what = format!("the {} at {} of {site}", broken.kind(asked), broken.place);
    let head = match (fitting.first(), found.first()) {
        (Some(best), _) => format!(
            "In place of {what}: {}, which gives {} (with all panels sound {}).",
            asked.stock[best.stock].kind.id,
            whole_watts(best.watts),
            whole_watts(sound),
        ),
        (None, Some(_)) => format!("No panel in stock keeps every limit in place of {what}."),
        (None, None) => format!("There is no panel in stock to stand in place of {what}."),
    };
    let columns = [
        Column::Right(3),
        Column::Left(26),
        Column::Right(8),
        Column::Right(8),
        Column::Right(8),
        Column::Right(8),
        Column::Rest,
    ];
    let heads = ["", "kind", "in stock", "gives", "change", "asking", "limits"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    for (rank, s) in found.iter().take(asked.top).enumerate() {
        let item = &asked.stock[s.stock];
        rows.push(vec![
            if s.fits { (rank + 1).to_string() } else { "-".to_owned() },
            item.kind.id.clone(),
            item.count.to_string(),
            whole_watts(s.watts),
            signed_watts(sound, s.watts),
            item.price.map_or("-".to_owned(), money),
            limits_of(names, s),
        ]);
    }
    let list = if found.is_empty() { String::new() } else { lined_up(0, &columns, &rows) };
    let without = match broken.found.without {
        Some(watts) => format!(
            "With nothing in its place, the string joined up without it: {} ({}){}.",
            whole_watts(watts),
            signed_watts(sound, watts),
            if broken.found.without_fits { "" } else { "; that BREACHES a limit" },
        ),
        None => "Without it nothing is left of its string.".to_owned(),
    };
    let last = paragraph(
        "Each stands in the very place of the broken panel, and nothing else is changed; where it fits \
         badly, `sungraft advise` finds another wiring.",
        0,
        2,
    );
    layout::page(&[
        paragraph(&head, 0, 2),
        list + &more(found.len(), asked.top, "kind", "kinds"),
        paragraph(&without, 0, 2) + &last,
        cautions(),
    ])
}

#[derive(Serialize)]
struct SubstitutesJson<'a> {
    format: &'static str,
    site: &'a str,
    file: &'a str,
    broken: &'a str,
    place: &'a str,
    sound_watts: Figure,
    watts_without: Figure,
    without_fits: bool,
    substitutes: Vec<SubstituteJson<'a>>,
}

#[derive(Serialize)]
struct SubstituteJson<'a> {
    kind: &'a str,
    in_stock: usize,
    price: Figure,
    fits: bool,
    apart_percent: Figure,
    watts: Figure,
    unclipped_watts: Figure,
    lost_watts: Figure,
    checks: Vec<CheckLineJson<'a>>,
}

fn substitutes_json(asked: &FleetAsked<'_>, broken: Broken<'_>) -> String {
    let names = Names(broken.installation(asked));
    let sound = broken.found.sound;
    let one = |s| {
        let s: &DropIn = s;
        let item = &asked.stock[s.stock];
        SubstituteJson {
            kind: &item.kind.id,
            in_stock: item.count,
            price: item.price.and_then(|x| figure(x, 2)),
            fits: s.fits,
            apart_percent: s.apart_percent.and_then(|x| figure(x, 1)),
            watts: watts(s.watts),
            unclipped_watts: watts(s.unclipped),
            lost_watts: watts(sound - s.watts),
            checks: checks(names, &s.checks),
        }
    };
    text(&SubstitutesJson {
        format: "sungraft/match-replace@1",
        site: &broken.installation(asked).site.name,
        file: &asked.customers[broken.customer].file,
        broken: broken.kind(asked),
        place: broken.place,
        sound_watts: watts(sound),
        watts_without: broken.found.without.and_then(watts),
        without_fits: broken.found.without_fits,
        substitutes: broken.found.ranked.iter().map(one).collect(),
    })
}

fn substitutes_csv(asked: &FleetAsked<'_>, broken: Broken<'_>) -> String {
    let names = Names(broken.installation(asked));
    let sound = broken.found.sound;
    let rows: Vec<Row> = broken
        .found
        .ranked
        .iter()
        .enumerate()
        .map(|(rank, s)| {
            let item = &asked.stock[s.stock];
            Row {
                record: "substitute",
                rank: Some(rank + 1),
                site: cell(&broken.installation(asked).site.name),
                file: cell(&asked.customers[broken.customer].file),
                kind: cell(&item.kind.id),
                verdict: if s.fits { "fits" } else { "breaches" },
                price: item.price.and_then(|x| figure(x, 2)),
                watts_after: watts(s.unclipped),
                passed_watts_before: watts(sound),
                passed_watts_after: watts(s.watts),
                added_watts: watts(s.watts - sound),
                in_stock: Some(item.count),
                text: in_file(&limits_of(names, s)),
                ..Row::default()
            }
        })
        .collect();
    written(&rows)
}
