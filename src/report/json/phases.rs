//! The answer to `phases`: each step, other ways, and what if.

use serde::Serialize;

use super::plan::JointsJson;
use super::state::{CheckLineJson, StateJson, checks};
use super::{CableJson, InputJson, PartJson, cables_json, text};
use crate::model::{Installation, KindIdx};
use crate::plan::{
    Bought, Brings, Cancelled, Foil, Gained, PhaseStep, Phased, Prepared, SoldOut, Totals, Ware,
    parts,
};
use crate::report::figures::{Figure, amps, celsius, figure, watts};
use crate::report::names::Names;

/// The answer to `phases` as JSON text.
pub(in crate::report) fn phases(installation: &Installation, phased: &Phased) -> String {
    text(&PhasedJson::new(Names(installation), phased))
}

#[derive(Serialize)]
struct PhasedJson<'a> {
    format: &'static str,
    site: &'a str,
    coldest_c: Figure,
    hottest_c: Figure,
    today: StateJson<'a>,
    today_kwh_per_year: Figure,
    aim: &'static str,
    touch: &'static str,
    phases: Vec<StepJson<'a>>,
    failed_checks: Vec<CheckLineJson<'a>>,
    totals: TotalsJson<'a>,
    proof: ProofJson,
    other_ways: Vec<FoilJson<'a>>,
    if_cancelled: Vec<CancelledJson<'a>>,
    if_sold_out: Vec<SoldOutJson<'a>>,
    joint_worth_watts: Figure,
    money_worth_watts: Figure,
    assumed: &'a [String],
    ask: &'a [String],
    notes: &'a [String],
    cautions: &'a [&'static str],
}

impl<'a> PhasedJson<'a> {
    fn new(names: Names<'a>, phased: &'a Phased) -> Self {
        let as_energy = phased.proof.as_energy;
        let in_watts = Some(&phased.proof).filter(|_| as_energy.is_none());
        Self {
            format: "sungraft/phases@1",
            site: &phased.site,
            coldest_c: celsius(phased.coldest),
            hottest_c: celsius(phased.hottest),
            today: StateJson::new(names, &phased.today),
            today_kwh_per_year: phased.today_energy.and_then(|e| figure(e.kilowatt_hours(), 1)),
            aim: phased.aim.name(),
            touch: phased.touch.name(),
            phases: phased.steps.iter().map(StepJson::new).collect(),
            failed_checks: checks(names, &phased.failed),
            totals: TotalsJson::new(names, &phased.totals),
            proof: ProofJson {
                value_watt_years: in_watts.and_then(|p| figure(p.value, 2)),
                bound_watt_years: in_watts.and_then(|p| figure(p.bound, 2)),
                value_kwh: as_energy.and_then(|e| figure(e.0.kilowatt_hours(), 1)),
                bound_kwh: as_energy.and_then(|e| figure(e.1.kilowatt_hours(), 1)),
                gap_percent: figure(phased.proof.gap * 100.0, 4),
                proven: phased.proof.proven,
                wirings_compared: phased.proof.pools.clone(),
            },
            other_ways: phased.foils.iter().map(|f| FoilJson::new(names, f)).collect(),
            if_cancelled: phased.cancelled.iter().map(|c| CancelledJson::new(names, c)).collect(),
            if_sold_out: phased.sold_out.iter().map(|s| SoldOutJson::new(names, s)).collect(),
            joint_worth_watts: phased.joint_worth.and_then(watts),
            money_worth_watts: phased.money_worth.and_then(watts),
            assumed: &phased.assumed,
            ask: &phased.ask,
            notes: &phased.notes,
            cautions: &phased.cautions,
        }
    }
}

#[derive(Serialize)]
struct StepJson<'a> {
    name: &'a str,
    date: Option<String>,
    years: Figure,
    added_watts: Figure,
    kwh_per_year: Figure,
    state: StateJson<'a>,
    joints: JointsJson,
    most_joints: Option<usize>,
    hours: Figure,
    most_hours: Figure,
    money: Figure,
    budget: Figure,
    carried_in: Figure,
    carried_on: Figure,
    bought: Vec<BoughtJson<'a>>,
    wired: Vec<CountJson<'a>>,
    taken_out: Vec<CountJson<'a>>,
    gained_by_taking_out_watts: Figure,
    gained_by_taking_out_kwh_per_year: Figure,
    prepared: Vec<PreparedJson<'a>>,
    parts: Vec<PartJson<'a>>,
    cables: Vec<CableJson<'a>>,
}

