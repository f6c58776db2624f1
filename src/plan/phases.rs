//! The answer to an upgrade in steps: each step, what it reaches, and what other ways would lose.

use std::ops::{Add, Mul};

use super::{Advice, Aim, Check, Joints, Plan, State, Touch};
use crate::model::{Date, InputRef, Installation, KindIdx, RunPart};
use crate::units::{Amps, Celsius, KilowattHours, Watts};

/// The whole answer to `phases`.
#[derive(Debug, Clone, PartialEq)]
pub struct Phased {
    /// Name of the site.
    pub site: String,
    /// Design low of the air.
    pub coldest: Celsius,
    /// Design high of the air.
    pub hottest: Celsius,
    /// The array as it stands.
    pub today: State,
    /// Energy a year as it stands, where the sun is known.
    pub today_energy: Option<KilowattHours>,
    /// One for each phase of the file, in order; empty if there is no plan.
    pub steps: Vec<PhaseStep>,
    /// What stands in the way if there is no plan.
    pub failed: Vec<Check>,
    /// What the phases are planned for: watts, or a year's energy.
    pub aim: Aim,
    /// How much of the wiring before it each step may disturb.
    pub touch: Touch,
    /// All phases together.
    pub totals: Totals,
    /// What is proven.
    pub proof: PhaseProof,
    /// Other ways to go about it.
    pub foils: Vec<Foil>,
    /// What if a phase and all after it never come; one for each but the first.
    pub cancelled: Vec<Cancelled>,
    /// What if a kind that is to be bought later cannot be had then.
    pub sold_out: Vec<SoldOut>,
    /// Watts that a joint must bring over all the time, if that was asked for.
    pub joint_worth: Option<Watts>,
    /// Watts that a unit of money must bring over all the time, if that was asked for.
    pub money_worth: Option<Watts>,
    /// What was assumed.
    pub assumed: Vec<String>,
    /// What is missing on labels and must be asked for before wiring.
    pub ask: Vec<String>,
    /// How the answer was found.
    pub notes: Vec<String>,
    /// What to be careful of.
    pub cautions: Vec<&'static str>,
    /// Why the search was told to end before its end, if it was: `after 5 s`.
    pub stopped: Option<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseStep {
    /// The person's name for it.
    pub name: String,
    /// When, if that is known.
    pub date: Option<Date>,
    /// How long what it reaches lasts. \[years\]
    pub years: f64,
    /// The site before this step's work: its controllers are there, its panels are spares.
    pub installation: Installation,
    /// The step as an answer by itself, with one plan.
    pub advice: Advice,
    /// Energy a year afterwards, where the sun is known.
    pub energy: Option<KilowattHours>,
    /// What is bought in this phase.
    pub bought: Vec<Bought>,
    /// What that costs.
    pub money: f64,
    /// Most that may be spent, if there is a limit.
    pub budget: Option<f64>,
    /// What was carried over from the phase before, beside the budget.
    pub carried_in: f64,
    /// What is left and goes on to the next phase; `None` where nothing carries over.
    pub carried_on: Option<f64>,
    /// Spare or stored panels that are wired now, with those bought.
    pub wired: Vec<(KindIdx, usize)>,
    /// Panels wired before that are left out from now on.
    pub taken_out: Vec<(KindIdx, usize)>,
    /// What the best wiring found with those panels kept would have less; `None` where nothing is
    /// taken out, or no such wiring was met.
    pub gained_by_that: Option<Gained>,
    /// Hours of work, reckoned.
    pub hours: f64,
    /// Most hours and joints, if there are limits.
    pub most: (Option<f64>, Option<usize>),
    /// What is done or kept now for later.
    pub prepared: Vec<Prepared>,
}

impl PhaseStep {
    /// Its plan.
    ///
    /// # Panics
    /// Never for a step of the planner's: each has one plan.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.advice.plans[0]
    }
}

/// What the panels that are sought for bring more, charges counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gained {
    /// At full sun, before an output clips.
    Watts(Watts),
    /// In a year.
    Energy(KilowattHours),
}

/// Something bought.
#[derive(Debug, Clone, PartialEq)]
pub struct Bought {
    /// What.
    pub ware: Ware,
    /// How many.
    pub count: usize,
    /// Price of one, if it has one.
    pub each: Option<f64>,
    /// Phase in which it is used, by index; a later one than that in which it is bought where it is
    /// the last chance, or where money asks for it.
    pub used_in: usize,
    /// Was this the last chance to have it?
    pub last_chance: bool,
}

/// What is bought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ware {
    /// Panels of a kind.
    Panels(KindIdx),
    /// A controller, by its id, and by the id of the one whose place it takes.
    Controller(String, Option<String>),
}

