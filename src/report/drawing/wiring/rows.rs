//! Strings as rows: panels, blocks, conductors and fuses.

use super::joints::Stands;
use super::measure::{FUSE, Fitted, GAP, MINUS_BUS, Measures, STUB, heading, labels};
use super::panel::draw_panel;
use super::scene::{ElementBox, Panel, StringRow};
use crate::report::drawing::letters::LEADING;
use crate::report::drawing::svg::{Canvas, Pen, Type};
use crate::report::drawing::symbols;

/// From a string's heading to what stands above its panels.
const HEAD: f64 = 20.0;
/// Between two lines of one string; the conductor runs back in it.
const CHANNEL: f64 = 16.0;
/// Between a block's panel and what stands above the next.
const BETWEEN: f64 = 4.0;
/// Below a string.
const BELOW: f64 = 14.0;

/// Where the rows met the buses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Buses {
    /// The conductors of the first and the last string at the plus bus.
    pub(super) plus: (f64, f64),
    /// Those of the first string at the minus bus; it goes on downwards.
    pub(super) minus_top: f64,
    pub(super) n_rows: usize,
    /// Below everything.
    pub(super) bottom: f64,
}

/// Draws all strings from `top` on.
pub(super) fn draw_rows(canvas: &mut Canvas, m: &Measures<'_>, fitted: &Fitted, top: f64) -> Buses {
    let mut y = top;
    let (mut plus, mut minus): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    for (row, lines) in &fitted.rows {
        canvas.text((MINUS_BUS + GAP - 14.0, y + 13.0), &heading(row), Type::START);
        y += HEAD;
        let mut at: Vec<f64> = Vec::new();
        let mut bottoms: Vec<f64> = Vec::new();
        for line in lines {
            let (cy, bottom) = line_at(m, line, y);
            at.push(cy);
            bottoms.push(bottom);
            y = bottom + CHANNEL;
        }
        draw_string(canvas, m, row, lines, &at, &bottoms);
        minus.push(at[0]);
        plus.push(at[at.len() - 1]);
        y = bottoms[bottoms.len() - 1] + BELOW;
    }
    let first = |of: &[f64]| of.first().copied().unwrap_or(top);
    Buses {
        plus: (first(&plus), plus.last().copied().unwrap_or(top)),
        minus_top: first(&minus),
        n_rows: plus.len(),
        bottom: y,
    }
}

/// The height of a line's conductor, and its lower edge.
fn line_at(m: &Measures<'_>, line: &[ElementBox], y: f64) -> (f64, f64) {
    let high = line.iter().map(|e| stack_height(m, e)).fold(0.0, f64::max);
    // Lower stacks stand in the middle, with room above them.
    let above = |e: &ElementBox| label_height(&e.members[0]) - (high - stack_height(m, e)) / 2.0;
    let above = line.iter().map(above).fold(0.0, f64::max);
    (y + above + high / 2.0, y + above + high)
}

fn label_height(panel: &Panel) -> f64 {
    labels(panel).len() as f64 * LEADING + 4.0
}

/// Of a block's panels with what stands above all but the first.
fn stack_height(m: &Measures<'_>, element: &ElementBox) -> f64 {
    let lower = &element.members[1..];
    m.panel.1 + lower.iter().map(|p| label_height(p) + BETWEEN + m.panel.1).sum::<f64>()
}

fn draw_string(
    canvas: &mut Canvas,
    m: &Measures<'_>,
    row: &StringRow,
    lines: &[Vec<ElementBox>],
    at: &[f64],
    bottoms: &[f64],
) {
    let left = MINUS_BUS + GAP;
    // The conductor on its way: where it is, and what hangs on it.
    let mut from = (MINUS_BUS, at[0]);
    let mut hangs = vec![row.minus_port];
    for (l, line) in lines.iter().enumerate() {
        let cy = at[l];
        let mut x = left;
        for element in line {
            let wide = m.element_width(element);
            let start = x + (wide - m.box_width(element)) / 2.0;
            let next: Vec<Stands> = element.members.iter().map(|p| p.minus).collect();
            let pen = conductor(&hangs, &next);
            if from.1 == cy {
                canvas.line(&[from, (start, cy)], pen);
            } else {
                let (gutter, channel) =
                    (MINUS_BUS + GAP / 2.0 - 3.0, bottoms[l - 1] + CHANNEL / 2.0 - 1.0);
                let right = m.plus_bus - m.to_bus() + 16.0;
                canvas.line(
                    &[
                        from,
                        (right, from.1),
                        (right, channel),
                        (gutter, channel),
                        (gutter, cy),
                        (start, cy),
                    ],
                    pen,
                );
            }
            draw_element(canvas, m, element, (start, cy));
            from = (start + m.box_width(element), cy);
            hangs = element.members.iter().map(|p| p.plus).collect();
            x += wide + GAP;
        }
    }
    let pen = conductor(&hangs, &[row.plus_port]);
    let cy = from.1;
    match &row.fuse {
        None => canvas.line(&[from, (m.plus_bus, cy)], pen),
        Some(size) => {
            let middle = m.plus_bus - FUSE / 2.0 - 3.0;
            canvas.line(&[from, (middle - symbols::FUSE.0 / 2.0, cy)], pen);
            canvas.line(&[(middle + symbols::FUSE.0 / 2.0, cy), (m.plus_bus, cy)], pen);
            symbols::fuse(canvas, (middle, cy), size);
        }
    }
}

