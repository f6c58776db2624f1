//! Voltage on the coldest morning: against the controller, and against the labels.

use super::super::words::tell_apart;
use super::super::{Check, CheckRule, Outcome, Unit};
use super::{Finding, Wired, above};
use crate::electrical::{ColdVoc, VocSource, cold_factor, cold_v_oc};
use crate::units::Volts;

/// From this part of the limit on a person should know. (common practice, no source)
const CLOSE: f64 = 0.97;

/// Open-circuit voltage of each string against the controller's absolute maximum.
pub(super) fn cold_voc(wired: &Wired) -> Option<Check> {
    let limit = wired.controller.max_pv.volts();
    let findings = cold_voltages(wired).map(|(s, cold)| {
        let v = cold.v_oc.volts();
        let outcome = cold_outcome(&cold, limit);
        let note = cold_note(wired, s, &cold, outcome);
        let basis = match cold.source {
            VocSource::Label => "US NEC 690.7(A), label coefficient",
            VocSource::Table => "US NEC 690.7(A), table of factors",
        };
        let found =
            Finding { value: Some(v), limit: Some(limit), outcome, basis, note, used: v / limit };
        (s, found)
    });
    wired.nearest(CheckRule::ColdVoc, Unit::Volts, findings)
}

fn cold_outcome(cold: &ColdVoc, limit: f64) -> Outcome {
    let v = cold.v_oc.volts();
    let table_disagrees = cold.source == VocSource::Label && above(cold.by_table.volts(), limit);
    if above(v, limit) {
        Outcome::Breach
    } else if above(v, CLOSE * limit) || table_disagrees {
        Outcome::Caution
    } else {
        Outcome::Pass
    }
}

fn cold_note(wired: &Wired, s: usize, cold: &ColdVoc, outcome: Outcome) -> String {
    let limit = wired.controller.max_pv.volts();
    let by = match cold.source {
        VocSource::Label => "by the labels' coefficients".to_owned(),
        VocSource::Table => {
            let silent =
                wired.ids(wired.array.strings[s].panels(), |kind| kind.v_oc_coefficient.is_none());
            let factor = cold_factor(wired.site.coldest);
            format!(
                "by the code's table (factor {factor:.2} at {} °C) since the label of {silent} \
                 gives no coefficient",
                wired.site.coldest.celsius()
            )
        }
    };
    let n = s + 1;
    let table = cold.by_table.volts();
    let (v, max) = tell_apart(cold.v_oc.volts(), limit);
    let (t, _) = tell_apart(table, limit);
    let differs =
        cold.source == VocSource::Label && above(table, limit) != above(cold.v_oc.0, limit);
    match outcome {
        Outcome::Breach => {
            let other = if differs {
                format!(", though the code's table would give {t} V")
            } else {
                String::new()
            };
            format!(
                "string {n} reaches {v} V on the coldest morning {by}, above the {max} V that the \
                 controller stands: it may be destroyed{other}"
            )
        }
        Outcome::Caution if differs => format!(
            "string {n} reaches {v} V on the coldest morning {by}, but {t} V by the code's table, \
             which is above the controller's {max} V"
        ),
        Outcome::Caution => format!(
            "string {n} reaches {v} V on the coldest morning {by}, close under the controller's \
             {max} V"
        ),
        _ => format!("{v} V {by}"),
    }
}

/// Open-circuit voltage of each string against the lowest maximum system voltage in it.
pub(super) fn system_voltage(wired: &Wired) -> Option<Check> {
    let findings = cold_voltages(wired).map(|(s, cold)| {
        let string = &wired.array.strings[s];
        let v = cold.v_oc.volts();
        let known = |k: &crate::model::KindIdx| wired.kinds[k.0].max_system.map(Volts::volts);
        let limit = string.panels().filter_map(|k| known(&k)).reduce(f64::min);
        let silent = wired.ids(string.panels(), |kind| kind.max_system.is_none());
        let n = s + 1;
        let (outcome, note) = match limit {
            Some(limit) if above(v, limit) => {
                let weakest =
                    wired.ids(string.panels(), |k| k.max_system.map(Volts::volts) == Some(limit));
                let (v, limit) = tell_apart(v, limit);
                let note = format!(
                    "string {n} reaches {v} V on the coldest morning, above the {limit} V system \
                     voltage on the label of {weakest}"
                );
                (Outcome::Breach, note)
            }
            _ if !silent.is_empty() => {
                let known = limit.map_or(String::new(), |l| format!(", others allow {l} V"));
                let note = format!(
                    "string {n} reaches {v:.1} V on the coldest morning, but the label of {silent} \
                     gives no maximum system voltage{known}: ask for it"
                );
                (Outcome::Unknown, note)
            }
            _ => (Outcome::Pass, String::new()),
        };
        // Without any figure the highest string is the one to ask about.
        let used = limit.map_or(v, |limit| v / limit);
        let basis = "panel's label, US NEC 110.3(B)";
        (s, Finding { value: Some(v), limit, outcome, basis, note, used })
    });
    wired.nearest(CheckRule::SystemVoltage, Unit::Volts, findings)
}

fn cold_voltages<'a>(wired: &'a Wired) -> impl Iterator<Item = (usize, ColdVoc)> + 'a {
    let strings = wired.array.strings.iter().enumerate();
    strings.map(|(s, string)| (s, cold_v_oc(string, wired.kinds, wired.site.coldest)))
}
