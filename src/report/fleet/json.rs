//! Who gets what as JSON: a contract, versioned, units in the keys. `docs/match.schema.json` says the same.

use serde::Serialize;

use super::words::{because, verdict};
use super::{FleetAsked, Mistake, SiteNames, Unread, aim_name, ranked};
use crate::model::InputWiring;
use crate::plan::{Allocation, NearestMiss, SiteAllotment, StockAnswer, Unplaced};
use crate::report::figures::{Figure, figure, watts};
use crate::report::json::{CheckLineJson, ElementJson, JointsJson, checks, elements, text};
use crate::report::layout::GLUE;
use crate::report::names::Names;

#[derive(Serialize)]
struct AllocationJson<'a> {
    format: &'static str,
    aim: &'static str,
    added_watts: Figure,
    value: Figure,
    bound: Figure,
    gap_percent: Figure,
    proven: bool,
    stopped: bool,
    sites_asked: usize,
    panels_in_stock: usize,
    panels_placed: usize,
    sites: Vec<SiteJson<'a>>,
    stock: Vec<StockJson<'a>>,
    unread: Vec<UnreadJson<'a>>,
    skipped_rows: &'a [usize],
    notes: &'a [String],
}

/// The answer as JSON text.
pub(super) fn allocation(asked: &FleetAsked<'_>, allocation: &Allocation) -> String {
    let names = SiteNames::of(asked.customers);
    let sites = ranked(allocation).into_iter().enumerate();
    text(&AllocationJson {
        format: "sungraft/match@1",
        aim: aim_name(allocation.aim),
        added_watts: watts(allocation.added),
        value: figure(allocation.value, 2),
        bound: figure(allocation.bound, 2),
        gap_percent: figure(100.0 * allocation.gap, 3),
        proven: allocation.proven,
        stopped: allocation.stopped,
        sites_asked: asked.customers.len(),
        panels_in_stock: asked.stock.iter().map(|item| item.count).sum(),
        panels_placed: allocation.stock.iter().map(|a| a.placed).sum(),
        sites: sites.map(|(rank, site)| SiteJson::new(asked, &names, rank + 1, site)).collect(),
        stock: allocation
            .stock
            .iter()
            .map(|answer| StockJson::new(asked, &names, allocation, answer))
            .collect(),
        unread: unread(asked),
        skipped_rows: asked.skipped_rows,
        notes: &allocation.notes,
    })
}

/// What one site gets, and what it has of it.
#[derive(Serialize)]
pub(super) struct SiteJson<'a> {
    rank: usize,
    site: &'a str,
    file: &'a str,
    touch: &'static str,
    panels: Vec<PanelsJson<'a>>,
    own_spares: Vec<OwnJson<'a>>,
    watts_before: Figure,
    watts_after: Figure,
    added_watts: Figure,
    passed_watts_before: Figure,
    passed_watts_after: Figure,
    utilization_before: Figure,
    utilization_after: Figure,
    joints: JointsJson,
    worth: Figure,
    asking: Figure,
    value: Figure,
    wiring: Vec<WiringJson<'a>>,
    checks: Vec<CheckLineJson<'a>>,
    searched: &'a str,
}

#[derive(Serialize)]
struct PanelsJson<'a> {
    kind: &'a str,
    count: usize,
    price: Figure,
}

#[derive(Serialize)]
struct OwnJson<'a> {
    kind: &'a str,
    count: usize,
}

#[derive(Serialize)]
struct WiringJson<'a> {
    controller: &'a str,
    input: usize,
    strings: Vec<Vec<ElementJson<'a>>>,
}

