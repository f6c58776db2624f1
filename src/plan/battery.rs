//! One battery that several controllers charge: what they can push into it together.

use super::limits::above;
use super::words::{fixed, join_words, tell_apart};
use super::{Check, CheckRule, Outcome, Unit};
use crate::electrical::charging_current;
use crate::model::{InputWiring, Installation};
use crate::units::Amps;

const BASIS: &str = "the battery's limit; amps by label watts over nominal volts: common practice, \
                     no source";

/// Controllers that can push current into the battery whose limit is given, and how much: what
/// their panels allow, at most their own limit. Those without a panel push nothing.
#[must_use]
pub fn charging_flows(installation: &Installation, wiring: &[InputWiring]) -> Vec<(usize, Amps)> {
    let flow = |c: usize| {
        let controller = &installation.controllers[c];
        let nominal = controller.battery()?;
        let own = wiring.iter().filter(|w| w.at.controller == c);
        let amps: Amps =
            own.map(|w| charging_current(&w.array, controller, nominal, &installation.kinds)).sum();
        let amps = controller.charge_limit().map_or(amps, |most| most.min(amps));
        (amps > Amps(0.0)).then_some((c, amps))
    };
    let sharing = 0..installation.controllers.len();
    sharing.filter(|c| installation.charges_limited_battery(*c)).filter_map(flow).collect()
}

/// The battery's limit against all that charges it; stands with the first wired input that does.
/// `None` where no limit is given or nothing charges.
pub(super) fn battery_charge(installation: &Installation, wiring: &[InputWiring]) -> Option<Check> {
    let limit = installation.site.battery_charge?.amps();
    let flows = charging_flows(installation, wiring);
    let first = flows.first()?.0;
    let at = wiring.iter().find(|w| w.at.controller == first && !w.array.strings.is_empty())?.at;
    let value: f64 = flows.iter().map(|(_, amps)| amps.amps()).sum();
    let (outcome, note) = if above(value, limit) {
        let each = flows.iter().map(|(c, amps)| {
            format!("{} {} A", installation.controllers[*c].id, fixed(amps.amps(), 1))
        });
        let (value, limit) = tell_apart(value, limit);
        let note = format!(
            "up to {value} A could be pushed into the battery ({}), which takes at most {limit} A: set \
             controllers to less where they can be, and write that as their `charge_a`, or wire fewer \
             panels",
            join_words(each)
        );
        (Outcome::Breach, note)
    } else {
        (Outcome::Pass, String::new())
    };
    Some(Check {
        rule: CheckRule::BatteryCharge,
        at,
        string: None,
        value: Some(value),
        limit: Some(limit),
        unit: Unit::Amps,
        outcome,
        basis: BASIS,
        note,
    })
}
