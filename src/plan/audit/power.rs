//! Operating power of an input, from the diode equation: is it what is claimed, and is it the most?

use super::AuditedInput;
use super::error::{AuditError, Audited, agree, ensure};
use super::exact::{ExactArray, own_maximum};
use super::limits::cold_voltage;
use super::points;
use crate::electrical::{Catalog, ExactString, compared};
use crate::model::{ArrayWiring, Controller, Installation};

/// Part of a power by which the two may differ.
pub(super) const SHARE: f64 = 0.0005;
/// And beyond that. \[W\]
pub(super) const WATTS: f64 = 0.02;
/// Chords lie this near to the curve along the voltage (twice their own tolerance), which is more
/// than the above where current falls steeply.
pub(super) const CHORD: f64 = 5e-5;

/// Strings of an array where watts are compared, exact.
pub(super) fn exact_compared(
    array: &ArrayWiring,
    (installation, catalog): (&Installation, &Catalog),
    controller: &Controller,
) -> Vec<ExactString> {
    let condition = |k| compared(installation.kind(k));
    let exact = |s| ExactString::new(s, catalog, condition, controller.blocking_diodes);
    array.strings.iter().map(exact).collect()
}

pub(super) fn audit_power(
    installation: &Installation,
    catalog: &Catalog,
    input: &AuditedInput,
) -> Audited {
    let (state, controller, name) = (input.state, input.controller, &input.name);
    let exact = ExactArray::new(exact_compared(&input.array, (installation, catalog), controller));
    let (v, i, power) = (state.v.volts(), state.i.amps(), state.power.watts());
    let (lo, hi) = hold_range(controller);
    agree(|| format!("power of {name} against its volts times amps"), (power, v * i), 1e-6, "W")?;
    let runs = power > 0.0;
    let mut reached = power;
    if runs {
        ensure(lo - 1e-9 <= v && v <= hi + 1e-9, || {
            format!("{name} is said to run at {v:.3} V, outside {lo:.3} to {hi:.3} V")
        })?;
        audit_point(&exact, (v, power), &format!("operating power of {name}"))?;
        // Off by a chord is no fault of the voltage: what counts is whether another is better.
        reached = reached.max(v * exact.current(v));
    }
    let most = exact.most((lo, hi), if runs { v } else { lo });
    if most > reached * (1.0 + SHARE) + WATTS {
        let what = format!("largest power of {name}");
        return Err(AuditError::Figure { what, claimed: power, derived: most, unit: "W" });
    }
    audit_strings(installation, &exact, input)?;
    points::audit_bypassed((installation, catalog), input)?;
    points::audit_other_peaks(&exact, (lo, hi), input)
}

/// The voltages between which an input holds its array. \[V\]
pub(super) fn hold_range(controller: &Controller) -> (f64, f64) {
    let (lo, hi) = controller.hold_range();
    (lo.volts(), hi.volts())
}

/// Is the power what flows at a voltage? `name` is what it is the power of.
pub(super) fn audit_point(exact: &ExactArray, (v, power): (f64, f64), name: &str) -> Audited {
    let derived = v * exact.current(v);
    let tolerance = SHARE * derived.abs() + WATTS;
    let most = v * exact.current(v * (1.0 - CHORD)) + tolerance;
    let least = v * exact.current(v * (1.0 + CHORD)) - tolerance;
    if least <= power && power <= most {
        return Ok(());
    }
    agree(|| name.to_owned(), (power, derived), tolerance, "W")
}

/// Currents, powers, own maxima and cold voltages of each string.
fn audit_strings(installation: &Installation, exact: &ExactArray, input: &AuditedInput) -> Audited {
    let v = input.state.v.volts();
    let (most, least) = (exact.currents(v * (1.0 - CHORD)), exact.currents(v * (1.0 + CHORD)));
    let mut sum = 0.0;
    for (s, (state, string)) in input.state.strings.iter().zip(exact.strings()).enumerate() {
        let name = || format!("string {} of {}", s + 1, input.name);
        let i = state.current.amps();
        sum += i;
        let tolerance = 0.002 * i.abs() + 0.005;
        if !(least[s] - tolerance <= i && i <= most[s] + tolerance) {
            let derived = exact.currents(v)[s];
            agree(|| format!("current of {}", name()), (i, derived), tolerance, "A")?;
        }
        agree(|| format!("power of {}", name()), (state.power.watts(), v * i), 1e-6, "W")?;
        let own = own_maximum(string).product;
        let claimed = state.own_maximum.watts();
        let tolerance = 0.001 * own + WATTS;
        agree(|| format!("own maximum of {}", name()), (claimed, own), tolerance, "W")?;
        let cold = cold_voltage(&state.wiring, installation);
        let figures = (state.cold_v_oc.volts(), cold);
        agree(|| format!("cold voltage of {}", name()), figures, 1e-9 * cold, "V")?;
    }
    let figures = (input.state.i.amps(), sum);
    agree(|| format!("current of {} against its strings", input.name), figures, 1e-3, "A")
}
