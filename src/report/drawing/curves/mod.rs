//! Current and power over voltage, one chart above the other, with one scale of volts.

mod lines;
mod marks;

use super::Sketch;
use super::chart::{Chart, RING, figures_width, hollow_dot, ringed_dot, ticks};
use super::labels::{Candidate, Labels, Room, along_line, around_dot};
use super::letters::{LEADING, paragraph, width_as};
use super::svg::{Anchor, Canvas, NARROW, Paint, Pen, Tone, Type, WIDEST, Weight};
use crate::model::Installation;
use crate::plan::InputState;
use crate::report::numbers::{WattScale, amps, volts};
use lines::{Named, curves_of, sampled, thinned};
use marks::{draw_marks, flags, marks};

/// Dash patterns by which strings are told apart; all are labelled, too.
const DASHES: [&str; 6] = ["", "7 3", "2 2", "10 3 2 3", "4 2 1 2", "14 4"];
/// Height of each chart.
const HIGH: f64 = 190.0;
/// Up to so many different strings a narrow drawing has room for their names.
const FEW: usize = 2;

/// What a chart shows over voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Quantity {
    Current,
    Power,
}

/// The two charts of one input; `None` with nothing wired.
pub(super) fn sketch(
    installation: &Installation,
    state: &InputState,
    head: &str,
    paint: Paint,
) -> Option<Sketch> {
    let (array, strings) = curves_of(installation, state)?;
    let controller = installation.controller(state.at);
    let (marks, end) = marks(controller, state, array.curve.v_oc().volts());
    let (points, of_strings) = (points(&array, end), strings.iter().map(|s| points(s, end)));
    let of_strings: Vec<Vec<(f64, f64)>> = of_strings.collect();
    let most = |y: &dyn Fn(&(f64, f64)) -> f64| {
        points.iter().chain(of_strings.iter().flatten()).map(y).fold(0.0, f64::max)
    };
    let ups = [(0.0, most(&|p| p.1) * 1.18), (0.0, most(&|p| p.0 * p.1) * 1.2)];
    let left = figures_width(&ups);
    let wide = if strings.len() > FEW { WIDEST } else { NARROW };
    let wide = wide.max(width_as(head, Weight::Bold) + 20.0);
    let chart = |wide: f64| {
        let size = (wide - left - 14.0, HIGH);
        Chart { at: (left, 0.0), size, across: (0.0, end), up: ups[0] }
    };
    // The names of the voltages may need more room.
    let fitting = [wide, 560.0, WIDEST, 1000.0].into_iter().filter(|w| *w >= wide);
    let (wide, flags) = fitting
        .map(|wide| (wide, flags(&marks, |v| chart(wide).x(v), wide)))
        .find_map(|(wide, flags)| flags.map(|flags| (wide, flags)))
        .expect("a wide drawing has room for five names");
    let mut upper = chart(wide);
    upper.at.1 = 58.0 + marks::height(&flags);
    let lower = Chart { at: (left, upper.bottom() + 34.0), up: ups[1], ..upper };
    let charts = [upper, lower];

    let mut canvas = Canvas::new(paint);
    canvas.text((10.0, 20.0), head, Type::START.bold());
    marks::draw_window(&mut canvas, &marks, &charts);
    draw_marks(&mut canvas, &marks, &flags, &charts, upper.at.1 - 28.0);
    upper.draw_axes(&mut canvas, "current, A");
    lower.draw_axes(&mut canvas, "power, W");
    lower.draw_scale_below(&mut canvas, "voltage, V", &ticks((0.0, end), 5.0));
    let mut bottom = lower.bottom() + 44.0;
    let scale = WattScale::for_label(state.label);
    for (chart, of) in charts.iter().zip([Quantity::Current, Quantity::Power]) {
        let value = |p: &(f64, f64)| match of {
            Quantity::Current => *p,
            Quantity::Power => (p.0, p.0 * p.1),
        };
        let on_paper = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            thinned(&points.iter().map(|p| chart.point(value(p))).collect::<Vec<_>>())
        };
        let mut labels = Labels::new(Room {
            left: chart.at.0 + 3.0,
            top: chart.at.1,
            right: chart.right(),
            bottom: chart.bottom() - 3.0,
        });
        let heavy = on_paper(&points);
        labels.add_line(&heavy);
        canvas.line(&heavy, Pen { width: 2.6, dash: "", tone: Tone::Ink });
        let thin: Vec<_> = of_strings.iter().map(|s| on_paper(s)).collect();
        for (s, line) in thin.iter().enumerate() {
            labels.add_line(line);
            canvas.line(line, Pen { width: 1.0, dash: DASHES[s % DASHES.len()], tone: Tone::Ink });
        }
        for upright in marks::uprights(&marks, chart) {
            labels.add_line(&upright);
        }
        dots(&mut canvas, &mut labels, chart, state, of, scale);
        if of == Quantity::Power {
            output_limit(&mut canvas, &mut labels, chart, state, scale);
        }
        let mut missed = Vec::new();
        for (name, line) in std::iter::once((&array.name, &points))
            .chain(strings.iter().map(|s| &s.name).zip(&of_strings))
        {
            let along: Vec<_> = line.iter().map(|p| chart.point(value(p))).collect();
            match labels.place(name, &along_line(&along)) {
                Some(place) => label(&mut canvas, place, name),
                None => missed.push(name.replace('\u{a0}', " ")),
            }
        }
        if of == Quantity::Current && !missed.is_empty() {
            let lines = paragraph(
                &format!("No room for the names of: {}.", missed.join(", ")),
                wide - 20.0,
            );
            for line in lines {
                canvas.text((10.0, bottom), &line, Type::START);
                bottom += LEADING;
            }
        }
    }
    Some(Sketch {
        title: format!("{}: current and power over voltage", head.replace('\u{a0}', " ")),
        alternative: alternative(state, scale, strings.len()),
        size: (wide, bottom + 6.0),
        canvas,
    })
}

