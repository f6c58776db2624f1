//! Energy of a day, month by month: today, and with the plan.

use super::Sketch;
use super::chart::{Chart, RING, figures_width, ringed_dot};
use super::svg::{Anchor, Canvas, NARROW, Paint, Pen, Type};
use crate::energy::YearEnergy;
use crate::report::numbers::fixed;
use crate::report::words;

/// Height of the chart.
const HIGH: f64 = 170.0;

/// Stairs over twelve months; the worst of the wiring that counts is ringed.
pub(super) fn sketch(today: &YearEnergy, planned: Option<&YearEnergy>, paint: Paint) -> Sketch {
    let counts = planned.unwrap_or(today);
    let most =
        [Some(today), planned].into_iter().flatten().flat_map(days).fold(0.0, f64::max).max(0.01);
    let up = (0.0, most * 1.15);
    let left = figures_width(&[up]);
    let chart =
        Chart { at: (left, 58.0), size: (NARROW - left - 14.0, HIGH), across: (0.0, 12.0), up };
    let mut canvas = Canvas::new(paint);
    let title = "A day of each month".to_owned();
    canvas.text((10.0, 20.0), &title, Type::START.bold());
    chart.draw_axes(&mut canvas, "energy a day, kWh");
    for month in 0..12 {
        let (x, bottom) = (chart.x(month as f64), chart.bottom());
        canvas.line(&[(x, bottom), (x, bottom + 4.0)], Pen::THIN);
        let initial: String = words::month(month).chars().take(1).collect();
        canvas.text((chart.x(month as f64 + 0.5), bottom + 17.0), &initial, Type::MIDDLE);
    }
    if planned.is_some() {
        canvas.line(&stairs(chart, today), Pen::DASHED);
    }
    canvas.line(&stairs(chart, counts), Pen { width: 1.8, ..Pen::THIN });
    let worst = counts.worst_month();
    let at = chart.point((worst as f64 + 0.5, days(counts)[worst]));
    ringed_dot(&mut canvas, at);
    let figure = format!("{}\u{a0}kWh", fixed(days(counts)[worst], 2));
    canvas.text_on_lines((at.0, at.1 + RING + 13.0), &figure, side(worst));
    let key = if planned.is_some() { "dashed: today. " } else { "" };
    canvas.text(
        (chart.right(), chart.bottom() + 34.0),
        &format!("{key}Ringed: the worst month"),
        Type::END,
    );
    Sketch {
        title,
        alternative: alternative(today, planned),
        size: (NARROW, chart.bottom() + 44.0),
        canvas,
    }
}

/// Near an edge the figure stands inwards.
fn side(month: usize) -> Type {
    match month {
        0..=1 => Type::START,
        10..=11 => Type { anchor: Anchor::End, ..Type::START },
        _ => Type::MIDDLE,
    }
}

/// Energy of a mean day of each month. \[kWh\]
fn days(year: &YearEnergy) -> [f64; 12] {
    std::array::from_fn(|month| year.per_day(month).kilowatt_hours())
}

fn stairs(chart: Chart, year: &YearEnergy) -> Vec<(f64, f64)> {
    let step = |(month, kwh): (usize, f64)| {
        let from = month as f64;
        [chart.point((from, kwh)), chart.point((from + 1.0, kwh))]
    };
    days(year).into_iter().enumerate().flat_map(step).collect()
}

fn alternative(today: &YearEnergy, planned: Option<&YearEnergy>) -> String {
    let listed = |year: &YearEnergy| {
        let months = days(year).into_iter().enumerate();
        let said = months.map(|(m, kwh)| format!("{} {}", words::month(m), fixed(kwh, 2)));
        said.collect::<Vec<_>>().join(", ")
    };
    let today = format!("kWh a day in each month, today: {}.", listed(today));
    match planned {
        Some(year) => format!("{today} With the plan: {}.", listed(year)),
        None => today,
    }
}
