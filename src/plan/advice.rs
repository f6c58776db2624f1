//! The whole answer: today, the plans, what becomes of each panel.

use super::{
    Aim, Certificate, Check, ControllerAnswer, EnergyPoint, EnergyProof, JointCurve, OwnController,
    State, Yield,
};
use crate::energy::EnergyAnswer;
use crate::model::{InputRef, Installation, KindIdx};
use crate::units::{Amps, Celsius, KilowattHours, Watts};

/// How much of today's wiring a plan may disturb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Touch {
    /// Every installed string stays as it is; spares may only form new strings.
    None,
    /// Every installed string stays together, but may be lengthened or get a spare across one of its panels.
    Extend,
    /// Anything may be rewired, and installed panels may be left out.
    Free,
}

impl Touch {
    /// All three, from the least disturbance.
    pub const ALL: [Self; 3] = [Self::None, Self::Extend, Self::Free];

    /// The level's name on the command line and in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Extend => "extend",
            Self::Free => "free",
        }
    }
}

/// By which arithmetic plans are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Single-diode curves.
    Curve,
    /// The trade's hand arithmetic.
    Nameplate,
}

/// Joints between panels, and between strings and the combiner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Joints {
    /// Joints of today that the plan undoes.
    pub opened: usize,
    /// Joints of the plan that are not there today.
    pub made: usize,
}

impl Joints {
    /// Opened and made together.
    #[must_use]
    pub fn total(self) -> usize {
        self.opened + self.made
    }
}

/// How far the search went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// No wiring of this touch level can give more than this (see `docs/optimiser.md` for the charge on panels). \[W\]
    pub watts: Watts,
    /// The gap to this plan as a fraction of its charged watts.
    pub gap: f64,
    /// Is the gap at most 0.1 %?
    pub proven: bool,
}

/// One plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How much it disturbs.
    pub touch: Touch,
    /// What it gives and which limits it keeps, the whole site.
    pub state: State,
    /// Operating watts more than today. \[W\]
    pub added: Watts,
    /// Watts less the charge on each panel wired. \[W\]
    pub charged: Watts,
    /// What is proven.
    pub bound: Bound,
    /// Joints opened and made against today.
    pub joints: Joints,
    /// How far the search for energy went, where plans were chosen for energy.
    pub energy: Option<EnergyProof>,
}

impl Plan {
    /// Is anything wired otherwise than today?
    #[must_use]
    pub fn changes_wiring(&self) -> bool {
        self.joints != Joints::default()
    }
}

/// What came of one touch level.
#[derive(Debug, Clone, PartialEq)]
pub enum TouchAnswer {
    /// A plan, by its index in [`Advice::plans`].
    Plan(usize),
    /// The best plan is also allowed at a level that disturbs less: same wiring as the plan with this index.
    SameAs(usize),
    /// No wiring at this level keeps all limits; the checks that fail with as little disturbance as possible.
    NoPlan(Vec<Check>),
    /// The solver's limit came before any plan.
    LimitReached,
}

/// What adding a kind is worth, in one word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// All of the count offered is used and adds watts.
    Adds,
    /// Only some of the count is used.
    AddsPart,
    /// The controller's output limit hides the gain at full sun.
    AddsInWeakSun,
    /// The gain is below its threshold.
    AddsNothing,
    /// No wiring of it stays inside the limits.
    Breaches,
    /// The search was stopped before this was known.
    NotWorkedOut,
}

impl Verdict {
    /// The verdict's name in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Adds => "adds",
            Self::AddsPart => "adds_part",
            Self::AddsInWeakSun => "adds_in_weak_sun",
            Self::AddsNothing => "adds_nothing",
            Self::Breaches => "breaches",
            Self::NotWorkedOut => "not_worked_out",
        }
    }
}

/// The answer for one spare kind.
#[derive(Debug, Clone, PartialEq)]
pub struct SpareAnswer {
    /// Which kind.
    pub kind: KindIdx,
    /// How many were offered.
    pub offered: usize,
    /// How many of them the best plan wires.
    pub used: usize,
    /// Best plan with the whole stock less best plan without this kind's spares. \[W\]
    pub adds: Watts,
    /// In one word.
    pub verdict: Verdict,
    /// The limit or mismatch that binds, with both numbers; empty where it simply adds.
    pub because: String,
    /// The smallest change that would make it useful; empty where it simply adds.
    pub would_help: String,
    /// Best watts with 0, 1, 2, … of its panels on offer, all else being offered too.
    pub worth: Vec<WorthPoint>,
    /// The best plan in which one more of it is wired, where it adds nothing or only in part.
    pub certificate: Option<Certificate>,
    /// Every single change that was found to help, from the smallest.
    pub helps: Vec<Help>,
    /// What the ways that come to mind first would do to today's watts.
    pub obvious: Vec<ObviousWay>,
    /// The answer at both ends of what tolerance and age leave open; `None` where neither is given.
    pub certainty: Option<Certainty>,
    /// Energy a year that the best plan loses without this kind's spares; `None` where none is used,
    /// or without a year of sun. \[kWh\]
    pub adds_energy: Option<KilowattHours>,
    /// The same in the part of the year that is sought; `None` where watts are.
    pub adds_sought: Option<Yield>,
}

impl SpareAnswer {
    /// An answer that says no more than this.
    #[must_use]
    pub fn bare(kind: KindIdx, (offered, used): (usize, usize), verdict: Verdict) -> Self {
        Self {
            kind,
            offered,
            used,
            adds: Watts(0.0),
            verdict,
            because: String::new(),
            would_help: String::new(),
            worth: Vec::new(),
            certificate: None,
            helps: Vec::new(),
            obvious: Vec::new(),
            certainty: None,
            adds_energy: None,
            adds_sought: None,
        }
    }
}

