//! What a step is, as data.

use super::nets::{Rejoined, Tag};
use super::sheet::TestSheet;
use crate::model::{InputRef, KindIdx};
use crate::plan::{Check, FuseNeed, PanelPlace, Rewiring};
use crate::units::{Amps, Volts};

/// How a plan is carried out.
#[derive(Debug, Clone, PartialEq)]
pub struct Method {
    /// Which panel goes where.
    pub rewiring: Rewiring,
    /// The steps, in order; none where nothing is wired otherwise than today.
    pub steps: Vec<Step>,
    /// What to measure.
    pub tests: TestSheet,
}

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// On which input; `None` for what concerns the whole site.
    pub at: Option<InputRef>,
    /// What is done.
    pub work: Work,
    /// Highest voltage that can stand there, on the coldest morning. \[V\]
    pub highest: Volts,
    /// Most current that can circulate there with the controller isolated. \[A\]
    pub circulating: Amps,
    /// The states that the step passes through, judged. Empty for work that changes no wiring.
    pub states: Vec<StateFound>,
}

/// One state of the wiring on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct StateFound {
    /// Strings that are joined then, as they are counted in the wiring that the step works on.
    pub joined: Vec<usize>,
    /// Its checks that are not simply kept.
    pub findings: Vec<Check>,
}

/// What is done in a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// Read, look, mark the panels, prove each spare.
    Prepare {
        /// Spares that will be wired, in the order of their tags.
        spares: Vec<KindIdx>,
        /// Does a panel that is wired today change its place or leave?
        marks: bool,
    },
    /// Open the array's disconnect; the battery stays connected.
    OpenDisconnect,
    /// Take the strings off the combiner one by one.
    LiftStrings {
        /// Today's strings, first to last.
        order: Vec<usize>,
        /// Does every state on the way keep every limit?
        safe: bool,
    },
    /// Part joints of one of today's strings.
    TakeApart {
        /// Which of today's strings.
        string: usize,
        /// Where.
        openings: Vec<Rejoined>,
        /// Panels that leave the array.
        leaving: Vec<(Tag, KindIdx)>,
    },
    /// Make joints of one planned string, all but those at the combiner.
    Join {
        /// Which of the planned strings.
        string: usize,
        /// Where, blocks first.
        joinings: Vec<Rejoined>,
        /// Most current that circulates between members of its blocks once they are joined. \[A\]
        in_blocks: Amps,
        /// Fuses on the leads of its blocks' members.
        fuses: Vec<FuseNeed>,
    },
    /// Hang up a spare controller and give it its battery, before any panel.
    HangController,
    /// Prove polarity and open-circuit voltage of each string by itself.
    ProveStrings {
        /// The planned strings.
        strings: Vec<usize>,
    },
    /// Join the strings at the combiner one by one.
    ConnectStrings {
        /// The planned strings, first to last.
        order: Vec<usize>,
        /// What is joined at the combiner's ports that is not there today.
        joinings: Vec<Rejoined>,
        /// Fuses at the strings' places.
        fuses: Vec<FuseNeed>,
        /// Does every state on the way keep every limit?
        safe: bool,
    },
    /// Measure at the open disconnect, prove that the battery is on, then close.
    CloseDisconnect {
        /// Open-circuit voltage to be expected at standard test conditions. \[V\]
        v_oc: Volts,
        /// What the input bears at most. \[V\]
        most: Volts,
    },
    /// Read volts and amps at the controller, and amps of every string.
    ProveOperation,
    /// Feel for warm connectors after an hour.
    AfterAnHour,
    /// Write the new places on the panels, keep the record.
    Record {
        /// Every panel that stands elsewhere than today, with the tag it wears and its new place.
        moved: Vec<(Tag, PanelPlace)>,
    },
}
