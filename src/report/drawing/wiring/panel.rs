//! One panel.

use super::measure::{Measures, Setting, labels};
use super::scene::{Mark, Panel};
use crate::report::drawing::letters::LEADING;
use crate::report::drawing::svg::{Canvas, Fill, Pen, Tone, Type};

/// Draws a panel by its upper left corner: its name in it, its place above, plus and minus beside it.
pub(super) fn draw_panel(
    canvas: &mut Canvas,
    m: &Measures<'_>,
    panel: &Panel,
    alike: usize,
    at: (f64, f64),
) {
    // Room for the edge of another behind it.
    let behind = if alike > 1 { 5.0 } else { 0.0 };
    canvas.named(&said(m, panel, alike), |canvas| {
        outline(canvas, m, panel, alike, at);
        inscribe(canvas, m, panel, alike, at);
        label(canvas, m, panel, (at.0, at.1 - behind));
        if panel.mark != Mark::Out {
            let y = at.1 + m.panel.1 / 2.0 - 4.0;
            canvas.text((at.0 - 8.0, y), "−", Type::MIDDLE);
            canvas.text((at.0 + m.panel.0 + 8.0 + behind / 2.0, y), "+", Type::MIDDLE);
        }
    });
}

/// `2.2b creek-90, new`.
fn said(m: &Measures<'_>, panel: &Panel, alike: usize) -> String {
    let id = m.id(panel);
    let place = match &panel.last_place {
        Some(last) => format!("{} to {last}", panel.place),
        None => panel.place.clone(),
    };
    let what = if alike > 1 { format!("{alike} × {id}") } else { id.to_owned() };
    match &panel.mark {
        Mark::AsToday => format!("{place}: {what}"),
        Mark::New => format!("{place}: {what}, new"),
        Mark::From(from) => format!("{place}: {what}, from {from}"),
        Mark::Out => format!("{what}, was {place}, out of the array"),
    }
}

fn outline(canvas: &mut Canvas, m: &Measures<'_>, panel: &Panel, alike: usize, at: (f64, f64)) {
    let pen = match panel.mark {
        Mark::AsToday | Mark::Out => Pen::THIN,
        Mark::New => Pen::HEAVY,
        Mark::From(_) => Pen::DASHED,
    };
    if alike > 1 {
        // The edge of another behind it.
        let (w, h) = m.panel;
        let (x, y) = (at.0 + 4.0, at.1 - 4.0);
        canvas.line(&[(x, at.1), (x, y), (x + w, y), (x + w, y + h), (at.0 + w, y + h)], Pen::THIN);
    }
    canvas.rect(at, m.panel, pen, Fill::Paper);
    if panel.mark == Mark::Out {
        let (x, y) = (at.0 - 6.0, at.1 - 2.0);
        let (right, bottom) = (at.0 + m.panel.0 + 6.0, at.1 + m.panel.1 + 2.0);
        canvas.line(&[(x, bottom), (right, y)], Pen::BAR);
    }
}

fn inscribe(canvas: &mut Canvas, m: &Measures<'_>, panel: &Panel, alike: usize, at: (f64, f64)) {
    let lines = m.inscription(panel, alike);
    let (cx, cy) = (at.0 + m.panel.0 / 2.0, at.1 + m.panel.1 / 2.0);
    let above = (lines.len() as f64 - 1.0) * LEADING / 2.0;
    for (i, line) in lines.iter().enumerate() {
        let off = i as f64 * LEADING - above + 4.5;
        match m.setting {
            Setting::Level => canvas.text((cx, cy + off), line, Type::MIDDLE),
            Setting::Upwards => canvas.text_upwards((cx + off, cy), line, Type::MIDDLE),
        }
    }
}

fn label(canvas: &mut Canvas, m: &Measures<'_>, panel: &Panel, at: (f64, f64)) {
    let lines = labels(panel);
    let cx = at.0 + m.panel.0 / 2.0;
    for (i, line) in lines.iter().rev().enumerate() {
        let set = match panel.mark {
            Mark::New if i == 0 => Type { tone: Tone::New, ..Type::MIDDLE.bold() },
            _ => Type::MIDDLE,
        };
        canvas.text((cx, at.1 - 6.0 - i as f64 * LEADING), line, set);
    }
}