impl<'a> SiteJson<'a> {
    pub(super) fn new(
        asked: &FleetAsked<'a>,
        names: &SiteNames<'a>,
        rank: usize,
        site: &'a SiteAllotment,
    ) -> Self {
        let kinds = Names(&site.installation);
        let panels = site.placed.iter().map(|p| {
            let item = &asked.stock[p.stock];
            let price = item.price.and_then(|x| figure(x, 2));
            PanelsJson { kind: &item.kind.id, count: p.count, price }
        });
        let own = site.own.iter().map(|(k, count)| OwnJson { kind: kinds.kind(*k), count: *count });
        Self {
            rank,
            site: names.plain(site.customer),
            file: names.file(site.customer),
            touch: asked.customers[site.customer].touch.name(),
            panels: panels.collect(),
            own_spares: own.collect(),
            watts_before: watts(site.watts.0),
            watts_after: watts(site.watts.1),
            added_watts: watts(site.added()),
            passed_watts_before: watts(site.passed.0),
            passed_watts_after: watts(site.passed.1),
            utilization_before: figure(site.utilization.0, 4),
            utilization_after: figure(site.utilization.1, 4),
            joints: JointsJson::new(site.joints),
            worth: site.worth.and_then(|x| figure(x, 2)),
            asking: site.asking.and_then(|x| figure(x, 2)),
            value: figure(site.value, 2),
            wiring: site.wiring.iter().map(|input| wiring(kinds, input)).collect(),
            checks: checks(kinds, &site.checks),
            searched: &site.searched,
        }
    }
}

fn wiring<'a>(names: Names<'a>, input: &InputWiring) -> WiringJson<'a> {
    WiringJson {
        controller: names.controller(input.at),
        input: input.at.input,
        strings: input.array.strings.iter().map(|s| elements(names, s)).collect(),
    }
}

#[derive(Serialize)]
struct StockJson<'a> {
    kind: &'a str,
    in_stock: usize,
    price: Figure,
    placed: usize,
    left: usize,
    verdict: &'static str,
    shadow_price: Figure,
    one_more: Option<OneMoreJson<'a>>,
    because: String,
    nearest_miss: Option<MissJson<'a>>,
}

#[derive(Serialize)]
struct OneMoreJson<'a> {
    site: &'a str,
    file: &'a str,
    brings: Figure,
}

/// The limit that stands in the way.
#[derive(Serialize)]
pub(super) struct MissJson<'a> {
    rule: &'static str,
    sites: usize,
    site: &'a str,
    file: &'a str,
    value: Figure,
    limit: Figure,
    unit: &'static str,
}

impl<'a> MissJson<'a> {
    pub(super) fn new(names: &SiteNames<'a>, miss: &NearestMiss) -> Self {
        Self {
            rule: miss.rule.name(),
            sites: miss.sites,
            site: names.plain(miss.customer),
            file: names.file(miss.customer),
            value: figure(miss.value, 3),
            limit: figure(miss.limit, 3),
            unit: miss.unit.symbol(),
        }
    }
}

impl<'a> StockJson<'a> {
    fn new(
        asked: &FleetAsked<'a>,
        names: &SiteNames<'a>,
        allocation: &Allocation,
        answer: &StockAnswer,
    ) -> Self {
        let item = &asked.stock[answer.stock];
        let miss = match &answer.unplaced {
            Some(Unplaced::Breaches(miss)) => Some(MissJson::new(names, miss)),
            _ => None,
        };
        let why = answer.unplaced.as_ref();
        Self {
            kind: &item.kind.id,
            in_stock: item.count,
            price: item.price.and_then(|x| figure(x, 2)),
            placed: answer.placed,
            left: answer.left,
            verdict: verdict(answer, item),
            shadow_price: figure(answer.shadow, 3),
            one_more: answer.next.map(|next| OneMoreJson {
                site: names.plain(next.customer),
                file: names.file(next.customer),
                brings: figure(next.brings, 2),
            }),
            because: why.map_or(String::new(), |why| {
                because(why, names, allocation.aim).replace(GLUE, " ")
            }),
            nearest_miss: miss,
        }
    }
}

/// A site that could not be asked.
#[derive(Serialize)]
pub(super) struct UnreadJson<'a> {
    file: &'a str,
    mistakes: Vec<MistakeJson<'a>>,
}

#[derive(Serialize)]
struct MistakeJson<'a> {
    code: &'a str,
    message: &'a str,
    line: Option<usize>,
    column: Option<usize>,
    help: &'a str,
}

/// The sites that could not be asked.
pub(super) fn unread<'a>(asked: &FleetAsked<'a>) -> Vec<UnreadJson<'a>> {
    let mistake = |m: &'a Mistake| MistakeJson {
        code: &m.code,
        message: &m.message,
        line: m.at.map(|at| at.0),
        column: m.at.map(|at| at.1),
        help: &m.help,
    };
    let site = |u: &'a Unread| UnreadJson {
        file: &u.file,
        mistakes: u.mistakes.iter().map(mistake).collect(),
    };
    asked.unread.iter().map(site).collect()
}