impl<'a> StepJson<'a> {
    fn new(step: &'a PhaseStep) -> Self {
        let names = Names(&step.installation);
        let plan = step.plan();
        let (gained_watts, gained_kwh) = match step.gained_by_that {
            None => (None, None),
            Some(Gained::Watts(gain)) => (Some(gain), None),
            Some(Gained::Energy(gain)) => (None, figure(gain.kilowatt_hours(), 1)),
        };
        Self {
            name: &step.name,
            date: step.date.map(|d| d.name()),
            years: figure(step.years, 4),
            added_watts: watts(plan.added),
            kwh_per_year: step.energy.and_then(|e| figure(e.kilowatt_hours(), 1)),
            state: StateJson::new(names, &plan.state),
            joints: JointsJson::new(plan.joints),
            most_joints: step.most.1,
            hours: figure(step.hours, 2),
            most_hours: step.most.0.and_then(|h| figure(h, 2)),
            money: figure(step.money, 2),
            budget: step.budget.and_then(|b| figure(b, 2)),
            carried_in: figure(step.carried_in, 2),
            carried_on: step.carried_on.and_then(|left| figure(left, 2)),
            bought: step.bought.iter().map(|b| BoughtJson::new(names, b)).collect(),
            wired: panels(names, &step.wired),
            taken_out: panels(names, &step.taken_out),
            gained_by_taking_out_watts: gained_watts.and_then(watts),
            gained_by_taking_out_kwh_per_year: gained_kwh,
            prepared: step.prepared.iter().map(|p| PreparedJson::new(names, p)).collect(),
            parts: parts(names.0, &step.advice).iter().map(|p| PartJson::new(names, p)).collect(),
            cables: cables_json(names, &plan.state),
        }
    }
}

/// So many panels of a kind.
#[derive(Serialize)]
struct CountJson<'a> {
    kind: &'a str,
    count: usize,
}

fn panels<'a>(names: Names<'a>, panels: &[(KindIdx, usize)]) -> Vec<CountJson<'a>> {
    panels.iter().map(|&(k, count)| CountJson { kind: names.kind(k), count }).collect()
}

/// `kind` or `controller` says what it is; phases count from 1.
#[derive(Serialize)]
struct BoughtJson<'a> {
    kind: Option<&'a str>,
    controller: Option<&'a str>,
    replaces: Option<&'a str>,
    count: usize,
    price_each: Figure,
    used_in_phase: usize,
    last_chance: bool,
}

impl<'a> BoughtJson<'a> {
    fn new(names: Names<'a>, bought: &'a Bought) -> Self {
        let (kind, controller, replaces) = match &bought.ware {
            Ware::Panels(kind) => (Some(names.kind(*kind)), None, None),
            Ware::Controller(id, old) => (None, Some(id.as_str()), old.as_deref()),
        };
        Self {
            kind,
            controller,
            replaces,
            count: bought.count,
            price_each: bought.each.and_then(|p| figure(p, 2)),
            used_in_phase: bought.used_in + 1,
            last_chance: bought.last_chance,
        }
    }
}

/// `what` says which of the other keys are filled.
#[derive(Serialize, Default)]
struct PreparedJson<'a> {
    what: &'static str,
    for_phase: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<InputJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    string: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    run: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    amps_now: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    amps_then: Figure,
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    laid: Option<bool>,
}

impl<'a> PreparedJson<'a> {
    fn new(names: Names<'a>, prepared: &Prepared) -> Self {
        let place = |at| Some(InputJson::new(names, at));
        match prepared {
            Prepared::Ports { at, count, phase } => Self {
                what: "ports",
                for_phase: phase + 1,
                place: place(*at),
                count: Some(*count),
                ..Self::default()
            },
            Prepared::Fuse { at, string, size, now, phase } => Self {
                what: "fuse",
                for_phase: phase + 1,
                place: place(*at),
                string: Some(string + 1),
                amps_now: now.and_then(amps),
                amps_then: amps(*size),
                ..Self::default()
            },
            Prepared::Cable { at, part, now, then, size, laid, phase } => Self {
                what: "cable",
                for_phase: phase + 1,
                place: place(*at),
                run: Some(part.name()),
                amps_now: amps(*now),
                amps_then: amps(*then),
                size: size.map(|s| s.name()),
                laid: Some(*laid),
                ..Self::default()
            },
            Prepared::Panels { kind, count, phase } => Self {
                what: "panels",
                for_phase: phase + 1,
                kind: Some(names.kind(*kind)),
                count: Some(*count),
                ..Self::default()
            },
        }
    }
}

