//! A wiring with a place for each figure: blank to be labelled, or filled in.

use super::super::Sketch;
use super::super::letters::{shortened, width};
use super::super::svg::{Canvas, Fill, Paint, Pen, Type};
use crate::model::{ArrayWiring, Element, Installation};
use crate::plan::ArraySum;
use crate::report::names::Names;
use crate::report::numbers::plain;
use crate::report::words::counted;
use crate::units::{Amps, Volts};

/// What stands at the places for figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Filled<'a> {
    /// A line to write on.
    Blank,
    /// The figures by the rule of thumb.
    With(&'a ArraySum),
}

/// Height of a panel, and from one panel of a block to the next.
const HIGH: f64 = 46.0;
const APART: f64 = 8.0;
/// Space between the elements of a string.
const GAP: f64 = 26.0;
/// Room for the figures of a string, left of the bus.
const FIGURES: f64 = 150.0;
/// Room for the controller, right of the bus.
const CONTROLLER: f64 = 160.0;
/// Widest drawing that is legible on paper.
const WIDEST: f64 = 730.0;
/// Height of a line of figures below a string.
const LINE: f64 = 20.0;
/// Widest id.
const WIDEST_ID: f64 = 110.0;

/// Strings are rows from minus on the left to plus at the bus on the right.
pub(in crate::report::drawing) fn scheme(
    installation: &Installation,
    array: &ArrayWiring,
    filled: Filled<'_>,
    paint: Paint,
) -> Sketch {
    let names = Names(installation);
    let ids = array.panels().map(|k| width(&shortened(names.kind(k), WIDEST_ID)));
    let wide = ids.fold(50.0, f64::max) + 14.0;
    let longest = array.strings.iter().map(|s| s.elements().len()).max().unwrap_or(0) as f64;
    let plus_at = |figures: f64| 30.0 + longest * (wide + GAP) + figures;
    // A long string has its figures below it.
    let below = plus_at(FIGURES) + CONTROLLER > WIDEST;
    let plus = plus_at(if below { GAP } else { FIGURES });
    let mut canvas = Canvas::new(paint);
    let mut y = 24.0;
    let mut joints = Vec::new();
    for (s, string) in array.strings.iter().enumerate() {
        let tallest = string.elements().iter().map(|e| e.members().len()).max().unwrap_or(1) as f64;
        let middle = y + tallest * (HIGH + APART) / 2.0;
        canvas.line(&[(14.0, middle), (plus, middle)], Pen::THIN);
        for (e, element) in string.elements().iter().rev().enumerate() {
            let x = 30.0 + e as f64 * (wide + GAP);
            draw_element(&mut canvas, names, element, (x, middle), wide);
        }
        let right = plus - 8.0;
        let (v, a) = figures(filled, |sum| (sum.strings[s].v, sum.strings[s].i));
        joints.push(middle);
        y += tallest * (HIGH + APART) + 14.0;
        if below {
            let text = format!("string {}: {v}, {a}", s + 1);
            canvas.text((right, y - 6.0), &text, Type::END);
            y += LINE;
        } else {
            canvas.text((right, middle - 8.0), &format!("string {}: {v}", s + 1), Type::END);
            canvas.text((right, middle + 17.0), &a, Type::END);
        }
    }
    let (first, last) = (joints.first().copied().unwrap_or(y), joints.last().copied().unwrap_or(y));
    for x in [14.0, plus] {
        canvas.line(&[(x, first - 8.0), (x, last + 8.0)], Pen::BAR);
    }
    canvas.text((10.0, first - 13.0), "−", Type::START.bold());
    canvas.text((plus - 4.0, first - 13.0), "+", Type::START.bold());
    let middle = (first + last) / 2.0;
    let box_at = plus + 34.0;
    canvas.line(&[(plus, middle), (box_at, middle)], Pen::THIN);
    let (v, a) = figures(filled, |sum| (sum.bus, sum.i));
    let lines = ["controller".to_owned(), v, a];
    let box_wide = lines.iter().map(|l| width(l)).fold(90.0, f64::max) + 16.0;
    canvas.rect((box_at, middle - 36.0), (box_wide, 72.0), Pen::THIN, Fill::Paper);
    for (i, line) in lines.iter().enumerate() {
        let at = (box_at + 8.0, middle - 14.0 + 20.0 * i as f64);
        canvas.text(at, line, Type::START);
    }
    Sketch {
        title: match filled {
            Filled::Blank => "Wiring to label".into(),
            Filled::With(_) => "The wiring, labelled".into(),
        },
        alternative: alternative(names, array, filled),
        size: (box_at + box_wide + 12.0, y.max(middle + 50.0)),
        canvas,
    }
}

fn draw_element(
    canvas: &mut Canvas,
    names: Names<'_>,
    element: &Element,
    (x, middle): (f64, f64),
    wide: f64,
) {
    let n = element.members().len() as f64;
    let top = middle - (n * (HIGH + APART) - APART) / 2.0;
    let centre = |m: usize| top + m as f64 * (HIGH + APART) + HIGH / 2.0;
    if element.is_block() {
        // The row is broken here: its ends are the two bars of the block.
        for bar in [x - 8.0, x + wide + 8.0] {
            let ends = [(bar, centre(0)), (bar, centre(element.members().len() - 1))];
            canvas.line(&ends, Pen::BAR);
        }
    }
    for (m, &kind) in element.members().iter().enumerate() {
        let y = centre(m);
        if element.is_block() {
            canvas.line(&[(x - 8.0, y), (x + wide + 8.0, y)], Pen::THIN);
        }
        canvas.rect((x, y - HIGH / 2.0), (wide, HIGH), Pen::THIN, Fill::Paper);
        let id = shortened(names.kind(kind), WIDEST_ID);
        canvas.text((x + wide / 2.0, y + 4.5), &id, Type::MIDDLE);
        canvas.text((x + 4.0, y - HIGH / 2.0 + 13.0), "−", Type::START);
        canvas.text((x + wide - 4.0, y - HIGH / 2.0 + 13.0), "+", Type::END);
    }
}

fn figures(filled: Filled<'_>, of: impl Fn(&ArraySum) -> (Volts, Amps)) -> (String, String) {
    match filled {
        Filled::Blank => ("______ V".into(), "______ A".into()),
        Filled::With(sum) => {
            let (v, a) = of(sum);
            (format!("{} V", plain(v.volts(), 2)), format!("{} A", plain(a.amps(), 2)))
        }
    }
}

fn alternative(names: Names<'_>, array: &ArrayWiring, filled: Filled<'_>) -> String {
    let strings = array.strings.iter().enumerate().map(|(s, string)| {
        let figures = match filled {
            Filled::Blank => String::new(),
            Filled::With(sum) => format!(
                " ({} V, {} A)",
                plain(sum.strings[s].v.volts(), 2),
                plain(sum.strings[s].i.amps(), 2)
            ),
        };
        format!("string {}: {}{figures}", s + 1, names.string(string))
    });
    let side_by_side = if array.strings.len() > 1 { " side by side" } else { "" };
    format!(
        "{}{side_by_side} on the bus of the controller. {}.",
        counted(array.strings.len(), "string", "strings"),
        strings.collect::<Vec<_>>().join("; ")
    )
}
