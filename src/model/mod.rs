//! The validated domain: kinds, wiring, controllers, site.
//!
//! Built only by `input` (or by hand in tests); what these types hold has been checked once.
//! Architecture invariant: nothing here is `Deserialize`; the file format may change without the domain.

mod array_reading;
mod controller;
mod customer;
mod kind;
mod money;
mod phase;
mod plane;
mod reading;
mod run;
mod site;
mod spare;
mod spare_controllers;
mod stock;
mod weather;
mod wiring;

pub use array_reading::{ArrayReading, ArrayReadings, ReadingSet, Spot, Warmth};
pub use controller::{BatteryBank, Controller, ControllerType, Output, SpareUnit};
pub use customer::{CustomerTerms, Leave};
pub use kind::{Kind, KindIdx, Label};
pub use money::{MoneyData, PartPrice};
pub use phase::{Date, LAST_PHASE_MONTHS, Phase, PhaseController, PhaseSpare};
pub use plane::{DesignSun, PanelPlane, Placed, PlaneIdx};
pub use reading::{Accuracy, MeasuredPanel, PanelReading};
pub use run::{
    AWG_SIZES, Awg, CrossSection, LengthUnit, Run, RunPart, SQUARE_MM_SIZES, TempRating,
};
pub use site::{Loss, Site, SunData};
pub use spare::{PanelLimit, Spare};
pub use stock::StockItem;
pub use weather::{HOURS_OF_YEAR, MONTHS, WeatherHour, WeatherYear};
pub use wiring::{ArrayWiring, Element, InputRef, InputWiring, PanelString};

/// A whole site as validated: what `advise` and `check` work on.
#[derive(Debug, Clone, PartialEq)]
pub struct Installation {
    /// Place and climate.
    pub site: Site,
    /// All kinds, in file order; a [`KindIdx`] points here.
    pub kinds: Vec<Kind>,
    /// All controllers in file order, those that stand ready last: each unit of them stands here by
    /// itself, its inputs empty in `installed`.
    pub controllers: Vec<Controller>,
    /// The wiring as it stands, one entry for every input of every controller
    /// (empty where nothing is connected), ordered by controller and input.
    pub installed: Vec<InputWiring>,
    /// Inputs whose strings may not be touched.
    pub kept: Vec<InputRef>,
    /// Panels one could add.
    pub spares: Vec<Spare>,
    /// Cable runs whose length is known; at most one for each part of an input, and for the battery of
    /// a controller.
    pub runs: Vec<Run>,
    /// Steps of an upgrade, in order; none where everything is done at once.
    pub phases: Vec<Phase>,
}

impl Installation {
    /// The kind that an index points to.
    #[must_use]
    pub fn kind(&self, idx: KindIdx) -> &Kind {
        &self.kinds[idx.0]
    }

    /// The controller that an input belongs to.
    #[must_use]
    pub fn controller(&self, at: InputRef) -> &Controller {
        &self.controllers[at.controller]
    }
}
