//! What stands behind the array: buses, disconnect, controller, battery.

use super::measure::{BALANCE, Balance, MINUS_BUS, Measures};
use super::rows::Buses;
use crate::model::{Controller, ControllerType, Output};
use crate::report::drawing::letters::{LEADING, broken};
use crate::report::drawing::svg::{Canvas, Fill, Pen, Type};
use crate::report::drawing::symbols;
use crate::report::numbers::plain;

/// Between the plus and the minus conductor: room for a word that reads upwards.
const APART: f64 = 112.0;
/// The controller.
const BOX: f64 = 56.0;
/// From the disconnect to its box; holds a sign.
const TO_BOX: f64 = 12.0;
/// From its box to the battery.
const TO_BATTERY: f64 = 30.0;
/// Above the plus conductor: the top of the controller's box.
const OVER: f64 = 14.0;

/// Draws it; returns the lower edge.
pub(super) fn draw_balance(
    canvas: &mut Canvas,
    m: &Measures<'_>,
    buses: Buses,
    controller: &Controller,
) -> f64 {
    let names = names(controller);
    let bus = m.plus_bus;
    let (x, plus, minus) = match m.balance {
        Balance::Beside => {
            let plus = buses.plus.1;
            (bus + 8.0, plus, (plus + APART).max(buses.bottom + 2.0))
        }
        Balance::Beneath => {
            let back = buses.bottom + 2.0;
            let plus = back + OVER + 12.0 + names.len() as f64 * LEADING;
            let turn = MINUS_BUS + 16.0;
            let way = [(bus, buses.plus.1), (bus, back), (turn, back), (turn, plus), (54.0, plus)];
            canvas.line(&way, Pen::THIN);
            (54.0, plus, plus + APART)
        }
    };
    if m.balance == Balance::Beside {
        canvas.line(&[(bus, plus), (x, plus)], Pen::THIN);
    }
    if buses.n_rows > 1 {
        canvas.line(&[(bus, buses.plus.0 - 7.0), (bus, buses.plus.1 + 7.0)], Pen::BAR);
        canvas.text((bus, buses.plus.0 - 12.0), "+", Type::MIDDLE);
    }
    canvas.line(&[(MINUS_BUS, buses.minus_top), (MINUS_BUS, minus), (x, minus)], Pen::THIN);
    disconnect(canvas, x, plus, minus);
    let start = x + symbols::DISCONNECT + TO_BOX;
    for y in [plus, minus] {
        canvas.line(&[(x + symbols::DISCONNECT, y), (start, y)], Pen::THIN);
    }
    converter(canvas, controller, start, plus, minus);
    let top = plus - OVER - 6.0;
    for (i, line) in names.iter().rev().enumerate() {
        canvas.text((start + BOX / 2.0, top - i as f64 * LEADING), line, Type::MIDDLE);
    }
    output(canvas, controller, start + BOX, plus, minus);
    minus + OVER + 36.0
}

/// Its name and what it is, above its box.
fn names(controller: &Controller) -> Vec<String> {
    let mut lines = broken(&controller.id, BALANCE / 2.0, 3);
    lines.push(
        match controller.controller_type {
            ControllerType::Mppt => "MPPT",
            ControllerType::Pwm => "PWM",
        }
        .into(),
    );
    lines
}

fn disconnect(canvas: &mut Canvas, x: f64, plus: f64, minus: f64) {
    canvas.named("disconnect, both poles", |canvas| {
        let upper = symbols::disconnect(canvas, (x, plus));
        let lower = symbols::disconnect(canvas, (x, minus));
        // One handle moves both.
        canvas.line(&[upper, lower], Pen { dash: "3 3", ..Pen::HAIR });
        let middle = plus + (minus - 13.0 - plus) / 2.0 + 3.0;
        canvas.text_upwards((upper.0 - 7.0, middle), "disconnect", Type::MIDDLE);
    });
}

/// The box: direct current in, and what comes out of it behind the diagonal.
fn converter(canvas: &mut Canvas, controller: &Controller, x: f64, plus: f64, minus: f64) {
    let (top, bottom) = (plus - OVER, minus + OVER);
    canvas.rect((x, top), (BOX, bottom - top), Pen { width: 1.6, ..Pen::THIN }, Fill::Paper);
    let right = x + BOX;
    let (upper, lower) = (top + (bottom - top) * 0.3, top + (bottom - top) * 0.7);
    let converts = controller.controller_type == ControllerType::Mppt;
    if converts {
        canvas.line(&[(x, bottom), (right, top)], Pen::THIN);
        symbols::direct_current(canvas, (x + 16.0, upper + 6.0));
    }
    let out = if converts {
        (right - 16.0, lower - 6.0)
    } else {
        ((x + right) / 2.0, (top + bottom) / 2.0)
    };
    match controller.output {
        Output::Battery(_) => symbols::direct_current(canvas, out),
        Output::Converter { .. } => symbols::alternating_current(canvas, out),
    }
    let has_battery = matches!(controller.output, Output::Battery(_));
    for (y, sign) in [(plus, "+"), (minus, "−")] {
        canvas.text((x - 7.0, y - 4.0), sign, Type::MIDDLE);
        if has_battery {
            canvas.text((right + 8.0, y - 4.0), sign, Type::MIDDLE);
        }
    }
}

fn output(canvas: &mut Canvas, controller: &Controller, x: f64, plus: f64, minus: f64) {
    let end = x + TO_BATTERY;
    let lines = match controller.output {
        Output::Battery(bank) => {
            canvas.named("battery", |canvas| {
                canvas.line(&[(x, plus), (end, plus)], Pen::THIN);
                symbols::battery(canvas, (end, plus), (end, minus));
                canvas.line(&[(end, minus), (x, minus)], Pen::THIN);
            });
            ["battery".into(), format!("{}\u{a0}V", plain(bank.nominal.volts(), 1))]
        }
        Output::Converter { .. } => {
            let y = (plus + minus) / 2.0;
            canvas.line(&[(x, y), (end + 8.0, y)], Pen::THIN);
            canvas.line(&[(end, y - 4.0), (end + 8.0, y), (end, y + 4.0)], Pen::THIN);
            ["to grid".into(), "or load".into()]
        }
    };
    for (i, line) in lines.iter().enumerate() {
        canvas.text((end + 2.0, minus + OVER + 14.0 + i as f64 * LEADING), line, Type::MIDDLE);
    }
}
