//! The lesson: an array worked by hand, beside what its curves say; and exercises.
//!
//! What is said stands in `words`; the figures come from `plan`, and are never worked out here.

mod chart;
mod exercise;
mod sums;
mod words;

pub use exercise::{Sheet, exercises};

use super::layout::GLUE;
use super::names::Names;
use super::numbers::finding;
use super::page::blocks::{Block, Section, Setting};
use super::page::{Document, ReportForm, table as set_table, written};
use super::planes;
use super::table::{self, Page};
use super::{drawing, parts, words as common};
use crate::model::Installation;
use crate::plan::{Advice, Lesson, Rule, State, Way, WayWorked, Worked, cables};
use crate::units::{Volts, Watts};
use sums::{Detail, steps};

/// The lesson on a site, in one form.
#[must_use]
pub fn lesson(
    installation: &Installation,
    advice: &Advice,
    lesson: &Lesson,
    form: ReportForm,
) -> String {
    let page = Page::of(installation, advice);
    let document = Document {
        title: &advice.site,
        about: "the array worked step by step",
        beneath: [table::climate(advice.coldest, advice.hottest), table::size(page)]
            .into_iter()
            .chain(planes::full_sun(page.names))
            .collect(),
        sections: sections(installation, advice, lesson),
    };
    written(&document, form)
}

fn sections(installation: &Installation, advice: &Advice, lesson: &Lesson) -> Vec<Section> {
    let names = Names(installation);
    let mut all = vec![section("glance", words::SECTION_GLANCE, glance(installation, lesson))];
    all.push(section("words", words::SECTION_TERMS, terms()));
    for (i, worked) in lesson.today.iter().enumerate() {
        let title = words::section_of_input(&names.input(worked.curve.at));
        let mut blocks = breached(installation, worked, words::TODAY_BREACHES);
        blocks.extend(steps(installation, worked, Detail::Full));
        blocks.extend(plot(installation, worked, &format!("plot-today-{}", i + 1)));
        all.push(section(&format!("today-{}", i + 1), &title, blocks));
    }
    all.push(section("spares", words::SECTION_WAYS, ways(installation, advice, lesson)));
    all.push(section("best", words::SECTION_BEST, best(installation, advice, lesson)));
    let weak = lesson.chart.as_ref().map(|c| chart::blocks(installation, c)).unwrap_or_default();
    all.push(section("weak", words::SECTION_CHART, weak));
    all.push(section("cable", words::SECTION_CABLE, cable(installation, &advice.today)));
    let mut care = vec![Block::Paragraph(words::BEFORE_WIRING.into())];
    care.push(Block::List(advice.cautions.iter().map(|&c| c.to_owned()).collect()));
    all.push(section("care", words::SECTION_CARE, care));
    let assumed = match advice.assumed.as_slice() {
        [] => Vec::new(),
        lines => vec![Block::List(lines.to_vec())],
    };
    all.push(section("assumed", words::SECTION_ASSUMED, assumed));
    all.retain(|s| !s.blocks.is_empty());
    all
}

fn section(id: &str, title: &str, blocks: Vec<Block>) -> Section {
    Section { id: id.to_owned().into(), title: title.to_owned(), blocks }
}

/// Every wiring of the lesson on a line.
fn glance(installation: &Installation, lesson: &Lesson) -> Vec<Block> {
    if lesson.today.is_empty() {
        return Vec::new();
    }
    let names = Names(installation);
    let row = |what: String, worked: &Worked| {
        let label = worked.sum.label;
        vec![
            what,
            words::w(label),
            words::w(worked.sum.watts),
            words::cw(worked.curve.power),
            words::part(worked.curve.power.watts() / label.watts()),
            if worked.is_sound() { words::KEPT } else { words::BREACHED }.to_owned(),
        ]
    };
    let today = lesson.today.iter().map(|w| {
        let place = names.in_place(w.curve.at, None);
        row(format!("{}{place}", words::GLANCE_TODAY), w)
    });
    let ways = lesson.ways.iter().map(|w| row(way_heading(installation, w), &w.worked));
    let best = lesson.best.iter().map(|w| row(words::GLANCE_BEST.to_owned(), w));
    let [what, figures @ .., limits] = words::GLANCE_HEADS;
    let mut heads = vec![(what, Setting::Words)];
    heads.extend(figures.map(|head| (head, Setting::Figures)));
    heads.push((limits, Setting::Words));
    let all = |of: fn(&Worked) -> Watts| lesson.today.iter().map(of).sum::<Watts>();
    let lead = words::glance(all(|w| w.sum.label), all(|w| w.sum.watts), all(|w| w.curve.power));
    let rows = today.chain(ways).chain(best).collect();
    vec![Block::Lead(lead), set_table(words::GLANCE_CAPTION, &heads, rows)]
}

