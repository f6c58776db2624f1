//! A limit as a named rule: value, limit, unit, outcome, and the clause or practice behind it.

use crate::model::InputRef;

/// The rules, named as in the answer files.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CheckRule {
    /// Open-circuit voltage on the coldest morning against the controller's absolute maximum.
    ColdVoc,
    /// The same against the label's maximum system voltage.
    SystemVoltage,
    /// Does a string still work inside the window on the hottest noon?
    HotWindow,
    /// Does a string reach the voltage at which charging starts on the hottest noon?
    StartVoltage,
    /// Short-circuit current with its factor against the input's rating.
    InputCurrent,
    /// Label watts against a stated power limit.
    InputPower,
    /// Strings against places on the combiner.
    StringPorts,
    /// Current pushed into a string while the controller idles.
    IdleReverseCurrent,
    /// Current pushed into a shorted string by the others.
    FaultReverseCurrent,
    /// Is there a standard fuse between what the string needs and what its label allows?
    StringFuse,
    /// Operating watts against what the output can pass.
    ChargeLimit,
    /// What all controllers of a battery can push into it against what it takes.
    BatteryCharge,
}

impl CheckRule {
    /// Place in the order in which a person should hear of breaches, from 0, the gravest.
    #[must_use]
    pub fn gravity(self) -> usize {
        match self {
            Self::ColdVoc => 0,
            Self::SystemVoltage => 1,
            Self::StringPorts => 2,
            Self::BatteryCharge => 3,
            Self::IdleReverseCurrent => 4,
            Self::FaultReverseCurrent => 5,
            Self::StringFuse => 6,
            Self::InputCurrent => 7,
            Self::InputPower => 8,
            Self::StartVoltage => 9,
            Self::HotWindow => 10,
            Self::ChargeLimit => 11,
        }
    }

    /// The rule's name in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::ColdVoc => "cold_voc",
            Self::SystemVoltage => "system_voltage",
            Self::HotWindow => "hot_window",
            Self::StartVoltage => "start_voltage",
            Self::InputCurrent => "input_current",
            Self::InputPower => "input_power",
            Self::StringPorts => "string_ports",
            Self::IdleReverseCurrent => "idle_reverse_current",
            Self::FaultReverseCurrent => "fault_reverse_current",
            Self::StringFuse => "string_fuse",
            Self::ChargeLimit => "charge_limit",
            Self::BatteryCharge => "battery_charge",
        }
    }
}

/// What a check found, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outcome {
    /// The limit is kept.
    Pass,
    /// Works, but a person should know.
    Caution,
    /// A figure is missing on a label: ask for it. Never a pass.
    Unknown,
    /// May destroy something, break a rule of the code, or not run at all.
    Breach,
}

impl Outcome {
    /// The outcome's name in answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Caution => "caution",
            Self::Unknown => "unknown",
            Self::Breach => "breach",
        }
    }
}

/// The unit of a check's value and limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Volts.
    Volts,
    /// Amps.
    Amps,
    /// Watts.
    Watts,
    /// Percent.
    Percent,
    /// A count of strings.
    Strings,
    /// A count of panels.
    Panels,
}

impl Unit {
    /// The symbol that stands after the number.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Volts => "V",
            Self::Amps => "A",
            Self::Watts => "W",
            Self::Percent => "%",
            Self::Strings => "strings",
            Self::Panels => "panels",
        }
    }
}

/// One limit, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Which rule.
    pub rule: CheckRule,
    /// On which input.
    pub at: InputRef,
    /// Index of the string that comes nearest to the limit, from 0, where the rule looks at strings.
    pub string: Option<usize>,
    /// The figure found; `None` if it cannot be worked out.
    pub value: Option<f64>,
    /// The figure it is held against; `None` if the label or the maker does not give it.
    pub limit: Option<f64>,
    /// Unit of both.
    pub unit: Unit,
    /// What was found.
    pub outcome: Outcome,
    /// Standard and clause, or "common practice, no source".
    pub basis: &'static str,
    /// One sentence with both numbers: what it means here, what to do. May be empty for a pass.
    pub note: String,
}
