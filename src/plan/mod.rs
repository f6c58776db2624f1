//! Plans: what is wired, what it gives, which limits it keeps, and what becomes of each panel.
//!
//! Architecture invariant: nothing here knows the solver or how candidates were found, so that the
//! limits and the audit judge a plan by its wiring alone.

mod advice;
mod aim;
mod assumed;
mod audit;
mod battery;
mod binding;
mod cautions;
mod check;
mod controllers;
mod diagnose;
mod evaluate;
mod fleet;
mod idle;
mod joint_curve;
mod joints;
mod lesson;
mod limits;
mod method;
mod money;
mod new_controllers;
mod outputs;
mod peaks;
mod phases;
mod state;
mod words;

pub use advice::{
    Advice, Bound, Certainty, Checked, Help, IdlePanels, Joints, ObviousWay, Plan, Rule,
    SpareAnswer, Touch, TouchAnswer, Verdict, WorthPoint,
};
pub use aim::{Aim, EnergyPoint, EnergyProof, Yield};
pub use assumed::{ask, assumed};
pub use audit::{AuditError, AuditTerms, audit, audit_with};
pub use battery::charging_flows;
pub use binding::{Binding, Cause, Certificate};
pub use cautions::cautions_for;
pub use check::{Check, CheckRule, Outcome, Unit};
pub use controllers::{ControllerAnswer, ControllerClass, OwnController};
pub use diagnose::{Fault, Guess, Judged, Next, Place, SetJudged, StringAt, Verified, verify};
pub use evaluate::Evaluator;
pub use fleet::{
    Allocation, AloneFound, CanUse, Customer, DropIn, FleetAim, Found, NearestMiss, NextBuyer,
    OfferRecord, PickedFound, Placed, Replacements, SiteAllotment, Stage, StockAnswer, Unplaced,
    WhoCanUse,
};
pub use idle::idle_today;
pub use joint_curve::{JointCurve, JointPoint, WorthRange};
pub use joints::{
    End, Exactness, PanelMove, PanelPlace, PanelSource, PortKept, Rewiring, WEIGHED_MAX,
    fewest_joints, fewest_joints_of, least_joints,
};
pub use lesson::{
    ArraySum, BLOCK_SPREAD, BreakEvenChart, BreakEvenRow, BusPlace, COLD_RISE, CURVE_MARGIN,
    ElementSum, Exercise, LARGEST_GROUP, Lesson, Loss, LossCause, N_LEVELS, RULE_MARGIN, Ranked,
    Solution, StringSum, Way, WayWorked, Worked, break_even_chart, exercises, solve_puzzle, ways,
    work_out,
};
pub use limits::{FuseNeed, FusePlace};
pub use method::{
    ARRAY_DROP, BATTERY_DROP, Cable, CableLoss, CableSize, InputSheet, Item, Measured, Method,
    NeededBy, Part, PartPlace, Reading, Rejoined, SHEET_TEMPERATURES, StateFound, Step,
    StringSheet, Tag, Terminal, TestSheet, Unsure, Work, cables, joinings, openings, parts, tags,
};
pub use money::{Cost, Money, Payback, Range, Sale, SpareMoney, USUAL_YEARS, money};
pub use new_controllers::{
    BEYOND_OUTPUT, beyond_outputs, spare_controllers_used, with_controllers,
};
pub use phases::{
    Bought, Brings, Cancelled, Foil, FoilKind, Gained, PhaseProof, PhaseStep, Phased, Prepared,
    SoldOut, Substitute, Totals, Ware,
};
pub use state::{InputState, Peak, State, StringState};
