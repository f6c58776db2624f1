//! Symbols of the drawing standards (IEC 60617), from memory: check your edition.

use super::svg::{Anchor, Canvas, Fill, Pen, Type};

/// Size of a fuse.
pub(super) const FUSE: (f64, f64) = (26.0, 9.0);

/// A fuse around a point of its conductor, with its size above: a rectangle with the conductor
/// through it.
pub(super) fn fuse(canvas: &mut Canvas, at: (f64, f64), size: &str) {
    let (w, h) = FUSE;
    canvas.rect((at.0 - w / 2.0, at.1 - h / 2.0), FUSE, Pen::THIN, Fill::Paper);
    canvas.line(&[(at.0 - w / 2.0, at.1), (at.0 + w / 2.0, at.1)], Pen::THIN);
    canvas.text((at.0, at.1 - h / 2.0 - 4.0), size, Type { anchor: Anchor::Middle, ..Type::START });
}

/// Width of a disconnect.
pub(super) const DISCONNECT: f64 = 38.0;

/// One pole of a disconnect from its left end: a blade that parts from a contact with a crossbar.
/// Returns the middle of the blade.
pub(super) fn disconnect(canvas: &mut Canvas, at: (f64, f64)) -> (f64, f64) {
    let (x, y) = at;
    canvas.line(&[(x, y), (x + 9.0, y)], Pen::THIN);
    canvas.line(&[(x + 9.0, y - 4.0), (x + 9.0, y + 4.0)], Pen::THIN);
    canvas.line(&[(x + 10.0, y - 13.0), (x + 31.0, y), (x + DISCONNECT, y)], Pen::THIN);
    (x + 20.5, y - 6.5)
}

/// Direct current: a whole line above a broken one, around a point.
pub(super) fn direct_current(canvas: &mut Canvas, at: (f64, f64)) {
    let (x, y) = at;
    canvas.line(&[(x - 8.0, y - 2.5), (x + 8.0, y - 2.5)], Pen::THIN);
    canvas.line(&[(x - 8.0, y + 2.5), (x + 8.0, y + 2.5)], Pen { dash: "4 2", ..Pen::THIN });
}

/// Alternating current: one wave, around a point.
pub(super) fn alternating_current(canvas: &mut Canvas, at: (f64, f64)) {
    let wave = (0..=16).map(|i| {
        let part = f64::from(i) / 16.0;
        let height = -5.0 * (part * std::f64::consts::TAU).sin();
        (at.0 - 9.0 + 18.0 * part, at.1 + height)
    });
    canvas.line(&wave.collect::<Vec<_>>(), Pen::THIN);
}

/// Half the height of a battery.
const CELLS: f64 = 10.0;

/// A battery between two points of a vertical conductor, plus above: the long thin line of each cell
/// is its plus.
pub(super) fn battery(canvas: &mut Canvas, top: (f64, f64), bottom: (f64, f64)) {
    let (x, middle) = (top.0, (top.1 + bottom.1) / 2.0);
    canvas.line(&[top, (x, middle - CELLS)], Pen::THIN);
    for (down, half, pen) in [
        (-10.0, 13.0, Pen::THIN),
        (-4.0, 7.0, Pen::BAR),
        (4.0, 13.0, Pen::THIN),
        (10.0, 7.0, Pen::BAR),
    ] {
        canvas.line(&[(x - half, middle + down), (x + half, middle + down)], pen);
    }
    canvas.line(&[(x, middle + CELLS), bottom], Pen::THIN);
}