/// A verdict repeated at both ends of a label's band.
#[derive(Debug, Clone, PartialEq)]
pub struct Certainty {
    /// Power at the low end, as a factor on the label.
    pub low: f64,
    /// Power at the high end.
    pub high: f64,
    /// Watts that the kind's spares add at the low end. \[W\]
    pub adds_low: Watts,
    /// Watts that they add at the high end. \[W\]
    pub adds_high: Watts,
    /// Is it worth wiring at one end and not at the other?
    pub flips: bool,
    /// In words; where it flips, the one meter reading that would settle it.
    pub words: String,
}

/// Best watts with so many panels of a kind on offer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorthPoint {
    /// Panels on offer.
    pub panels: usize,
    /// Watts of the best plan then. \[W\]
    pub watts: Watts,
    /// No plan can have more. \[W\]
    pub bound: Watts,
    /// Watts more than with one panel fewer; `None` for the first point, and where the step is not
    /// larger than both gaps together. \[W\]
    pub step: Option<Watts>,
    /// What it brings, where energy was sought; its watts have no bound then.
    pub energy: Option<EnergyPoint>,
}

/// One change that makes a panel worth wiring.
#[derive(Debug, Clone, PartialEq)]
pub struct Help {
    /// Name in answer files.
    pub change: &'static str,
    /// In words.
    pub words: String,
    /// Watts that the kind's panels bring then. \[W\]
    pub unlocks: Watts,
    /// The same as energy, where energy was sought.
    pub unlocks_energy: Option<Yield>,
}

/// A way to connect one panel that comes to mind first.
#[derive(Debug, Clone, PartialEq)]
pub struct ObviousWay {
    /// `in_parallel` or `in_series`.
    pub way: &'static str,
    /// Watts then. \[W\]
    pub watts: Watts,
    /// Watts more than today. \[W\]
    pub change: Watts,
    /// Largest current that flows back into a string while the controller idles. \[A\]
    pub reverse: Amps,
    /// Limits it would breach.
    pub breaches: Vec<Check>,
}

/// Installed panels that the best plan leaves out.
#[derive(Debug, Clone, PartialEq)]
pub struct IdlePanels {
    /// Which kind.
    pub kind: KindIdx,
    /// How many.
    pub count: usize,
    /// Why they are not needed, with both numbers.
    pub because: String,
    /// What could be done with them instead; empty where nothing was found or asked.
    pub instead: String,
}

/// The whole answer to `advise`.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Name of the site.
    pub site: String,
    /// Design low of the air.
    pub coldest: Celsius,
    /// Design high of the air.
    pub hottest: Celsius,
    /// By which arithmetic the plans were chosen.
    pub rule: Rule,
    /// What the plans were chosen for.
    pub aim: Aim,
    /// The input that was planned; of several the first that is wired today.
    pub planned: InputRef,
    /// All inputs that were planned, together if there are several.
    pub together: Vec<InputRef>,
    /// The array as it stands.
    pub today: State,
    /// The plans that differ, in order of touch.
    pub plans: Vec<Plan>,
    /// What came of each touch level asked for, in order.
    pub levels: Vec<(Touch, TouchAnswer)>,
    /// Index of the best plan in `plans`; `None` if there is none.
    pub best: Option<usize>,
    /// One entry for each spare kind, in file order.
    pub spares: Vec<SpareAnswer>,
    /// One entry for each sort of spare controller, in file order.
    pub controllers: Vec<ControllerAnswer>,
    /// Controllers of their own for the spares that the best plan leaves over.
    pub own_controllers: Vec<OwnController>,
    /// Installed panels that the best plan does not need.
    pub idle: Vec<IdlePanels>,
    /// Watts that each joint opened or made had to bring; `None` where that was not asked for, so
    /// that joints settle near-ties alone. \[W\]
    pub joint_worth: Option<Watts>,
    /// Best watts for each number of joints; `None` unless asked for, or without any plan.
    pub joint_curve: Option<JointCurve>,
    /// A year of sun, where the file says enough for it.
    pub energy: Option<EnergyAnswer>,
    /// What was assumed because a label or the file did not say it.
    pub assumed: Vec<String>,
    /// What is missing on labels and must be asked for before wiring.
    pub ask: Vec<String>,
    /// Other things to say about how the answer was found (search space, inputs left as they are, …).
    pub notes: Vec<String>,
    /// What to be careful of when acting on this answer.
    pub cautions: Vec<&'static str>,
}

impl Advice {
    /// The installation without the spare controllers that no plan uses: what this answer speaks of.
    #[must_use]
    pub fn installation_in_use(&self, installation: &Installation) -> Installation {
        let mut in_use = installation.clone();
        in_use.installed.retain(|w| self.today.inputs.iter().any(|input| input.at == w.at));
        in_use
    }

    /// The same answer about one of its inputs after the other.
    #[must_use]
    pub fn by_input(&self) -> Vec<Self> {
        let about = |at: &InputRef| Self { planned: *at, ..self.clone() };
        self.together.iter().map(about).collect()
    }
}

/// The whole answer to `check`: the array as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked {
    /// Name of the site.
    pub site: String,
    /// Design low of the air.
    pub coldest: Celsius,
    /// Design high of the air.
    pub hottest: Celsius,
    /// The array as it stands.
    pub state: State,
    /// Installed panels that carry no current, or take it from the others.
    pub idle: Vec<IdlePanels>,
    /// A year of sun, where the file says enough for it; without plans.
    pub energy: Option<EnergyAnswer>,
    /// What was assumed because a label or the file did not say it.
    pub assumed: Vec<String>,
    /// What is missing on labels and must be asked for.
    pub ask: Vec<String>,
    /// What to be careful of when acting on this answer.
    pub cautions: Vec<&'static str>,
}
