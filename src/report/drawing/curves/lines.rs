//! The lines of the two charts: each string that differs, and the array.

use crate::electrical::{BLOCKING_DIODE_DROP, Catalog, Curve, array_curve, compared, string_curve};
use crate::model::{ArrayWiring, Controller, Installation};
use crate::plan::InputState;
use crate::report::words::listed;
use crate::units::Volts;

/// A curve with the name that stands beside it.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) curve: Curve,
}

/// The array's curve and, if there is more than one string, those of its strings, alike ones once.
pub(super) fn curves_of(
    installation: &Installation,
    state: &InputState,
) -> Option<(Named, Vec<Named>)> {
    let catalog = Catalog::fit(&installation.kinds).expect("an answer's labels have curves");
    let set = catalog.curves_at(|k| compared(installation.kind(k)));
    let controller = installation.controller(state.at);
    let strings: Vec<_> = state.strings.iter().map(|s| s.wiring.clone()).collect();
    let array = ArrayWiring { strings };
    let sum = array_curve(&array, &set, controller.blocking_diodes)?;
    let mut groups: Vec<(crate::model::PanelString, Vec<usize>)> = Vec::new();
    for (s, string) in array.strings.iter().enumerate() {
        let alike = string.canonical();
        match groups.iter_mut().find(|(of, _)| *of == alike) {
            Some((_, which)) => which.push(s),
            None => groups.push((alike, vec![s])),
        }
    }
    if array.strings.len() == 1 {
        return Some((Named { name: "array: string\u{a0}1".into(), curve: sum }, Vec::new()));
    }
    let strings = groups.into_iter().map(|(string, which)| {
        let curve = behind_diode(string_curve(&string, &set), controller);
        Named { name: name(&which), curve }
    });
    Some((Named { name: "array".into(), curve: sum }, strings.collect()))
}

fn behind_diode(curve: Curve, controller: &Controller) -> Curve {
    if controller.blocking_diodes { curve.behind_diode(BLOCKING_DIODE_DROP) } else { curve }
}

/// `string 1`, `each of strings 1 and 2`, `each of strings 1-6`.
fn name(which: &[usize]) -> String {
    let (first, last) = (which[0] + 1, which[which.len() - 1] + 1);
    match which.len() {
        1 => format!("string\u{a0}{first}"),
        n if n > 2 && last - first + 1 == n => format!("each of strings\u{a0}{first}–{last}"),
        n if n > 4 => format!("each of {n}\u{a0}strings, {first}\u{a0}to\u{a0}{last}"),
        _ => {
            let numbers: Vec<String> = which.iter().map(|s| (s + 1).to_string()).collect();
            format!("each of strings {}", listed(&numbers))
        }
    }
}

/// Volts and amps from 0 V up to where the current ends, close enough for a smooth line.
pub(super) fn sampled(curve: &Curve, step: f64) -> Vec<(f64, f64)> {
    let v_oc = curve.v_oc().volts();
    let even = (0..).map(|i| f64::from(i) * step).take_while(|v| *v < v_oc);
    let knots = curve.knots().iter().map(|k| k.v.volts()).filter(|v| 0.0 < *v && *v < v_oc);
    let mut volts: Vec<f64> = even.chain(knots).chain([v_oc]).collect();
    volts.sort_by(f64::total_cmp);
    volts.dedup();
    volts.into_iter().map(|v| (v, curve.current_at(Volts(v)).amps().max(0.0))).collect()
}

/// The same line with as few points as keep it within a fifth of a pixel.
pub(super) fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    const TOLERANCE: f64 = 0.2;
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Vec::new() };
    let off = |p: &(f64, f64)| {
        let (dx, dy) = (last.0 - first.0, last.1 - first.1);
        let long = dx.hypot(dy);
        let (x, y) = (p.0 - first.0, p.1 - first.1);
        if long < 1e-9 { x.hypot(y) } else { (x * dy - y * dx).abs() / long }
    };
    let farthest = (1..points.len().saturating_sub(1))
        .map(|i| (i, off(&points[i])))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    match farthest {
        Some((i, distance)) if distance > TOLERANCE => {
            let mut line = thinned(&points[..=i]);
            line.extend(thinned(&points[i..]).into_iter().skip(1));
            line
        }
        _ => vec![*first, *last],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_are_named_shortly() {
        assert_eq!(name(&[0]), "string\u{a0}1");
        assert_eq!(name(&[0, 2]), "each of strings 1 and 3");
        assert_eq!(name(&[1, 2, 3]), "each of strings\u{a0}2–4");
    }

    #[test]
    fn a_thinned_line_keeps_its_corners() {
        let line = [(0.0, 0.0), (1.0, 0.05), (2.0, 0.0), (3.0, 3.0)];
        assert_eq!(thinned(&line), [(0.0, 0.0), (2.0, 0.0), (3.0, 3.0)]);
    }
}
