//! Drawings of an answer, as SVG: the wiring today and as planned, the curves, what each panel of a
//! kind is worth, watts against joints.
//!
//! Every function is pure, and the same answer gives the same bytes. Marks and line styles carry the
//! meaning, so that a drawing survives a photocopier; `docs/answer.md` says what each mark means.
//! Ids inside a drawing begin with its own name, so that all of them can stand on one page.

mod letters;
mod svg;
mod symbols;
mod wiring;

use crate::model::Installation;
use crate::plan::Advice;
use svg::{Canvas, Paint};

/// A drawing and what it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// A few words.
    pub title: String,
    /// A sentence for those who cannot see it.
    pub alternative: String,
    /// A whole `svg` element that needs nothing from outside. Ink is `var(--ink, #111)`, paper
    /// `var(--paper, #fff)`, the accent for what is new `var(--new, …)`, so that a page can set them.
    pub svg: String,
}

/// A drawing before it is an element.
struct Sketch {
    title: String,
    alternative: String,
    size: (f64, f64),
    canvas: Canvas,
}

impl Sketch {
    fn finish(self, id: &str) -> Drawing {
        let svg = self.canvas.finish(id, (&self.title, &self.alternative), self.size);
        Drawing { title: self.title, alternative: self.alternative, svg }
    }
}

/// One-line wiring of the planned input: today above, and below it the best plan if it changes
/// anything, to the same scale.
#[must_use]
pub fn wiring(installation: &Installation, advice: &Advice) -> Drawing {
    wiring::sketch(installation, advice, Paint::OfThePage).finish("wiring")
}

/// A file with the wiring and the curves of today and of the plan, one below the other, in fixed
/// colours: not every viewer of files knows those of a page.
#[must_use]
pub fn sheet(installation: &Installation, advice: &Advice) -> String {
    let paint = Paint::Fixed;
    let mut parts = vec![wiring::sketch(installation, advice, paint)];
    let mut canvas = Canvas::new(paint);
    let (mut width, mut height) = (0.0_f64, 0.0);
    let mut said = Vec::new();
    for part in parts.drain(..) {
        width = width.max(part.size.0);
        canvas.place(part.canvas, height);
        height += part.size.1 + 20.0;
        said.push(part.alternative);
    }
    canvas.finish("sheet", (&advice.site, &said.join(" ")), (width, height))
}
