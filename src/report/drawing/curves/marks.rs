//! Voltages that matter, as upright lines with their names above the charts.

use super::super::chart::Chart;
use super::super::letters::{LEADING, width};
use super::super::svg::{Anchor, Canvas, Pen, Type};
use crate::model::{Controller, ControllerType, Output};
use crate::plan::InputState;
use crate::report::numbers::{plain, volts};
use crate::units::Volts;

/// What a voltage is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MarkKind {
    /// The input cannot work below it.
    WindowLow,
    /// The input cannot work above it.
    WindowHigh,
    /// Charging voltage of the battery.
    Battery,
    /// Open-circuit voltage on the coldest morning.
    Cold,
    /// Above it the controller is destroyed.
    Maximum,
}

/// Is a voltage on the scale?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    OnScale,
    /// Beyond its right end: only named there, with an arrow.
    Beyond,
}

/// A voltage with its name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mark {
    pub(super) kind: MarkKind,
    pub(super) v: f64,
    pub(super) name: String,
    pub(super) place: Place,
}

/// How far right a controller's maximum may lie before it is only named.
const FAR: f64 = 1.6;

/// The voltages that matter for one input, and the right end of the scale.
pub(super) fn marks(controller: &Controller, state: &InputState, v_oc: f64) -> (Vec<Mark>, f64) {
    let cold = state.strings.iter().map(|s| s.cold_v_oc.volts()).fold(0.0, f64::max);
    let mut end = cold.max(v_oc).max(state.v.volts()) * 1.06;
    let maximum = controller.max_pv.volts();
    if maximum < end * FAR {
        end = end.max(maximum * 1.04);
    }
    let mut found = Vec::new();
    let mut add = |kind, v: f64, name: String| {
        found.push(if v <= end {
            Mark { kind, v, name, place: Place::OnScale }
        } else {
            Mark { kind, v: end, name: format!("{name}\u{a0}→"), place: Place::Beyond }
        });
    };
    let shown = |v: f64| format!("{}\u{a0}V", plain(v, 1));
    if let (ControllerType::Mppt, Some((low, high))) =
        (controller.controller_type, controller.window)
    {
        add(MarkKind::WindowLow, low.volts(), format!("window from {}", shown(low.volts())));
        add(MarkKind::WindowHigh, high.volts(), format!("window to {}", shown(high.volts())));
    }
    if let Output::Battery(bank) = controller.output {
        let charging = bank.charging_voltage().volts();
        add(MarkKind::Battery, charging, format!("battery charging at {}", shown(charging)));
    }
    add(MarkKind::Cold, cold, format!("coldest morning, open: {}", volts(Volts(cold))));
    add(MarkKind::Maximum, maximum, format!("controller's maximum {}", shown(maximum)));
    found.sort_by(|a, b| b.v.total_cmp(&a.v).then((b.kind as u8).cmp(&(a.kind as u8))));
    (found, end)
}

/// Where a name stands: how many lines above the chart, and on which side of its voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Flag {
    tier: usize,
    anchor: Anchor,
    left: f64,
    right: f64,
}

/// Places for the names such that none lies on another or on another's line, with as few lines of
/// them as can be; `None` if there is no room.
pub(super) fn flags(marks: &[Mark], x: impl Fn(f64) -> f64, right_edge: f64) -> Option<Vec<Flag>> {
    let at: Vec<f64> = marks.iter().map(|m| x(m.v)).collect();
    let sides: Vec<Vec<Flag>> = marks
        .iter()
        .zip(&at)
        .map(|(mark, at)| {
            let wide = width(&mark.name);
            let sides = [
                Flag { tier: 0, anchor: Anchor::Start, left: at + 5.0, right: at + 5.0 + wide },
                Flag { tier: 0, anchor: Anchor::End, left: at - 5.0 - wide, right: at - 5.0 },
            ];
            let inside = |f: &Flag| f.left >= 4.0 && f.right <= right_edge - 4.0;
            sides.into_iter().filter(inside).collect()
        })
        .collect();
    (1..=marks.len()).find_map(|tiers| {
        let mut placed = Vec::new();
        place_next(&at, &sides, tiers, &mut placed).then_some(placed)
    })
}