/// Volts and amps, not beyond the right end of the scale.
fn points(named: &Named, end: f64) -> Vec<(f64, f64)> {
    sampled(&named.curve, end / 240.0)
}

fn label(canvas: &mut Canvas, place: Candidate, text: &str) {
    canvas.text_on_lines(place.at, text, Type { anchor: place.anchor, ..Type::START });
}

/// Operating point and other peaks, with their figures.
fn dots(
    canvas: &mut Canvas,
    labels: &mut Labels,
    chart: &Chart,
    state: &InputState,
    of: Quantity,
    scale: WattScale,
) {
    let value = |watts: f64, v: f64| match of {
        Quantity::Current => watts / v.max(1e-9),
        Quantity::Power => watts,
    };
    let peaks: Vec<_> = state
        .other_peaks
        .iter()
        .map(|p| (p, chart.point((p.v.volts(), value(p.power.watts(), p.v.volts())))))
        .collect();
    for (_, at) in &peaks {
        labels.take(Room::around(*at, 4.0));
        hollow_dot(canvas, *at);
    }
    let v = state.v.volts();
    let at = chart.point((v, value(state.power.watts(), v)));
    labels.take(Room::around(at, RING));
    ringed_dot(canvas, at);
    let said = match of {
        Quantity::Current => format!("{}, {}", volts(state.v), amps(state.i)),
        Quantity::Power => scale.watts(state.power),
    };
    if let Some(place) = labels.place(&said, &around_dot(at, RING + 5.0)) {
        canvas.text_on_lines(place.at, &said, Type { anchor: place.anchor, ..Type::START.bold() });
    }
    if of == Quantity::Power {
        for (peak, at) in peaks {
            let said = format!("{} at {}", scale.watts(peak.power), volts(peak.v));
            if let Some(place) = labels.place(&said, &around_dot(at, 9.0)) {
                label(canvas, place, &said);
            }
        }
    }
}

/// Watts above which the controller's output clips, where it does.
fn output_limit(
    canvas: &mut Canvas,
    labels: &mut Labels,
    chart: &Chart,
    state: &InputState,
    scale: WattScale,
) {
    let Some(limit) = state.clipped else { return };
    let y = chart.y(limit.watts());
    let ends = [(chart.at.0, y), (chart.right(), y)];
    canvas.line(&ends, Pen { width: 1.0, ..Pen::DASHED });
    labels.add_line(&ends);
    let said = format!("output passes at most {}", scale.watts(limit));
    let places: Vec<Candidate> = [y + 14.0, y - 5.0]
        .into_iter()
        .flat_map(|y| {
            (0..12).map(move |i| Candidate {
                at: (chart.at.0 + 6.0 + f64::from(i) * chart.size.0 / 14.0, y),
                anchor: Anchor::Start,
                cost: 0,
            })
        })
        .collect();
    if let Some(place) = labels.place(&said, &places) {
        label(canvas, place, &said);
    }
}

fn alternative(state: &InputState, scale: WattScale, n_curves: usize) -> String {
    let others = match state.other_peaks.len() {
        0 => String::new(),
        1 => format!(
            " Another peak of {} lies at {}.",
            scale.watts(state.other_peaks[0].power),
            volts(state.other_peaks[0].v)
        ),
        n => format!(" {n} other peaks are marked."),
    };
    let strings = match n_curves {
        0 => "the array",
        _ => "the array and its strings",
    };
    format!(
        "Curves of current and of power over voltage of {strings} at full sun. It works at {} and \
         {}, which is {}.{others}",
        volts(state.v),
        amps(state.i),
        scale.watts(state.power),
    )
}
