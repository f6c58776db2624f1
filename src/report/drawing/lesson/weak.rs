//! How weak one more panel may be, over the number of equal ones.

use super::super::Sketch;
use super::super::chart::{Chart, figures_width, hollow_dot};
use super::super::labels::{Labels, Room, along_line};
use super::super::letters::shortened;
use super::super::svg::{Canvas, Fill, NARROW, Paint, Pen, Tone, Type};
use crate::plan::BreakEvenChart;
use crate::report::numbers::fixed;

/// Height of the chart.
const HIGH: f64 = 230.0;

/// The rule of thumb and both curves.
pub(in crate::report::drawing) fn break_even(
    id: &str,
    chart: &BreakEvenChart,
    paint: Paint,
) -> Sketch {
    let up = (0.3, 1.0);
    let left = figures_width(&[up]);
    let most = chart.rows.last().map_or(1, |r| r.n_panels) as f64;
    let frame = Chart {
        at: (left, 58.0),
        size: (NARROW + 90.0 - left - 14.0, HIGH),
        across: (0.5, most + 0.5),
        up,
    };
    let mut canvas = Canvas::new(paint);
    let head = format!("One more panel beside equal {}", shortened(id, 240.0));
    canvas.text((10.0, 20.0), &head, Type::START.bold());
    frame.draw_axes(&mut canvas, "least share that adds");
    let counts: Vec<f64> = chart.rows.iter().map(|r| r.n_panels as f64).collect();
    frame.draw_scale_below(&mut canvas, "equal panels", &counts);
    let line = |share: &dyn Fn(&crate::plan::BreakEvenRow) -> f64| -> Vec<(f64, f64)> {
        chart.rows.iter().map(|r| frame.point((r.n_panels as f64, share(r)))).collect()
    };
    let rule = line(&|r| r.in_series.by_rule);
    let series = line(&|r| r.in_series.by_curve);
    let parallel = line(&|r| r.in_parallel.by_curve);
    let mut labels = Labels::new(Room {
        left: frame.at.0 + 3.0,
        top: frame.at.1,
        right: frame.right(),
        bottom: frame.bottom() - 3.0,
    });
    for points in [&rule, &series, &parallel] {
        labels.add_line(points);
    }
    canvas.line(&rule, Pen { width: 1.4, dash: "6 3", tone: Tone::Ink });
    canvas.line(&series, Pen { width: 2.2, dash: "", tone: Tone::Ink });
    canvas.line(&parallel, Pen { width: 1.4, dash: "2 2", tone: Tone::Ink });
    for at in &series {
        canvas.circle(*at, 3.0, Pen::THIN, Fill::Ink);
    }
    for at in &parallel {
        hollow_dot(&mut canvas, *at);
    }
    let names =
        [("rule of thumb", &rule), ("in series, amps", &series), ("in parallel, volts", &parallel)];
    for (name, points) in names {
        if let Some(place) = labels.place(name, &along_line(points)) {
            canvas.text_on_lines(place.at, name, Type { anchor: place.anchor, ..Type::START });
        }
    }
    let said = |n: usize| {
        chart.rows.get(n - 1).map_or_else(String::new, |r| {
            format!(
                "Beside {n}: {} by the rule, {} in series, {} in parallel. ",
                fixed(r.in_series.by_rule, 2),
                fixed(r.in_series.by_curve, 2),
                fixed(r.in_parallel.by_curve, 2)
            )
        })
    };
    Sketch {
        title: "How weak one more panel may be".into(),
        alternative: format!(
            "The least share of amps or volts at which one more panel adds anything, over the \
             number of equal {id}. {}{}All lines rise.",
            said(1),
            said(chart.rows.len())
        ),
        size: (NARROW + 90.0, frame.bottom() + 48.0),
        canvas,
    }
}