/// Tries all places of the next name, and of those after it.
fn place_next(at: &[f64], sides: &[Vec<Flag>], tiers: usize, placed: &mut Vec<Flag>) -> bool {
    let n = placed.len();
    if n == at.len() {
        return true;
    }
    for tier in 0..tiers {
        for side in &sides[n] {
            let flag = Flag { tier, ..*side };
            let clear = placed.iter().zip(at).all(|(other, x)| apart((at[n], &flag), (*x, other)));
            if clear {
                placed.push(flag);
                if place_next(at, sides, tiers, placed) {
                    return true;
                }
                placed.pop();
            }
        }
    }
    false
}

/// Do two names keep clear of each other and of each other's lines?
fn apart(a: (f64, &Flag), b: (f64, &Flag)) -> bool {
    const GAP: f64 = 4.0;
    let crosses = |x: f64, tier: usize, flag: &Flag| {
        flag.tier <= tier && flag.left - GAP < x && x < flag.right + GAP
    };
    let overlap = a.1.tier == b.1.tier && a.1.left < b.1.right + GAP && b.1.left < a.1.right + GAP;
    !overlap && !crosses(a.0, a.1.tier, b.1) && !crosses(b.0, b.1.tier, a.1)
}

/// Height of all names together.
pub(super) fn height(flags: &[Flag]) -> f64 {
    flags.iter().map(|f| f.tier + 1).max().unwrap_or(0) as f64 * LEADING
}

/// The lines through both charts, and the names above the upper one.
pub(super) fn draw_marks(
    canvas: &mut Canvas,
    marks: &[Mark],
    flags: &[Flag],
    charts: &[Chart; 2],
    above: f64,
) {
    for (mark, flag) in marks.iter().zip(flags) {
        let x = charts[0].x(mark.v);
        let base = above - flag.tier as f64 * LEADING;
        let pen = match mark.kind {
            MarkKind::WindowLow | MarkKind::WindowHigh => Pen { width: 0.9, ..Pen::THIN },
            MarkKind::Battery => Pen::DOTTED,
            MarkKind::Cold => Pen { dash: "8 3 2 3", ..Pen::THIN },
            MarkKind::Maximum => Pen { width: 2.0, ..Pen::THIN },
        };
        let at = match flag.anchor {
            Anchor::End => x - 5.0,
            _ => x + 5.0,
        };
        canvas.text((at, base), &mark.name, Type { anchor: flag.anchor, ..Type::START });
        if mark.place == Place::Beyond {
            continue;
        }
        canvas.line(&[(x, base - 9.0), (x, charts[1].bottom())], pen);
        for chart in charts {
            match mark.kind {
                MarkKind::WindowLow => forbidden(canvas, chart, x, -6.0),
                MarkKind::WindowHigh | MarkKind::Maximum => forbidden(canvas, chart, x, 6.0),
                MarkKind::Battery | MarkKind::Cold => {}
            }
        }
    }
}

/// The window, as a light band in both charts.
pub(super) fn draw_window(canvas: &mut Canvas, marks: &[Mark], charts: &[Chart; 2]) {
    let at = |kind| marks.iter().find(|m| m.kind == kind).map(|m| m.v);
    if let (Some(low), Some(high)) = (at(MarkKind::WindowLow), at(MarkKind::WindowHigh)) {
        for chart in charts {
            canvas.band((chart.x(low), chart.at.1), (chart.x(high) - chart.x(low), chart.size.1));
        }
    }
}

/// Short strokes on the side of a line where one must not be.
fn forbidden(canvas: &mut Canvas, chart: &Chart, x: f64, side: f64) {
    let mut y = chart.at.1 + 8.0;
    while y < chart.bottom() {
        canvas.line(&[(x, y), (x + side, y - 6.0)], Pen { width: 0.8, ..Pen::HAIR });
        y += 10.0;
    }
}

/// The lines in a chart, for labels to keep clear of where they can.
pub(super) fn uprights<'a>(
    marks: &'a [Mark],
    chart: &'a Chart,
) -> impl Iterator<Item = [(f64, f64); 2]> + 'a {
    marks.iter().filter(|m| m.place == Place::OnScale).map(|mark| {
        let x = chart.x(mark.v);
        [(x, chart.at.1), (x, chart.bottom())]
    })
}
