//! What a plan says of single points: panels driven to their bypass diodes, and peaks on which a
//! tracker may stay.

use super::AuditedInput;
use super::error::{Audited, ensure};
use super::exact::ExactArray;
use super::power::{SHARE, WATTS, audit_point};
use crate::electrical::{Catalog, compared, exact_element_voltage};
use crate::model::Installation;
use crate::units::Amps;

/// From this part of the clamp voltage on a panel counts as bypassed.
const AT_CLAMP: f64 = 0.9;
/// A string's current is what its curve carries, to this part of it and so many amps: a few times
/// what chords are off by.
const CURRENT: (f64, f64) = (2e-4, 5e-4);

/// Are those elements bypassed that are said to be, and no others?
///
/// Where the string's current, as well as it is known, leaves both open, both stand.
pub(super) fn audit_bypassed(
    (installation, catalog): (&Installation, &Catalog),
    input: &AuditedInput,
) -> Audited {
    let condition = |k| compared(installation.kind(k));
    for (s, string) in input.state.strings.iter().enumerate() {
        let i = string.current.amps();
        let off = CURRENT.0 * i.abs() + CURRENT.1;
        for (e, element) in string.wiring.elements().iter().enumerate() {
            let clamps = element.members().iter().filter_map(|k| catalog.model(*k).clamp_voltage());
            let clamp = clamps.reduce(f64::max);
            let at_clamp = |i: f64| {
                let v = exact_element_voltage(element, catalog, condition, Amps(i)).volts();
                clamp.is_some_and(|clamp| v <= AT_CLAMP * clamp)
            };
            // More current only lowers the voltage.
            let (surely, perhaps) = (at_clamp(i - off), at_clamp(i + off));
            let said = string.bypassed.contains(&e);
            ensure((said || !surely) && (!said || perhaps), || {
                let name = format!("element {} of string {} of {}", e + 1, s + 1, input.name);
                format!("{name} is told wrongly to be bypassed or not")
            })?;
        }
        let n = string.wiring.elements().len();
        ensure(string.bypassed.iter().all(|e| *e < n), || {
            format!("string {} of {} has no such element to be bypassed", s + 1, input.name)
        })?;
    }
    Ok(())
}

/// Is each further peak a point of the array inside the window, and lower than the operating power?
///
/// Whether it is a peak, and whether one was left out, is not looked at.
pub(super) fn audit_other_peaks(
    exact: &ExactArray,
    (lo, hi): (f64, f64),
    input: &AuditedInput,
) -> Audited {
    let most = input.state.power.watts() * (1.0 + SHARE) + WATTS;
    input.state.other_peaks.iter().try_for_each(|peak| {
        let (v, power) = (peak.v.volts(), peak.power.watts());
        ensure(lo <= v && v <= hi && power <= most, || {
            format!("a further peak of {power:.3} W at {v:.3} V on {} cannot be", input.name)
        })?;
        audit_point(exact, (v, power), &format!("a further peak of {}", input.name))
    })
}
