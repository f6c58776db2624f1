//! One stock shared out among many customers: who is asked, and what comes of it.

use super::{Check, CheckRule, Joints, Touch, Unit};
use crate::model::{InputRef, InputWiring, Installation, KindIdx};
use crate::units::Watts;

/// One customer: an array that stands, and what more of it is worth there.
///
/// Its own spares belong to it alone; they may be wired beside panels of the stock.
#[derive(Debug, Clone, PartialEq)]
pub struct Customer {
    /// What messages call it: the site file, and which document of it.
    pub file: String,
    /// The site.
    pub installation: Installation,
    /// How much of its wiring may be disturbed.
    pub touch: Touch,
    /// What one more watt at full sun is worth there, in the currency of the stock's prices.
    pub worth_per_watt: Option<f64>,
    /// What one more kWh a year is worth there, once; counts where `worth_per_watt` is not given.
    pub worth_per_kwh: Option<f64>,
}

/// What is to be the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FleetAim {
    /// Watts added over all sites.
    #[default]
    Watts,
    /// What the watts are worth to the customers, less asking prices, visits and joints.
    Margin,
}

/// How far an allocation has come; what a progress display is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// Sites have been asked what is best for them with nothing shared.
    Alone {
        /// How many so far.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// Prices are being found: rounds so far, and the gap between bound and linear program.
    Prices {
        /// Rounds so far.
        round: usize,
        /// Gap as a fraction of the value; infinite at first.
        gap: f64,
    },
    /// Whole panels are being shared out: the gap so far, as a fraction of the value.
    Whole {
        /// Gap between bound and allocation.
        gap: f64,
    },
    /// The sites' final wirings are evaluated and audited.
    Audit {
        /// How many so far.
        done: usize,
        /// Of how many.
        of: usize,
    },
}

/// What was found at one input: what a journal keeps, so that a search that was interrupted goes the
/// same way again without working it out again. Means something only beside the same sites, stock and
/// options.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferRecord {
    /// Index of the customer; others with the same array get the same answers.
    pub customer: usize,
    /// The input.
    pub at: InputRef,
    /// What was asked, in short.
    pub question: u64,
    /// The answer.
    pub found: Found,
}

/// The answer to a question about one input.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// To what is best at some prices.
    Best {
        /// The best choice; `None` if there is none.
        best: Option<PickedFound>,
        /// No choice has more.
        bound: f64,
    },
    /// To what each kind of the stock can do by itself.
    Alone {
        /// Choices met meanwhile, in order.
        met: Vec<PickedFound>,
        /// One for each kind of the stock.
        kinds: Vec<AloneFound>,
    },
}

/// A choice of strings for one input.
#[derive(Debug, Clone, PartialEq)]
pub struct PickedFound {
    /// Numbers of strings in the list of those that could stand there, and how many of each; what
    /// stands today as a whole has the number 0, the first of the list 1.
    pub picks: Vec<(usize, usize)>,
    /// What it is worth in the unit of the aim, prices of the stock aside.
    pub value: f64,
}

/// What one kind of the stock can do at one input by itself.
#[derive(Debug, Clone, PartialEq)]
pub enum AloneFound {
    /// The choice that is best, by its place among those met, from 1, and what it is worth.
    Brings(usize, f64),
    /// What it brings at best, which is less than it must.
    TooLittle(f64),
    /// No wiring keeps the limits; the nearest miss: rule, figure, limit, unit of both.
    Breaches(Option<(CheckRule, f64, f64, Unit)>),
}

/// Panels of one kind of the stock that go to one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index in the stock.
    pub stock: usize,
    /// How many.
    pub count: usize,
}

/// What one site gets, and what it has of it.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteAllotment {
    /// Index of the customer.
    pub customer: usize,
    /// Its wiring then, over [`Self::installation`].
    pub wiring: Vec<InputWiring>,
    /// The site with the panels placed there as spares beside its own, so that any other question
    /// may be asked about it.
    pub installation: Installation,
    /// Panels of the stock, ascending.
    pub placed: Vec<Placed>,
    /// The site's own spares that are wired, ascending.
    pub own: Vec<(KindIdx, usize)>,
    /// Operating watts before and after, at full sun. \[W\]
    pub watts: (Watts, Watts),
    /// The same behind the controllers' output limits. \[W\]
    pub passed: (Watts, Watts),
    /// Operating watts over label watts, before and after; 0 with nothing wired.
    pub utilization: (f64, f64),
    /// Joints opened and made.
    pub joints: Joints,
    /// What the watts added behind the output limits are worth to the customer; `None` where the site does not say.
    pub worth: Option<f64>,
    /// What the panels placed there are offered for; `None` where the stock does not say it of all.
    pub asking: Option<f64>,
    /// What it counts for in the aim: watts added, or margin.
    pub value: f64,
    /// Limits that a person should look at: cautions and unknowns of the new wiring.
    pub checks: Vec<Check>,
    /// How far the wirings of this site were searched, in words; empty where all were.
    pub searched: String,
}