#[derive(Serialize)]
struct TotalsJson<'a> {
    watt_years: Figure,
    kwh: Figure,
    money: Figure,
    joints: JointsJson,
    repeated_joints: usize,
    idle: Vec<CountJson<'a>>,
    idle_money: Figure,
}

impl<'a> TotalsJson<'a> {
    fn new(names: Names<'a>, totals: &Totals) -> Self {
        Self {
            watt_years: figure(totals.watt_years, 2),
            kwh: totals.energy.and_then(|e| figure(e.kilowatt_hours(), 1)),
            money: figure(totals.money, 2),
            joints: JointsJson::new(totals.joints),
            repeated_joints: totals.repeated,
            idle: panels(names, &totals.idle),
            idle_money: figure(totals.idle_money, 2),
        }
    }
}

#[derive(Serialize)]
struct ProofJson {
    value_watt_years: Figure,
    bound_watt_years: Figure,
    value_kwh: Figure,
    bound_kwh: Figure,
    gap_percent: Figure,
    proven: bool,
    wirings_compared: Vec<usize>,
}

#[derive(Serialize)]
struct FoilJson<'a> {
    way: &'static str,
    watts: Vec<Figure>,
    joints: Vec<JointsJson>,
    totals: TotalsJson<'a>,
}

impl<'a> FoilJson<'a> {
    fn new(names: Names<'a>, foil: &Foil) -> Self {
        Self {
            way: foil.kind.name(),
            watts: foil.watts.iter().map(|w| watts(*w)).collect(),
            joints: foil.joints.iter().map(|j| JointsJson::new(*j)).collect(),
            totals: TotalsJson::new(names, &foil.totals),
        }
    }
}

#[derive(Serialize)]
struct CancelledJson<'a> {
    phase: usize,
    watts: Figure,
    lost_watt_years: Figure,
    lost_kwh: Figure,
    regret_watt_years: Figure,
    regret_kwh: Figure,
    idle: Vec<CountJson<'a>>,
    idle_money: Figure,
}

impl<'a> CancelledJson<'a> {
    fn new(names: Names<'a>, cancelled: &Cancelled) -> Self {
        Self {
            phase: cancelled.phase + 1,
            watts: watts(cancelled.watts),
            lost_watt_years: figure(cancelled.lost.watt_years, 2),
            lost_kwh: kwh(cancelled.lost),
            regret_watt_years: figure(cancelled.regret.watt_years, 2),
            regret_kwh: kwh(cancelled.regret),
            idle: panels(names, &cancelled.idle),
            idle_money: figure(cancelled.idle_money, 2),
        }
    }
}

#[derive(Serialize)]
struct SoldOutJson<'a> {
    kind: &'a str,
    from_phase: usize,
    count: usize,
    lost_watt_years: Figure,
    lost_kwh: Figure,
    substitutes: Vec<SubstituteJson<'a>>,
}

#[derive(Serialize)]
struct SubstituteJson<'a> {
    kind: &'a str,
    change_watt_years: Figure,
    change_kwh: Figure,
}

/// Energy that a way brings more than another, where that is reckoned.
fn kwh(brings: Brings) -> Figure {
    brings.energy.and_then(|e| figure(e.kilowatt_hours(), 1))
}

impl<'a> SoldOutJson<'a> {
    fn new(names: Names<'a>, sold_out: &SoldOut) -> Self {
        let substitute = |s: &crate::plan::Substitute| SubstituteJson {
            kind: names.kind(s.kind),
            change_watt_years: figure(s.change.watt_years, 2),
            change_kwh: kwh(s.change),
        };
        Self {
            kind: names.kind(sold_out.kind),
            from_phase: sold_out.phase + 1,
            count: sold_out.count,
            lost_watt_years: sold_out.lost.and_then(|l| figure(l.watt_years, 2)),
            lost_kwh: sold_out.lost.and_then(kwh),
            substitutes: sold_out.substitutes.iter().map(substitute).collect(),
        }
    }
}
