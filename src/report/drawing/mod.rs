//! Drawings of an answer, as SVG: the wiring today and as planned, the curves, what each panel of a
//! kind is worth, watts against joints.
//!
//! Every function is pure, and the same answer gives the same bytes. Marks and line styles carry the
//! meaning, so that a drawing survives a photocopier; `docs/answer.md` says what each mark means.
//! Ids inside a drawing begin with its own name, so that all of them can stand on one page.

mod chart;
mod curves;
mod labels;
mod lesson;
mod letters;
mod months;
mod stairs;
mod svg;
mod symbols;
mod wiring;

use super::names::Names;
use crate::model::{ArrayWiring, Installation};
use crate::plan::{Advice, ArraySum, BreakEvenChart, InputState, SpareAnswer, State};
use crate::units::Watts;
use svg::{Canvas, Paint};

pub use lesson::Filled;

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
    wiring::sketch(installation, advice, Paint::OfThePage).finish(&id_of("wiring", advice))
}

/// One of the two alone, to the same scale; `None` for [`When::Planned`] without a plan that changes
/// anything.
#[must_use]
pub fn wiring_alone(installation: &Installation, advice: &Advice, when: When) -> Option<Drawing> {
    let id = match when {
        When::Today => "wiring-today",
        When::Planned => "wiring-planned",
    };
    let id = id_of(id, advice);
    Some(wiring::alone(installation, advice, when, Paint::OfThePage)?.finish(&id))
}

/// Of which wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// As it stands.
    Today,
    /// As the best plan has it.
    Planned,
}

/// Current and power over voltage of the planned input; `None` with nothing wired, and for
/// [`When::Planned`] without a plan that changes anything.
#[must_use]
pub fn curves(installation: &Installation, advice: &Advice, when: When) -> Option<Drawing> {
    let id = match when {
        When::Today => "curves-today",
        When::Planned => "curves-planned",
    };
    let id = id_of(id, advice);
    Some(curves_sketch(installation, advice, when, Paint::OfThePage)?.finish(&id))
}

fn curves_sketch(
    installation: &Installation,
    advice: &Advice,
    when: When,
    paint: Paint,
) -> Option<Sketch> {
    let head = match when {
        When::Today => "Today, at full sun",
        When::Planned => "Planned, at full sun",
    };
    let names = Names(installation);
    let head = match names.has_several_inputs() {
        true => format!("{head}: {}", letters::shortened(&names.input(advice.planned), 400.0)),
        false => head.to_owned(),
    };
    let state = planned_input(advice, state_of(advice, when)?)?;
    curves::sketch(installation, state, &head, paint)
}

/// Today, or the best plan if it changes anything.
fn state_of(advice: &Advice, when: When) -> Option<&State> {
    match when {
        When::Today => Some(&advice.today),
        When::Planned => {
            let plan = &advice.plans[advice.best?];
            plan.changes_wiring().then_some(&plan.state)
        }
    }
}

/// An id of its own for each of the inputs that an answer is about.
fn id_of(base: &str, advice: &Advice) -> String {
    match advice.together.iter().position(|at| *at == advice.planned) {
        Some(n) if advice.together.len() > 1 => format!("{base}-{}", n + 1),
        _ => base.to_owned(),
    }
}

fn planned_input<'a>(advice: &Advice, state: &'a State) -> Option<&'a InputState> {
    state.inputs.iter().find(|i| i.at == advice.planned)
}

/// Best watts over the number of a spare kind's panels on offer; `None` where only one number was
/// tried.
#[must_use]
pub fn worth(installation: &Installation, spare: &SpareAnswer) -> Option<Drawing> {
    let id = installation.kind(spare.kind).label_id();
    let sketch = stairs::worth(id, spare, Paint::OfThePage)?;
    Some(sketch.finish(&format!("worth-{}", spare.kind.0)))
}

/// Energy of a day month by month, today and with the best plan if it changes anything; `None` without
/// a year of sun.
#[must_use]
pub fn months(advice: &Advice) -> Option<Drawing> {
    let energy = advice.energy.as_ref()?;
    let changed = advice.best.filter(|best| advice.plans[*best].changes_wiring());
    let planned = changed.map(|best| &energy.plans[best]);
    Some(months::sketch(&energy.today, planned, Paint::OfThePage).finish("months"))
}

/// Power over voltage of one input by the rule of thumb and by the curves; `None` with nothing wired.
#[must_use]
pub fn rule_and_curve(
    installation: &Installation,
    sum: &ArraySum,
    state: &InputState,
    id: &str,
) -> Option<Drawing> {
    Some(lesson::rule_and_curve(installation, sum, state, Paint::OfThePage)?.finish(id))
}

/// How weak one more panel may be beside equal ones of the kind `kind_id`.
#[must_use]
pub fn break_even(kind_id: &str, chart: &BreakEvenChart) -> Drawing {
    lesson::break_even(kind_id, chart, Paint::OfThePage).finish("weak-panel")
}

/// A wiring with a place for each figure of the rule of thumb, blank or filled in.
#[must_use]
pub fn scheme(
    installation: &Installation,
    array: &ArrayWiring,
    filled: Filled<'_>,
    id: &str,
) -> Drawing {
    lesson::scheme(installation, array, filled, Paint::OfThePage).finish(id)
}

/// A plan on the way from least work to most watts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TradePoint {
    /// Joints opened and made.
    pub joints: usize,
    /// Watts then. \[W\]
    pub watts: Watts,
    /// Is it the plan of the answer?
    pub chosen: bool,
}

/// Watts against joints; `None` with fewer than two points. Their order does not matter.
#[must_use]
pub fn trade_off(points: &[TradePoint]) -> Option<Drawing> {
    Some(stairs::trade_off(points, Paint::OfThePage)?.finish("trade-off"))
}

/// A file with the wiring and the curves of today and of the plan, one below the other, in fixed
/// colours: not every viewer of files knows those of a page.
#[must_use]
pub fn sheet(installation: &Installation, advice: &Advice) -> String {
    let paint = Paint::Fixed;
    let each = advice.by_input();
    let parts = each.iter().flat_map(|advice| {
        let curves = [When::Today, When::Planned]
            .map(|when| curves_sketch(installation, advice, when, paint));
        let wiring = wiring::sketch(installation, advice, paint);
        std::iter::once(wiring).chain(curves.into_iter().flatten())
    });
    let mut canvas = Canvas::new(paint);
    let (mut width, mut height) = (0.0_f64, 0.0);
    let mut said = Vec::new();
    for part in parts {
        width = width.max(part.size.0);
        canvas.place(part.canvas, height);
        height += part.size.1 + 20.0;
        said.push(part.alternative);
    }
    canvas.finish("sheet", (&advice.site, &said.join(" ")), (width, height))
}