/// A conductor is there already if something at each of its ends hangs on it today.
fn conductor(one: &[Stands], other: &[Stands]) -> Pen {
    if one.contains(&Stands::Today) && other.contains(&Stands::Today) {
        Pen::THIN
    } else {
        Pen::HEAVY
    }
}

fn stub(stands: Stands) -> Pen {
    conductor(&[stands], &[stands])
}

/// An element with its left terminal at a point.
fn draw_element(canvas: &mut Canvas, m: &Measures<'_>, element: &ElementBox, at: (f64, f64)) {
    let (x, cy) = at;
    let (w, h) = m.panel;
    let top = cy - stack_height(m, element) / 2.0;
    if let [panel] = element.members.as_slice() {
        draw_panel(canvas, m, panel, element.alike, (x, top));
        return;
    }
    let mut middles = vec![top + h / 2.0];
    for panel in &element.members[1..] {
        let last = middles[middles.len() - 1];
        middles.push(last + h + BETWEEN + label_height(panel));
    }
    let right = x + m.box_width(element);
    for (panel, cy) in element.members.iter().zip(&middles) {
        let start = x + STUB;
        canvas.line(&[(x, *cy), (start, *cy)], stub(panel.minus));
        draw_panel(canvas, m, panel, element.alike, (start, cy - h / 2.0));
        let pen = stub(panel.plus);
        match &panel.fuse {
            None => canvas.line(&[(start + w, *cy), (right, *cy)], pen),
            Some(size) => {
                let middle = right - FUSE / 2.0;
                canvas.line(&[(start + w, *cy), (middle - symbols::FUSE.0 / 2.0, *cy)], pen);
                canvas.line(&[(middle + symbols::FUSE.0 / 2.0, *cy), (right, *cy)], pen);
                symbols::fuse(canvas, (middle, *cy), size);
            }
        }
    }
    let ends = (middles[0], middles[middles.len() - 1]);
    for (x, stands) in [(x, all(element, |p| p.minus)), (right, all(element, |p| p.plus))] {
        canvas.line(&[(x, ends.0 - 6.0), (x, ends.1 + 6.0)], bar(stands));
    }
}

fn all(element: &ElementBox, end: impl Fn(&Panel) -> Stands) -> Stands {
    let stands = element.members.iter().all(|p| end(p) == Stands::Today);
    if stands { Stands::Today } else { Stands::New }
}

fn bar(stands: Stands) -> Pen {
    match stands {
        Stands::Today => Pen::BAR,
        Stands::New => Pen::HEAVY,
    }
}

/// Panels that leave the array, from `top` on; returns their lower edge.
pub(super) fn draw_out(
    canvas: &mut Canvas,
    m: &Measures<'_>,
    out: &[Vec<ElementBox>],
    top: f64,
) -> f64 {
    if out.is_empty() {
        return top;
    }
    let mut y = top + 8.0;
    canvas.text((10.0, y + 13.0), "Out of the array", Type::START.bold());
    y += HEAD;
    for line in out {
        let (cy, bottom) = line_at(m, line, y);
        let mut x = GAP;
        for element in line {
            let start = x + (m.element_width(element) - m.box_width(element)) / 2.0;
            draw_panel(
                canvas,
                m,
                &element.members[0],
                element.alike,
                (start, cy - m.panel.1 / 2.0),
            );
            x += m.element_width(element) + GAP;
        }
        y = bottom + BELOW;
    }
    y
}
