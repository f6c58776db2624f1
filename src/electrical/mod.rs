//! From labels to volts, amps and watts: single diode, fit, curves, series and parallel.
//!
//! Architecture invariant: nothing here knows what a limit is or what a plan is for.

mod assumed;
mod break_even;
mod cable;
mod catalog;
mod charging;
mod condition;
mod curve;
mod diode;
mod exact;
mod fit;
mod fuse;
mod nameplate;
mod panel;
pub mod readings;
mod root;
mod string;

pub use assumed::{
    Assumed, DEFAULT_NOCT, assumed_bypass_diodes, cold_factor, resolve_bypass_diodes,
};
pub use break_even::{BreakEven, Joined, break_even};
pub use cable::{Ampacity, ampacity, conductor_temperature, resistance_per_metre, voltage_drop};
pub use catalog::{Catalog, CurveSet};
pub use charging::charging_current;
pub use condition::{
    Condition, IdleCells, IdleSky, cell_temperature, cold_morning, compared, hot_noon, idle_skies,
    stc,
};
pub use curve::{Curve, Point};
pub use diode::SingleDiode;
pub use exact::{ExactString, exact_array_current, exact_element_voltage, exact_string_current};
pub use fit::{FitError, fit_label};
pub use fuse::standard_fuse;
pub use nameplate::{NameplateString, nameplate_array, nameplate_string};
pub use panel::PanelModel;
pub use string::{
    BLOCKING_DIODE_DROP, ColdVoc, VocSource, array_curve, cold_v_oc, element_curve, element_i_sc,
    label_watts, string_curve, string_i_sc,
};
