//! Watts over counts: what each panel of a kind is worth, and what each joint brings.

use super::chart::{Chart, RING, figures_width, hollow_dot, ringed_dot, round_step, ticks};
use super::labels::{Labels, Room, around_dot};
use super::letters::{shortened, width_as};
use super::svg::{Anchor, Canvas, NARROW, Paint, Pen, Type, Weight};
use super::{Sketch, TradePoint};
use crate::plan::SpareAnswer;
use crate::report::numbers::WattScale;
use crate::units::Watts;

/// Height of the chart.
const HIGH: f64 = 190.0;

/// A dot of the chart.
struct Dot {
    count: f64,
    watts: f64,
    said: String,
    chosen: Chosen,
}

/// Is it what the plan does?
#[derive(Clone, Copy, PartialEq, Eq)]
enum Chosen {
    Yes,
    No,
}

/// Best watts over the number of a kind's spares.
pub(super) fn worth(id: &str, spare: &SpareAnswer, paint: Paint) -> Option<Sketch> {
    // Stairs are of watts.
    if spare.worth.len() < 2 || spare.worth.iter().any(|p| p.energy.is_some()) {
        return None;
    }
    let most = spare.worth.iter().map(|p| p.watts).fold(Watts(0.0), Watts::max);
    let scale = WattScale::for_label(most);
    let dots = spare.worth.iter().enumerate().map(|(i, point)| Dot {
        count: point.panels as f64,
        watts: point.watts.watts(),
        said: match point.step {
            _ if i == 0 => scale.watts(point.watts),
            Some(step) => format!("{}\u{a0}W", scale.signed(step)),
            None => "no more, as far as proven".into(),
        },
        chosen: if point.panels == spare.used { Chosen::Yes } else { Chosen::No },
    });
    let said = spare.worth.iter().map(|p| format!("{} with {}", scale.watts(p.watts), p.panels));
    let alternative = format!(
        "Stairs: the best that the array can give by the number of {id} on offer: {}. The plan uses {}.",
        said.collect::<Vec<_>>().join(", "),
        spare.used
    );
    let head = format!("What each {} is worth", shortened(id, 480.0));
    Some(stairs(head, alternative, "panels on offer", &dots.collect::<Vec<_>>(), paint))
}

/// Watts over joints opened and made.
pub(super) fn trade_off(points: &[TradePoint], paint: Paint) -> Option<Sketch> {
    if points.len() < 2 {
        return None;
    }
    let most = points.iter().map(|p| p.watts).fold(Watts(0.0), Watts::max);
    let scale = WattScale::for_label(most);
    let mut points = points.to_vec();
    points.sort_by(|a, b| a.joints.cmp(&b.joints).then(a.watts.0.total_cmp(&b.watts.0)));
    let dots = points.iter().map(|p| Dot {
        count: p.joints as f64,
        watts: p.watts.watts(),
        said: scale.watts(p.watts),
        chosen: if p.chosen { Chosen::Yes } else { Chosen::No },
    });
    let said = points.iter().map(|p| {
        let chosen = if p.chosen { ", which is the plan" } else { "" };
        format!("{} with {}{chosen}", scale.watts(p.watts), p.joints)
    });
    let alternative = format!(
        "Stairs: watts by the number of joints opened and made: {}.",
        said.collect::<Vec<_>>().join("; ")
    );
    let head = "Watts against joints".to_owned();
    Some(stairs(head, alternative, "joints opened and made", &dots.collect::<Vec<_>>(), paint))
}

fn stairs(head: String, alternative: String, below: &str, dots: &[Dot], paint: Paint) -> Sketch {
    let last = dots.iter().map(|d| d.count).fold(1.0, f64::max);
    let up = range(dots);
    let wide = NARROW.max(width_as(&head, Weight::Bold) + 20.0);
    let left = figures_width(&[up]);
    let chart = Chart {
        at: (left, 58.0),
        size: (wide - left - 14.0, HIGH),
        across: (0.0, last * 1.12),
        up,
    };
    let mut canvas = Canvas::new(paint);
    canvas.text((10.0, 20.0), &head, Type::START.bold());
    chart.draw_axes(&mut canvas, "power, W");
    let step = round_step(last / 6.0).max(1.0);
    let at: Vec<f64> = ticks((0.0, last), last / step);
    chart.draw_scale_below(&mut canvas, below, &at);
    let mut line = Vec::new();
    for (i, dot) in dots.iter().enumerate() {
        if i > 0 {
            line.push(chart.point((dot.count, dots[i - 1].watts)));
        }
        line.push(chart.point((dot.count, dot.watts)));
    }
    let mut labels = Labels::new(Room {
        left: chart.at.0 + 3.0,
        top: chart.at.1 - 4.0,
        right: chart.right() + 10.0,
        bottom: chart.bottom() - 3.0,
    });
    labels.add_line(&line);
    canvas.line(&line, Pen { width: 1.6, ..Pen::THIN });
    for dot in dots {
        let at = chart.point((dot.count, dot.watts));
        labels.take(Room::around(at, RING));
        match dot.chosen {
            Chosen::Yes => ringed_dot(&mut canvas, at),
            Chosen::No => hollow_dot(&mut canvas, at),
        }
    }
    for dot in dots {
        let at = chart.point((dot.count, dot.watts));
        if let Some(place) = labels.place(&dot.said, &around_dot(at, RING + 4.0)) {
            let set = Type { anchor: place.anchor, ..Type::START };
            canvas.text_on_lines(place.at, &dot.said, set);
        }
    }
    let ringed = dots.iter().any(|d| d.chosen == Chosen::Yes);
    if ringed {
        canvas.text(
            (chart.right(), chart.at.1 - 10.0),
            "ringed: the plan",
            Type { anchor: Anchor::End, ..Type::START },
        );
    }
    Sketch { title: head, alternative, size: (wide, chart.bottom() + 44.0), canvas }
}

/// From a round figure below the lowest to a little above the highest: the steps are what is to be
/// seen, so that the scale need not begin at zero.
fn range(dots: &[Dot]) -> (f64, f64) {
    let lowest = dots.iter().map(|d| d.watts).fold(f64::INFINITY, f64::min);
    let highest = dots.iter().map(|d| d.watts).fold(0.0, f64::max);
    let spread = (highest - lowest).max(highest * 0.02).max(1.0);
    let step = round_step(spread / 4.0);
    let from = ((lowest - spread * 0.15) / step).floor() * step;
    (from.max(0.0), highest + spread * 0.25)
}
