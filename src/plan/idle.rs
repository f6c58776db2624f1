//! Installed panels that do nothing today, and why.

use super::words::tell_apart;
use super::{IdlePanels, InputState, State, StringState};
use crate::electrical::element_i_sc;
use crate::model::{Installation, KindIdx};
use crate::units::Watts;

/// A string that gives less than this part of its own best is idle.
const IDLE_BELOW: f64 = 0.01;

/// Panels of idle strings and bypassed elements, folded by kind and reason, in wiring order.
///
/// Idle is a string that is a load or gives less than 1 % of what it could give by itself.
#[must_use]
pub fn idle_today(installation: &Installation, state: &State) -> Vec<IdlePanels> {
    let mut found: Vec<IdlePanels> = Vec::new();
    let mut add = |kind: KindIdx, because: &str| match found
        .iter_mut()
        .find(|f| f.kind == kind && f.because == because)
    {
        Some(same) => same.count += 1,
        None => found.push(IdlePanels {
            kind,
            count: 1,
            because: because.to_owned(),
            instead: String::new(),
        }),
    };
    for input in &state.inputs {
        for (s, string) in input.strings.iter().enumerate() {
            if let Some(because) = idle_string(installation, input, s) {
                string.wiring.panels().for_each(|k| add(k, &because));
                continue;
            }
            for element_idx in &string.bypassed {
                let because = bypassed_element(installation, s, string, *element_idx);
                let element = &string.wiring.elements()[*element_idx];
                element.members().iter().for_each(|k| add(*k, &because));
            }
        }
    }
    found
}

/// Why a string is idle, if it is.
fn idle_string(installation: &Installation, input: &InputState, s: usize) -> Option<String> {
    let string = &input.strings[s];
    let (n, own) = (s + 1, string.own_maximum.watts());
    if input.power <= Watts(0.0) {
        let (lo, hi) = installation.controller(input.at).hold_range();
        let place = if lo < hi {
            format!("the {:.1} V from which the controller tracks", lo.volts())
        } else {
            format!("the {:.1} V at which the controller holds it", lo.volts())
        };
        return Some(format!(
            "the array stands at {:.1} V open, below {place}: string {n} gives nothing of its \
             {own:.1} W",
            input.v.volts()
        ));
    }
    if string.power.watts() >= IDLE_BELOW * own {
        return None;
    }
    let v = input.v.volts();
    Some(if string.current.amps() < 0.0 {
        format!(
            "string {n} takes {:.1} W instead of giving the {own:.1} W it could give by itself, \
             since the array runs at {v:.1} V",
            -string.power.watts()
        )
    } else {
        let (gives, own) = tell_apart(string.power.watts(), own);
        format!(
            "string {n} gives {gives} W of the {own} W it could give by itself, since the array \
             runs at {v:.1} V"
        )
    })
}

fn bypassed_element(
    installation: &Installation,
    s: usize,
    string: &StringState,
    element_idx: usize,
) -> String {
    let element = &string.wiring.elements()[element_idx];
    let i_sc = element_i_sc(element, &installation.kinds).amps();
    let (carried, can) = tell_apart(string.current.amps(), i_sc);
    format!(
        "bypassed in string {}, which carries {carried} A, more than the {can} A it can give at \
         short circuit",
        s + 1
    )
}
