//! A line of the shopping list, as data.

use super::cables::{Cable, NeededBy};
use crate::model::{CrossSection, InputRef, KindIdx, RunPart};
use crate::plan::{FuseNeed, FusePlace};
use crate::units::{Amps, Volts};

/// What is bought.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A spare controller, to be hung up.
    Controller {
        /// Charging current that it is for; `None` where it is not given or there is no battery. \[A\]
        charge: Option<Amps>,
        /// What it costs, in any currency.
        price: Option<f64>,
    },
    /// A fuse or breaker at the battery, for the cable of a controller that is hung up.
    BatteryFuse,
    /// A fuse where the fault rules ask for one.
    Fuse(FuseNeed),
    /// What holds that fuse: a place in the combiner, or a holder in a panel's lead.
    FuseHolder(FusePlace),
    /// A plus and a minus branch connector that join the panels of a block.
    BranchPair {
        /// How many panels each joins.
        ways: usize,
    },
    /// A plus and a minus half that mate, both of one make.
    ConnectorPair,
    /// Two conductors over the length of a run.
    Cable {
        /// What and how long.
        cable: Cable,
        /// What is laid there now and must come out.
        instead_of: Option<CrossSection>,
    },
    /// Two conductors over a length that the site file does not give.
    UnknownCable {
        /// Which stretch.
        part: RunPart,
        /// What decides how much it must carry.
        needed_by: NeededBy,
    },
    /// Places for strings, and what the combiner must bear.
    Combiner {
        /// Strings of the plan.
        strings: usize,
        /// Places there are.
        ports: usize,
    },
    /// A switch for direct current between array and controller.
    Disconnect,
    /// A sign with the array's voltage and current.
    WarningLabel,
    /// A tag with the number and polarity of a string's end.
    StringTag,
    /// A cap for a lead that is connected to nothing.
    LeadCap,
}

impl Item {
    /// Its name in answer files.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Controller { .. } => "controller",
            Self::BatteryFuse => "battery_fuse",
            Self::Fuse(_) => "fuse",
            Self::FuseHolder(_) => "fuse_holder",
            Self::BranchPair { .. } => "branch_pair",
            Self::ConnectorPair => "connector_pair",
            Self::Cable { .. } | Self::UnknownCable { .. } => "cable",
            Self::Combiner { .. } => "combiner",
            Self::Disconnect => "disconnect",
            Self::WarningLabel => "warning_label",
            Self::StringTag => "string_tag",
            Self::LeadCap => "lead_cap",
        }
    }
}

/// What is not known about an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unsure {
    /// The site file does not say whether it is there.
    MaybeThere,
    /// Today's wiring asks for the same already: it may be there.
    NeededToday,
    /// So many connections of today are opened, and leave theirs.
    Freed(usize),
    /// How far panels' leads reach.
    LeadLength,
    /// Which make the connectors are of.
    Make,
    /// Whether one pole is fused or both.
    Poles,
    /// These labels give no fuse rating; the fuse must not be above it.
    Unrated(Vec<KindIdx>),
    /// No standard size fits.
    NoStandardSize,
    /// How long the cable is.
    Length,
    /// How hot the air around it gets: the site's design high was taken.
    Air,
    /// Whether panels that are left out stay where they are.
    StaysInPlace,
}

/// Where an item belongs, all but `at` counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartPlace {
    /// On which input.
    pub at: InputRef,
    /// In which string of the plan.
    pub string: Option<usize>,
    /// At which element of the string.
    pub element: Option<usize>,
    /// At which member of the element.
    pub member: Option<usize>,
}

/// One line of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What.
    pub item: Item,
    /// How many, at least.
    pub at_least: usize,
    /// How many, at most.
    pub at_most: usize,
    /// For what.
    pub place: PartPlace,
    /// The panel it belongs to, where it is one.
    pub kind: Option<KindIdx>,
    /// Voltage that it must bear. \[V\]
    pub volts: Option<Volts>,
    /// Current that it must carry. \[A\]
    pub amps: Option<Amps>,
    /// What is not known.
    pub unsure: Vec<Unsure>,
}
