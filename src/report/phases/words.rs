//! The sentences of an upgrade in steps.

use crate::model::{Installation, KindIdx};
use crate::plan::{Aim, Bought, Brings, Gained, PhaseStep, Phased, Prepared, State, Totals, Ware};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::numbers::{WattScale, amps, fixed, plain};
use crate::report::parts;
use crate::report::words::{counted, listed};
use crate::units::{KilowattHours, Watts};

/// Watt-years, or kWh, below which two ways bring the same, as they are shown.
pub(super) const SAME: f64 = 0.5;

/// What is needed to say anything: names, and how watts are shown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Teller<'a> {
    pub names: Names<'a>,
    pub phased: &'a Phased,
    pub scale: WattScale,
}

impl<'a> Teller<'a> {
    pub(super) fn of(installation: &'a Installation, phased: &'a Phased) -> Self {
        let states = phased.steps.iter().map(|s| s.plan().state.label());
        let largest = states.chain([phased.today.label()]).fold(Watts(0.0), Watts::max);
        Self { names: Names(installation), phased, scale: WattScale::for_label(largest) }
    }

    pub(super) fn kind(&self, kind: KindIdx) -> &'a str {
        self.names.kind(kind)
    }

    pub(super) fn some(&self, panels: &[(KindIdx, usize)]) -> String {
        let each = |(k, n): &(KindIdx, usize)| format!("{n}{GLUE}{}", self.kind(*k));
        listed(&panels.iter().map(each).collect::<Vec<_>>())
    }

    /// `phase 2 (next spring)`.
    pub(super) fn phase(&self, t: usize) -> String {
        format!("phase{GLUE}{} ({})", t + 1, self.phased.steps[t].name)
    }

    /// The first sentence: from where to where, for how much, with how much work.
    pub(super) fn verdict(&self) -> String {
        let Some(last) = self.phased.steps.last() else {
            return match &self.phased.stopped {
                Some(when) => format!("Stopped {when}, before any plan was found."),
                None => {
                    "No wiring keeps every limit in every phase: nothing is planned.".to_owned()
                }
            };
        };
        let (now, then) = (self.phased.today.passed(), last.plan().state.passed());
        let totals = &self.phased.totals;
        let bought = self.phased.steps.iter().any(|s| !s.bought.is_empty());
        if totals.joints.total() == 0 && !bought {
            return format!(
                "Leave the array as it is in every phase: nothing on offer is worth its place within the \
                 limits and budgets ({} at full sun).",
                self.scale.watts(now)
            );
        }
        let n = counted(self.phased.steps.len(), "phase", "phases");
        let money = if totals.money > 0.0 {
            format!(", {} spent", self.money(totals.money))
        } else {
            String::new()
        };
        let watts = format!("{} to {} at full sun", self.scale.watts(now), self.scale.watts(then));
        let energies = self.phased.today_energy.zip(last.energy);
        let reached = match energies.filter(|_| self.phased.aim != Aim::Watts) {
            Some((now, then)) => {
                format!("{} to {} a year (from {watts})", self.energy(now), self.energy(then))
            }
            None => watts,
        };
        format!(
            "In {n} from {reached}{money}; {} opened and {} made, {}.",
            counted(totals.joints.opened, "joint", "joints"),
            totals.joints.made,
            self.repeated(totals),
        )
    }

    fn repeated(&self, totals: &Totals) -> String {
        match totals.repeated {
            0 => "none of them twice".to_owned(),
            1 => "1 more than in one go".to_owned(),
            n => format!("{n} more than in one go"),
        }
    }

    /// A sum of money: two decimals only where they are needed.
    pub(super) fn money(&self, sum: f64) -> String {
        plain(sum, 2)
    }

    /// What a way brings more than another, in what is sought.
    pub(super) fn brings(&self, brings: Brings) -> String {
        let unit = if self.energy_of(brings).is_some() { "kWh" } else { "W·years" };
        format!("{}{GLUE}{unit}", fixed(self.sought(brings), 0))
    }

    /// The same as a bare figure. \[W·years or kWh\]
    pub(super) fn sought(&self, brings: Brings) -> f64 {
        self.energy_of(brings).map_or(brings.watt_years, |energy| energy.kilowatt_hours())
    }

    fn energy_of(&self, brings: Brings) -> Option<KilowattHours> {
        brings.energy.filter(|_| self.phased.aim != Aim::Watts)
    }

    /// `kWh`.
    pub(super) fn energy(&self, energy: KilowattHours) -> String {
        format!("{}{GLUE}kWh", fixed(energy.kilowatt_hours(), 0))
    }

    /// `2026-10, lasts 12 months`.
    pub(super) fn when(&self, step: &PhaseStep) -> String {
        let lasts = format!("counts for {}{GLUE}months", plain(step.years * 12.0, 1));
        match step.date {
            Some(date) => format!("{}, {lasts}", date.name()),
            None => lasts,
        }
    }

    /// What to buy in a step, an item each.
    pub(super) fn to_buy(self, step: &PhaseStep, t: usize) -> Vec<String> {
        step.bought.iter().map(|b| self.bought(b, t)).collect()
    }

    fn bought(&self, bought: &Bought, t: usize) -> String {
        let what = match &bought.ware {
            Ware::Panels(kind) => format!("{}{GLUE}{}", bought.count, self.kind(*kind)),
            Ware::Controller(id, None) => format!("controller {id}"),
            Ware::Controller(id, Some(old)) => format!("controller {id} in place of {old}"),
        };
        let price = match bought.each {
            Some(each) if bought.count > 1 => format!(" at {}", self.money(each)),
            Some(each) => format!(" for {}", self.money(each)),
            None => String::new(),
        };
        let mut said = what + &price;
        if bought.last_chance {
            said += ", the last chance to have it";
        }
        if bought.used_in > t {
            said += &format!(", kept for {}", self.phase(bought.used_in));
        }
        said
    }

    /// What is put up and what is taken down, and why.
    pub(super) fn to_do(self, step: &PhaseStep, t: usize) -> Vec<String> {
        let mut lines = self.controllers(t);
        let plan = step.plan();
        if !plan.changes_wiring() {
            lines.push("Nothing is rewired.".to_owned());
            return lines;
        }
        let wired = if step.wired.is_empty() {
            "Rewire what is there".to_owned()
        } else {
            format!("Wire {}", self.some(&step.wired))
        };
        lines.push(format!(
            "{wired}: {} opened, {} made, about {}{GLUE}h of work{}.",
            counted(plan.joints.opened, "joint", "joints"),
            plan.joints.made,
            plain(step.hours, 1),
            self.at_most(step),
        ));
        if !step.taken_out.is_empty() {
            let gain = match step.gained_by_that {
                Some(gain) => format!(
                    "the best wiring found that keeps what was wired gives {} less, charges counted",
                    match gain {
                        Gained::Watts(watts) => self.scale.watts(watts),
                        Gained::Energy(energy) => self.energy(energy) + " a year",
                    }
                ),
                None if self.phased.stopped.is_some() => {
                    "what that gains was not worked out".to_owned()
                }
                None => "no wiring found keeps all that was wired inside the limits".to_owned(),
            };
            lines.push(format!("Take {} out: {gain}.", self.some(&step.taken_out)));
        }
        lines
    }

    /// Controllers that come into use in a phase.
    fn controllers(self, t: usize) -> Vec<String> {
        let bought = self.phased.steps[..=t].iter().flat_map(|s| &s.bought);
        let said = |b: &Bought| match &b.ware {
            Ware::Controller(id, Some(old)) => Some(format!(
                "Put {id} in the place of {old}: part the array first, then the battery; connect the \
                 battery first, then the array; the manual comes first. Its strings and its combiner stay."
            )),
            Ware::Controller(id, None) => Some(format!(
                "Mount {id} and connect it to the battery before any string; the manual comes first."
            )),
            Ware::Panels(_) => None,
        };
        bought.filter(|b| b.used_in == t).filter_map(said).collect()
    }

    fn at_most(&self, step: &PhaseStep) -> String {
        let hours = step.most.0.map(|h| format!("{}{GLUE}h", plain(h, 1)));
        let joints = step.most.1.map(|n| counted(n, "joint", "joints"));
        let most: Vec<String> = [hours, joints].into_iter().flatten().collect();
        if most.is_empty() { String::new() } else { format!(" (at most {})", listed(&most)) }
    }

    /// What it reaches.
    pub(super) fn reached(&self, step: &PhaseStep) -> String {
        let state = &step.plan().state;
        let before = &step.advice.today;
        let added = self.scale.difference(before.passed(), state.passed());
        let mut said = format!(
            "{} at full sun ({}{GLUE}W)",
            self.scale.watts(state.passed()),
            self.scale.signed(added)
        );
        if let Some(energy) = step.energy {
            said += &format!(", {} a year", self.energy(energy));
        }
        if state.clipped().is_some() {
            said += &format!(
                "; the panels could give {}, more than the output passes on",
                self.scale.watts(state.watts())
            );
        }
        said + "."
    }

    /// What is spent, and of how much.
    pub(super) fn spent(&self, step: &PhaseStep) -> String {
        match step.budget {
            Some(budget) if step.carried_in > 0.0 => format!(
                "{} of {} and {} carried over",
                self.money(step.money),
                self.money(budget),
                self.money(step.carried_in)
            ),
            Some(budget) => format!("{} of {}", self.money(step.money), self.money(budget)),
            None => self.money(step.money),
        }
    }

    /// What is prepared for later.
    pub(super) fn prepared(&self, step: &PhaseStep, t: usize) -> Vec<String> {
        let money = step.carried_on.filter(|left| *left > 0.0).map(|left| {
            format!("Keep {} of the money: it goes on to {}.", self.money(left), self.phase(t + 1))
        });
        step.prepared.iter().map(|p| self.one_prepared(step, p)).chain(money).collect()
    }

    fn one_prepared(&self, step: &PhaseStep, prepared: &Prepared) -> String {
        let names = Names(&step.installation);
        let place = |at| {
            if names.has_several_inputs() {
                format!(" of {}", names.input(at))
            } else {
                String::new()
            }
        };
        match prepared {
            Prepared::Ports { at, count, phase } => format!(
                "Keep {} free on the combiner{}: {} needs {}.",
                counted(*count, "place", "places"),
                place(*at),
                self.phase(*phase),
                if *count == 1 { "it" } else { "the first" }
            ),
            Prepared::Fuse { at, string, size, now, phase } => {
                let why = match now {
                    Some(now) => format!(
                        "{} A now, {} A from {} on",
                        plain(now.amps(), 1),
                        plain(size.amps(), 1),
                        self.phase(*phase)
                    ),
                    None => format!("none is needed now, but from {} on", self.phase(*phase)),
                };
                format!(
                    "String{GLUE}{}{}: have a holder for a fuse of {}{GLUE}A ({why}).",
                    string + 1,
                    place(*at),
                    plain(size.amps(), 1)
                )
            }
            Prepared::Cable { at, part, now, then, size, laid, phase } => {
                let run = format!("The cable {}{}", parts::run(*part), place(*at));
                let carries = format!(
                    "must carry {} now and {} from {} on",
                    amps(*now),
                    amps(*then),
                    self.phase(*phase)
                );
                match (size, laid) {
                    (Some(size), true) => {
                        format!("{run} {carries}: the {} that is laid carries both.", size.name())
                    }
                    (Some(size), false) => {
                        format!(
                            "{run} {carries}: lay {} now and it serves to the end.",
                            size.name()
                        )
                    }
                    (None, _) => format!("{run} {carries}: no listed size carries that."),
                }
            }
            Prepared::Panels { kind, count, phase } => format!(
                "Store {count}{GLUE}{} dry and safe: {} wires {}.",
                self.kind(*kind),
                self.phase(*phase),
                if *count == 1 { "it" } else { "them" }
            ),
        }
    }

    /// The watts that a state passes on.
    pub(super) fn watts(&self, state: &State) -> String {
        self.scale.bare(state.passed())
    }
}