/// What is done or kept in a step because a later one needs it.
#[derive(Debug, Clone, PartialEq)]
pub enum Prepared {
    /// Places of an input's combiner that later strings take.
    Ports {
        /// Which input.
        at: InputRef,
        /// How many are kept free.
        count: usize,
        /// For which phase, by index.
        phase: usize,
    },
    /// A string that stands now and stays, whose fuse a later phase asks for.
    Fuse {
        /// Which input.
        at: InputRef,
        /// Which string of this step, from 0.
        string: usize,
        /// Size that is needed then.
        size: Amps,
        /// Size that is needed now, if any.
        now: Option<Amps>,
        /// For which phase, by index.
        phase: usize,
    },
    /// A cable that must carry more later.
    Cable {
        /// Which input; for a battery's cable its controller counts.
        at: InputRef,
        /// Which stretch.
        part: RunPart,
        /// What it must carry now.
        now: Amps,
        /// What it must carry in the end.
        then: Amps,
        /// The cross-section that carries both; `None` where none is listed.
        size: Option<crate::model::CrossSection>,
        /// Is that laid already?
        laid: bool,
        /// For which phase, by index.
        phase: usize,
    },
    /// Panels bought now and wired later.
    Panels {
        /// Which kind.
        kind: KindIdx,
        /// How many.
        count: usize,
        /// In which phase they are wired, by index.
        phase: usize,
    },
}

/// What one way brings more than another over all the time that is planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Brings {
    /// Watts at full sun that reach the outputs, times the years that they last.
    pub watt_years: f64,
    /// Energy, where that is reckoned.
    pub energy: Option<KilowattHours>,
}

impl Add for Brings {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            watt_years: self.watt_years + other.watt_years,
            energy: self.energy.zip(other.energy).map(|(a, b)| a + b),
        }
    }
}

impl Mul<Brings> for f64 {
    type Output = Brings;

    /// Over so many years what it is in one.
    fn mul(self, of_one: Brings) -> Brings {
        Brings {
            watt_years: self * of_one.watt_years,
            energy: of_one.energy.map(|energy| energy * self),
        }
    }
}

/// A way through all phases, summed up.
#[derive(Debug, Clone, PartialEq)]
pub struct Totals {
    /// Watts that reach the outputs at full sun, times the years that they last.
    pub watt_years: f64,
    /// Energy over all phases, where the sun is known.
    pub energy: Option<KilowattHours>,
    /// Money spent.
    pub money: f64,
    /// Joints opened and made in all phases.
    pub joints: Joints,
    /// Joints beyond those of going from today to the end in one step: work done twice.
    pub repeated: usize,
    /// Panels bought that stand idle in the end.
    pub idle: Vec<(KindIdx, usize)>,
    /// What those cost.
    pub idle_money: f64,
}

/// How far the search went.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseProof {
    /// Watt-years, less charges, joints and money, of the plan. Where energy is sought: its energy over
    /// what a label watt brings in a year, less the same.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// Both as energy, where that is sought. \[kWh\]
    pub as_energy: Option<(KilowattHours, KilowattHours)>,
    /// Gap as a fraction of the value.
    pub gap: f64,
    /// Is the gap at most 0.1 %, for all controllers on offer?
    pub proven: bool,
    /// Wirings compared, phase by phase.
    pub pools: Vec<usize>,
}

/// Another way to go about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoilKind {
    /// In each phase what is best there, as if no other came.
    Greedy,
    /// Nothing until the last phase, then the best end state at once.
    AtOnce,
}

impl FoilKind {
    /// Its name in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Greedy => "greedy",
            Self::AtOnce => "at_once",
        }
    }
}

/// What another way brings and costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Foil {
    /// Which way.
    pub kind: FoilKind,
    /// Watts that reach the outputs after each phase.
    pub watts: Vec<Watts>,
    /// Joints opened and made in each phase.
    pub joints: Vec<Joints>,
    /// Summed up.
    pub totals: Totals,
}

/// A phase, and all after it, that never come.
#[derive(Debug, Clone, PartialEq)]
pub struct Cancelled {
    /// The phase, by index.
    pub phase: usize,
    /// What one is left with. \[W\]
    pub watts: Watts,
    /// Less than with all phases.
    pub lost: Brings,
    /// Less than by the best way for those who knew it beforehand, of the wirings met.
    pub regret: Brings,
    /// Panels bought that are then idle.
    pub idle: Vec<(KindIdx, usize)>,
    /// What they and other things bought ahead cost.
    pub idle_money: f64,
}

/// A kind that cannot be had when its phase comes.
#[derive(Debug, Clone, PartialEq)]
pub struct SoldOut {
    /// Which kind.
    pub kind: KindIdx,
    /// From which phase on, by index.
    pub phase: usize,
    /// How many the plan would buy from then on.
    pub count: usize,
    /// Lost by the best way on from there; `None` if no way was found.
    pub lost: Option<Brings>,
    /// Other kinds of the file that would fit in its places, the best first.
    pub substitutes: Vec<Substitute>,
}

/// A kind in the places of another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Substitute {
    /// Which kind.
    pub kind: KindIdx,
    /// More than with the planned kind; mostly below zero.
    pub change: Brings,
}
