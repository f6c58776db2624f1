//! Names of readings, verdicts and faults in files: a contract.

use crate::model::Spot;
use crate::plan::{Fault, Place};

/// The key under which a reading stands in its file.
pub(super) fn spot(spot: Spot) -> &'static str {
    match spot {
        Spot::StringVoc(_) => "voc_v",
        Spot::StringIsc(_) => "isc_a",
        Spot::StringAmps(_) | Spot::WorkAmps => "work_a",
        Spot::OpenVolts => "open_v",
        Spot::WorkVolts => "work_v",
    }
}

/// `V` or `A`.
pub(super) fn unit(spot: Spot) -> &'static str {
    if spot.is_volts() { "V" } else { "A" }
}

/// Where a reading lies against its band.
pub(super) fn place(place: Place) -> &'static str {
    match place {
        Place::Inside => "inside",
        Place::Below => "below",
        Place::Above => "above",
    }
}

/// What is wrong.
pub(super) fn fault(fault: &Fault) -> &'static str {
    match fault {
        Fault::Missing(..) => "panel_missing",
        Fault::TooMany(..) => "panel_too_many",
        Fault::PanelReversed(..) => "panel_reversed",
        Fault::Bypassed(..) => "section_bypassed",
        Fault::Weak(..) => "panel_weak",
        Fault::WeakString(..) => "string_weak",
        Fault::OtherKind(..) => "other_kind",
        Fault::MemberOff(..) => "block_member_off",
        Fault::StringOpen(_) => "string_open",
        Fault::StringOff(_) => "string_not_joined",
        Fault::StringReversed(_) => "string_reversed",
        Fault::StringsSwapped(..) => "strings_swapped",
        Fault::PanelsSwapped(..) => "panels_swapped",
        Fault::OnOther(..) => "string_on_other_input",
        Fault::OtherPeak(..) => "other_peak",
        Fault::HeldBack(_) => "held_back",
        Fault::Below(_) => "below_best",
        Fault::Light(_) => "light",
        Fault::Warmer(_) => "warmth",
        Fault::Misread(_) => "misread",
    }
}