fn terms() -> Vec<Block> {
    let terms = words::TERMS.iter().map(|&t| t.to_owned()).collect();
    vec![
        Block::List(terms),
        Block::Paragraph(words::RULE.into()),
        Block::Paragraph(words::READ.into()),
    ]
}

/// Power over voltage by the rule and by the curves.
fn plot(installation: &Installation, worked: &Worked, id: &str) -> Option<Block> {
    drawing::rule_and_curve(installation, &worked.sum, &worked.curve, id).map(Block::Figure)
}

fn ways(installation: &Installation, advice: &Advice, lesson: &Lesson) -> Vec<Block> {
    if lesson.ways.is_empty() {
        return Vec::new();
    }
    let today = lesson.today.iter().find(|w| w.curve.at == advice.planned);
    let now = today.map_or((Watts(0.0), Watts(0.0)), |w| (w.sum.watts, w.curve.power));
    let mut blocks = vec![Block::Paragraph(words::WAYS_LEAD.into())];
    for (i, way) in lesson.ways.iter().enumerate() {
        blocks.push(Block::Heading(way_heading(installation, way)));
        let worked = &way.worked;
        blocks.push(Block::Paragraph(words::way_result(
            worked.sum.watts,
            now.0,
            worked.curve.power,
            now.1,
        )));
        blocks.extend(breached(installation, worked, words::DO_NOT_BUILD));
        blocks.extend(without_headings(steps(installation, worked, Detail::Short)));
        blocks.extend(plot(installation, worked, &format!("plot-way-{}", i + 1)));
    }
    blocks
}

/// Which limits a wiring breaches, with both numbers; nothing where it breaches none.
fn breached(installation: &Installation, worked: &Worked, title: &str) -> Vec<Block> {
    if worked.is_sound() {
        return Vec::new();
    }
    let names = Names(installation);
    let limits = worked.breaches.iter().map(|check| finding(names, check));
    let unlike = worked.unlike_blocks.iter().map(|block| {
        let volts = block.members().iter().map(|k| installation.kind(*k).label.v_oc);
        let low = volts.clone().fold(Volts(f64::INFINITY), Volts::min);
        words::unlike_block(&names.element(block), low, volts.fold(Volts(0.0), Volts::max))
    });
    vec![Block::Warning(title.to_owned(), limits.chain(unlike).collect())]
}

/// The same without headings: those of the ways stand above.
fn without_headings(blocks: Vec<Block>) -> impl Iterator<Item = Block> {
    blocks.into_iter().filter(|block| !matches!(block, Block::Heading(_)))
}

fn way_heading(installation: &Installation, way: &WayWorked) -> String {
    let names = Names(installation);
    let id = names.kind(way.kind);
    match way.way {
        Way::Beside => words::way_beside(id),
        Way::AtEnd => words::way_at_end(id),
        Way::Across => {
            let first = &way.worked.sum.strings[0].elements[0].element;
            // The spare is one of its members; the other is what stood there.
            let stood = first.members().iter().find(|k| **k != way.kind).unwrap_or(&way.kind);
            words::way_across(id, names.kind(*stood))
        }
    }
}

fn best(installation: &Installation, advice: &Advice, lesson: &Lesson) -> Vec<Block> {
    let Some(plan) = advice.best.map(|b| &advice.plans[b]) else {
        return vec![Block::Paragraph(words::NO_PLAN.into())];
    };
    let Some(worked) = &lesson.best else {
        return vec![Block::Paragraph(words::NO_BETTER.into())];
    };
    let page = Page::of(installation, advice);
    let bound = page.scale.watts(plan.bound.watts);
    let proof = common::proof(plan.bound, Rule::Curve, &bound);
    let added = page.scale.difference(advice.today.watts(), plan.state.watts());
    let added = format!("{}{GLUE}W", page.scale.signed(added));
    let mut blocks = vec![Block::Paragraph(words::best_lead(&added, &proof))];
    blocks.extend(steps(installation, worked, Detail::Full));
    blocks.extend(plot(installation, worked, "plot-best"));
    blocks
}

/// Each run of cable: volts and watts lost; empty without runs.
fn cable(installation: &Installation, state: &State) -> Vec<Block> {
    let points: Vec<String> = cables(installation, state)
        .iter()
        .filter_map(|cable| {
            let (loss, size) = (cable.loss?, cable.cross_section()?);
            let place = Names(installation).in_place(cable.run.at, None);
            let run = format!("{}{place}", parts::run(cable.run.part));
            Some(words::cable_line(&run, &parts::length(cable), &size.name(), &loss))
        })
        .collect();
    if points.is_empty() {
        return Vec::new();
    }
    vec![Block::Paragraph(words::CABLE_READ.into()), Block::List(points)]
}