impl SiteAllotment {
    /// Watts more at full sun that the site has of it: what the controllers' outputs let through. \[W\]
    #[must_use]
    pub fn added(&self) -> Watts {
        self.passed.1 - self.passed.0
    }

    /// Does an output cut something off then?
    #[must_use]
    pub fn clips(&self) -> bool {
        self.passed.1 < self.watts.1
    }
}

/// Who would take one more panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextBuyer {
    /// Index of the customer.
    pub customer: usize,
    /// What it would bring there, in the unit of the aim, all other sites staying as they are.
    pub brings: f64,
}

/// Why panels of a kind cannot be wired anywhere: the limit that came nearest.
#[derive(Debug, Clone, PartialEq)]
pub struct NearestMiss {
    /// The rule that is broken at most sites.
    pub rule: CheckRule,
    /// At how many sites it is this rule that stands in the way.
    pub sites: usize,
    /// The site where it is broken by least.
    pub customer: usize,
    /// The figure there.
    pub value: f64,
    /// The limit there.
    pub limit: f64,
    /// Unit of both.
    pub unit: Unit,
}

/// Why panels of a kind are left.
#[derive(Debug, Clone, PartialEq)]
pub enum Unplaced {
    /// No site has a wiring of one inside its limits.
    Breaches(NearestMiss),
    /// Wirings there are, but nowhere does one bring what it must.
    TooLittle {
        /// The site where it would bring most.
        customer: usize,
        /// What it would bring there, alone, in the unit of the aim.
        brings: f64,
    },
    /// One would bring something, but other panels bring more in its place.
    Outdone {
        /// The site where it would bring most, if nothing else of the stock came there.
        customer: usize,
        /// What it would bring there then.
        brings: f64,
    },
}

/// What becomes of one kind of the stock.
#[derive(Debug, Clone, PartialEq)]
pub struct StockAnswer {
    /// Index in the stock.
    pub stock: usize,
    /// How many are placed.
    pub placed: usize,
    /// How many are left.
    pub left: usize,
    /// Its price in the linear program: about what one more would bring. In the unit of the aim.
    pub shadow: f64,
    /// Where one more would go, and what it would bring there by a wiring that was found.
    pub next: Option<NextBuyer>,
    /// Why some are left; `None` where none are.
    pub unplaced: Option<Unplaced>,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Allocation {
    /// One for each customer whose wiring changes, in their order.
    pub sites: Vec<SiteAllotment>,
    /// One for each kind of the stock, in order.
    pub stock: Vec<StockAnswer>,
    /// What was to be the most.
    pub aim: FleetAim,
    /// Sum over the sites: watts added, or margin.
    pub value: f64,
    /// No allocation has more, within the wirings searched.
    pub bound: f64,
    /// The gap between them, as a fraction of the value.
    pub gap: f64,
    /// Is the gap as small as asked for?
    pub proven: bool,
    /// Watts added over all sites, behind the controllers' output limits. \[W\]
    pub added: Watts,
    /// Was the search stopped from outside?
    pub stopped: bool,
    /// Other things to say about how the answer was found.
    pub notes: Vec<String>,
}

/// One customer who can use a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct CanUse {
    /// Index of the customer.
    pub customer: usize,
    /// The best that the site can do with it alone.
    pub allotment: SiteAllotment,
    /// Watts that each of the panels adds there, behind the output limits. \[W\]
    pub watts_each: Watts,
}

/// Who can use panels of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct WhoCanUse {
    /// Those who can, best first; each as if it were the only one.
    pub ranked: Vec<CanUse>,
    /// At how many customers no wiring of one keeps the limits. At all others it brings too little.
    pub breaching: usize,
    /// Customers that nobody looked at before the search was stopped.
    pub unasked: usize,
    /// The limit that stands in the way at most of them, and where it is broken by least.
    pub nearest_miss: Option<NearestMiss>,
}

/// One panel of the stock in the place of one that broke.
#[derive(Debug, Clone, PartialEq)]
pub struct DropIn {
    /// Index in the stock.
    pub stock: usize,
    /// What the site gives with the substitute in place, behind the controllers' output limits. \[W\]
    pub watts: Watts,
    /// The same before the outputs clip. \[W\]
    pub unclipped: Watts,
    /// Every limit of the input then.
    pub checks: Vec<Check>,
    /// How far its Voc is from that of the panels beside it in a block, where that is further than
    /// panels of a block may be apart. \[%\]
    pub apart_percent: Option<f64>,
    /// Does it keep all limits?
    pub fits: bool,
}

/// What could stand in the place of a panel that broke.
#[derive(Debug, Clone, PartialEq)]
pub struct Replacements {
    /// The kind of the panel that broke.
    pub kind: KindIdx,
    /// What the site gives with all panels sound, behind the controllers' output limits. \[W\]
    pub sound: Watts,
    /// Without it, its string being so much shorter; `None` where nothing is left of the string.
    /// \[W\]
    pub without: Option<Watts>,
    /// Does that keep all limits?
    pub without_fits: bool,
    /// The stock: what fits before what does not, and most watts first.
    pub ranked: Vec<DropIn>,
}
