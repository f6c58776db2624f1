//! The sentences and short words of the answers that people read.

use super::layout::GLUE;
use super::numbers::fixed;
use crate::model::MONTHS;
use crate::plan::{Aim, Bound, CheckRule, EnergyProof, Outcome, Rule, Touch, Verdict, Yield};

/// A gap below this is nothing: the last hundredth of a percent that is shown would be zero.
const NO_GAP: f64 = 0.000_05;

/// On which side of its limit a value must stay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sense {
    /// The value may not pass above the limit.
    AtMost,
    /// The value may not fall below the limit.
    AtLeast,
}

/// A month by its index, 0 for January.
pub(super) fn month(idx: usize) -> &'static str {
    MONTHS[idx]
}

/// A touch level, as it stands in the table of plans.
pub(super) fn touch(level: Touch) -> &'static str {
    match level {
        Touch::None => "new strings only",
        Touch::Extend => "lengthen strings",
        Touch::Free => "rewire freely",
    }
}

/// A rule, as a person would call what it looks at.
pub(super) fn rule(rule: CheckRule) -> &'static str {
    match rule {
        CheckRule::ColdVoc => "cold voltage",
        CheckRule::SystemVoltage => "system voltage",
        CheckRule::HotWindow => "power kept in heat",
        CheckRule::StartVoltage => "hot start voltage",
        CheckRule::InputCurrent => "input current",
        CheckRule::InputPower => "input power",
        CheckRule::StringPorts => "combiner places",
        CheckRule::IdleReverseCurrent => "idle reverse current",
        CheckRule::FaultReverseCurrent => "fault reverse current",
        CheckRule::StringFuse => "string fuse",
        CheckRule::ChargeLimit => "output limit",
        CheckRule::BatteryCharge => "battery charge",
    }
}

/// On which side of its limit a rule's value must stay.
pub(super) fn sense(rule: CheckRule) -> Sense {
    match rule {
        CheckRule::HotWindow | CheckRule::StartVoltage => Sense::AtLeast,
        CheckRule::ColdVoc
        | CheckRule::SystemVoltage
        | CheckRule::InputCurrent
        | CheckRule::InputPower
        | CheckRule::StringPorts
        | CheckRule::IdleReverseCurrent
        | CheckRule::FaultReverseCurrent
        | CheckRule::StringFuse
        | CheckRule::ChargeLimit
        | CheckRule::BatteryCharge => Sense::AtMost,
    }
}

/// `at most` or `at least`; what a short may feed is limited only where no fuse stands.
pub(super) fn side(rule: CheckRule) -> &'static str {
    match (rule, sense(rule)) {
        (CheckRule::FaultReverseCurrent, _) => "unfused at most",
        (_, Sense::AtMost) => "at most",
        (_, Sense::AtLeast) => "at least",
    }
}

/// An outcome; what must not be overlooked is in capitals, since nothing is coloured.
pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "kept",
        Outcome::Caution => "caution",
        Outcome::Unknown => "unknown",
        Outcome::Breach => "BREACH",
    }
}

/// What is said of a spare kind where the planner gives no reason.
pub(super) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Adds => "worth its place",
        Verdict::AddsPart => "one more would add nothing",
        Verdict::AddsInWeakSun => {
            "gains only in weak sun: at full sun the controller already passes all it can"
        }
        Verdict::AddsNothing => "adds nothing",
        Verdict::Breaches => "no wiring of it keeps every limit",
        Verdict::NotWorkedOut => "not worked out",
    }
}

/// How good a plan is, in words.
pub(super) fn proof(bound: Bound, chosen_by: Rule, bound_shown: &str) -> String {
    let by = match chosen_by {
        Rule::Curve => "",
        Rule::Nameplate => " by the rule of thumb",
    };
    if !bound.proven {
        format!("best found{by}; at most {bound_shown} is possible")
    } else if bound.gap <= NO_GAP {
        format!("nothing better exists{by}")
    } else {
        // Rounded up, so that the proof never claims more than it has.
        let percent = (bound.gap * 1e4 - 1e-9).ceil() / 100.0;
        format!("within {}{GLUE}% of the best there can be{by}", fixed(percent, 2))
    }
}

/// How good a plan is that was chosen for energy, in words.
pub(super) fn energy_proof(proof: EnergyProof) -> String {
    if !proof.proven {
        let bound = Yield { energy: proof.bound, ..proof.brings }.in_words();
        format!(
            "best of {}; at most {bound} is possible",
            counted(proof.evaluated, "wiring reckoned", "wirings reckoned")
        )
    } else if proof.gap <= NO_GAP {
        "nothing better exists".to_owned()
    } else {
        // Rounded up, so that the proof never claims more than it has.
        let percent = (proof.gap * 1e4 - 1e-9).ceil() / 100.0;
        format!("within {}{GLUE}% of the best there can be", fixed(percent, 2))
    }
}

/// `the energy of a year`, `the worst month`; `None` for watts.
pub(super) fn aim(aim: Aim) -> Option<&'static str> {
    match aim {
        Aim::Watts => None,
        Aim::Year => Some("the energy of a year"),
        Aim::WorstMonth => Some("a day of the worst month"),
    }
}

/// `both a`, `all 3 a`, `2 of 3 a`, `a`.
pub(super) fn some_of(used: usize, offered: usize, kind: &str) -> String {
    match (used, offered) {
        (1, 1) => kind.to_owned(),
        (2, 2) => format!("both{GLUE}{kind}"),
        (u, o) if u == o => format!("all{GLUE}{o}{GLUE}{kind}"),
        (u, o) => format!("{u}{GLUE}of{GLUE}{o}{GLUE}{kind}"),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} and {last}", head.join(", ")),
    }
}

/// `1 string`, `2 strings`.
pub(super) fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n}{GLUE}{}", if n == 1 { one } else { many })
}

/// A sentence without its full stop, to stand inside another.
pub(super) fn clause(sentence: &str) -> &str {
    sentence.trim().trim_end_matches('.')
}
