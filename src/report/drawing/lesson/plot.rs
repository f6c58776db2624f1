//! Power over voltage: the steps of the rule of thumb, and the true curve.

use super::super::Sketch;
use super::super::chart::{Chart, RING, figures_width, hollow_dot, ringed_dot, ticks};
use super::super::labels::{Labels, Room, along_line, around_dot};
use super::super::svg::{Canvas, NARROW, Paint, Pen, Tone, Type};
use crate::electrical::{Catalog, Curve, array_curve, compared};
use crate::model::{ArrayWiring, Installation, PanelString};
use crate::plan::{ArraySum, InputState};
use crate::report::numbers::{fixed, plain};

/// Height of the plot.
const HIGH: f64 = 230.0;
/// Points along the true curve.
const N_POINTS: usize = 240;

/// Both on one plot; `None` with nothing wired.
pub(in crate::report::drawing) fn rule_and_curve(
    installation: &Installation,
    sum: &ArraySum,
    state: &InputState,
    paint: Paint,
) -> Option<Sketch> {
    let curve = curve_of(installation, sum, state)?;
    // Beside a low string the rule still counts with the volts of the high one.
    let highest = sum.strings.iter().map(|s| s.v).fold(curve.v_oc(), crate::units::Volts::max);
    let end = highest.volts() * 1.03;
    let real: Vec<(f64, f64)> = (0..=N_POINTS)
        .map(|i| end * i as f64 / N_POINTS as f64)
        .map(|v| (v, v * curve.current_at(crate::units::Volts(v)).amps()))
        .filter(|p| p.1 >= 0.0)
        .collect();
    let rule = rule_steps(sum);
    let most = real.iter().chain(&rule).map(|p| p.1).fold(1.0, f64::max);
    let up = (0.0, most * 1.2);
    let left = figures_width(&[up]);
    let chart = Chart {
        at: (left, 58.0),
        size: (NARROW + 90.0 - left - 14.0, HIGH),
        across: (0.0, end),
        up,
    };
    let mut canvas = Canvas::new(paint);
    canvas.text((10.0, 20.0), "Rule of thumb and curve, at full sun", Type::START.bold());
    window(&mut canvas, &chart, sum);
    chart.draw_axes(&mut canvas, "power, W");
    chart.draw_scale_below(&mut canvas, "voltage, V", &ticks((0.0, end), 5.0));
    let mut labels = Labels::new(Room {
        left: chart.at.0 + 3.0,
        top: chart.at.1 - 4.0,
        right: chart.right(),
        bottom: chart.bottom() - 3.0,
    });
    let on_paper =
        |line: &[(f64, f64)]| -> Vec<(f64, f64)> { line.iter().map(|p| chart.point(*p)).collect() };
    let (real, rule) = (on_paper(&real), on_paper(&rule));
    labels.add_line(&real);
    labels.add_line(&rule);
    canvas.line(&rule, Pen { width: 1.4, dash: "6 3", tone: Tone::Ink });
    canvas.line(&real, Pen { width: 2.4, dash: "", tone: Tone::Ink });
    let by_rule = chart.point((sum.bus.volts(), sum.watts.watts()));
    let by_curve = chart.point((state.v.volts(), state.power.watts()));
    labels.take(Room::around(by_curve, RING));
    labels.take(Room::around(by_rule, 5.0));
    ringed_dot(&mut canvas, by_curve);
    hollow_dot(&mut canvas, by_rule);
    let said = [
        (format!("curve {}\u{a0}W", fixed(state.power.watts(), 1)), by_curve),
        (format!("rule {}\u{a0}W", plain(sum.watts.watts(), 2)), by_rule),
    ];
    for (text, at) in said {
        if let Some(place) = labels.place(&text, &around_dot(at, RING + 5.0)) {
            canvas.text_on_lines(
                place.at,
                &text,
                Type { anchor: place.anchor, ..Type::START.bold() },
            );
        }
    }
    for (text, line) in [("true curve", &real), ("rule of thumb", &rule)] {
        if let Some(place) = labels.place(text, &along_line(line)) {
            canvas.text_on_lines(place.at, text, Type { anchor: place.anchor, ..Type::START });
        }
    }
    Some(Sketch {
        title: "Power over voltage, by the rule of thumb and by the curves".into(),
        alternative: alternative(sum, state),
        size: (NARROW + 90.0, chart.bottom() + 48.0),
        canvas,
    })
}

fn alternative(sum: &ArraySum, state: &InputState) -> String {
    let curve = if state.power.watts() > 0.0 {
        format!(
            "The true curve is smooth and highest, where the controller can hold it, at {} V: {} W.",
            fixed(state.v.volts(), 1),
            fixed(state.power.watts(), 1)
        )
    } else {
        "The true curve is smooth and gives nothing where the controller can hold it.".to_owned()
    };
    format!(
        "Power over voltage. The rule of thumb, a saw of straight teeth, is read at {} V: {} W. {curve}",
        plain(sum.bus.volts(), 2),
        plain(sum.watts.watts(), 2)
    )
}

fn curve_of(installation: &Installation, sum: &ArraySum, state: &InputState) -> Option<Curve> {
    let catalog = Catalog::fit(&installation.kinds).expect("an answer's labels have curves");
    let elements = |s: &crate::plan::StringSum| {
        PanelString::new(s.elements.iter().map(|e| e.element.clone()).collect())
    };
    let array = ArrayWiring { strings: sum.strings.iter().map(elements).collect() };
    let blocking = installation.controller(state.at).blocking_diodes;
    let curves = catalog.curves_at(|k| compared(installation.kind(k)));
    array_curve(&array, &curves, blocking)
}

/// As the rule has it a string gives its lowest Imp up to the sum of its Vmp, and nothing above.
fn rule_steps(sum: &ArraySum) -> Vec<(f64, f64)> {
    let mut at: Vec<f64> = sum.strings.iter().map(|s| s.v.volts()).collect();
    at.sort_by(f64::total_cmp);
    at.dedup();
    let amps_up_to = |v: f64| -> f64 {
        sum.strings.iter().filter(|s| s.v.volts() >= v).map(|s| s.i.amps()).sum()
    };
    let mut line = vec![(0.0, 0.0)];
    for (i, &v) in at.iter().enumerate() {
        line.push((v, v * amps_up_to(v)));
        let above = at.get(i + 1).map_or(0.0, |&next| amps_up_to(next));
        line.push((v, v * above));
    }
    line
}

/// Where the controller can hold the bus.
fn window(canvas: &mut Canvas, chart: &Chart, sum: &ArraySum) {
    let (lo, hi) = (sum.hold.0.volts(), sum.hold.1.volts().min(chart.across.1));
    for v in [lo, hi] {
        if v < chart.across.1 {
            let x = chart.x(v);
            canvas.line(&[(x, chart.at.1), (x, chart.bottom())], Pen::DOTTED);
        }
    }
    if lo < hi {
        let (x, wide) = (chart.x(lo), chart.x(hi) - chart.x(lo));
        canvas.band((x, chart.at.1), (wide, chart.size.1));
    }
    canvas.text((chart.right(), 38.0), "shaded: where the controller can hold it", Type::END);
}
