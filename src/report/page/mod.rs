//! The report: what is said, as blocks, once for every form it is written in.
//!
//! A section is a heading with blocks; `html` and `markdown` only set them. Nothing here knows how a
//! block looks. What the page for the terminal says, too, is taken from `table`, so that both agree.

pub(in crate::report) mod blocks;
mod closing;
mod controllers;
mod curves;
mod energy;
mod html;
mod joints;
mod limits;
mod markdown;
mod money;
mod owner;
mod parts;
mod plans;
mod sheet;
mod spares;
mod steps;
mod terminals;
mod text;
mod wiring;

pub(super) use closing::input as input_as_used;
pub(in crate::report) use html::escaped;
pub(super) use limits::of_state_alone as limits_of;
pub(super) use parts::shopping;
pub(super) use sheet::test_sheet as sheet_of;
pub(super) use steps::steps as steps_of;

use super::layout::is_unprintable;
use super::planes;
use super::table::{self, Page};
use crate::model::Installation;
use crate::plan::{self, Advice, Method, Plan, State};
use blocks::{Block, Section, Setting, Table, TableColumn};

/// In which form a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReportForm {
    /// One file for a browser and for paper.
    Html,
    /// Text for letters and wikis.
    Markdown,
    /// Text for the terminal, at most 100 columns wide.
    Text,
}

/// The site file that was read, for the record.
#[derive(Debug, Clone, Copy)]
pub struct SiteFile<'a> {
    /// Its name as a person knows it.
    pub name: &'a str,
    /// Its whole text.
    pub text: &'a str,
}

/// The whole report on the best plan, or on why there is none; `method` says how it is carried out,
/// where there is one.
#[must_use]
pub fn report(
    installation: &Installation,
    advice: &Advice,
    method: Option<&Method>,
    file: SiteFile<'_>,
    form: ReportForm,
) -> String {
    let installation = &advice.installation_in_use(installation);
    let page = Page::of(installation, advice);
    let best = advice.best.map(|b| &advice.plans[b]);
    let subject = Subject { page, advice, method, best };
    let document = Document {
        title: &advice.site,
        about: "which spare panels to add, and how",
        beneath: [
            Some(table::climate(advice.coldest, advice.hottest)),
            Some(table::size(page)),
            table::planned_here(page, advice),
            planes::full_sun(page.names),
        ]
        .into_iter()
        .flatten()
        .collect(),
        sections: sections(subject, file),
    };
    written(&document, form)
}

/// A document in one form.
pub(super) fn written(document: &Document<'_>, form: ReportForm) -> String {
    let text = match form {
        ReportForm::Html => html::written(document),
        ReportForm::Markdown => markdown::written(document),
        ReportForm::Text => text::written(document),
    };
    // Names come from files that others wrote; controls would break the file or turn its text round.
    let keep = |c: char| c == '\n' || c == '\t' || !is_unprintable(c);
    text.chars().map(|c| if keep(c) { c } else { char::REPLACEMENT_CHARACTER }).collect()
}

/// What every section needs.
#[derive(Debug, Clone, Copy)]
struct Subject<'a> {
    page: Page<'a>,
    advice: &'a Advice,
    method: Option<&'a Method>,
    /// The best plan, if there is any.
    best: Option<&'a Plan>,
}

impl<'a> Subject<'a> {
    /// The best plan, if it changes anything.
    fn change(self) -> Option<&'a Plan> {
        self.best.filter(|plan| plan.changes_wiring())
    }

    /// The wiring that the report is about: the plan's, or today's.
    fn state(self) -> &'a State {
        self.best.map_or(&self.advice.today, |plan| &plan.state)
    }

    /// What that wiring is called.
    fn called(self) -> &'static str {
        if self.change().is_some() { "the planned wiring" } else { "today's wiring" }
    }
}

/// A report before it is set.
#[derive(Debug)]
pub(super) struct Document<'a> {
    pub(super) title: &'a str,
    /// What it is about, for the title of a window.
    pub(super) about: &'static str,
    /// What stands under the title.
    pub(super) beneath: Vec<String>,
    pub(super) sections: Vec<Section>,
}

/// In the order in which they are needed; what has nothing to say is left out.
fn sections(subject: Subject<'_>, file: SiteFile<'_>) -> Vec<Section> {
    let names = subject.page.names;
    let steps = subject.method.map(|m| steps::steps(names, m)).unwrap_or_default();
    let (installation, advice) = (names.0, subject.advice);
    let list = plan::parts(installation, advice);
    let buys = (subject.change().is_some() || !installation.runs.is_empty())
        .then(|| parts::shopping(installation, advice, &list));
    let tests = subject.method.map(|m| sheet::test_sheet(names, m)).unwrap_or_default();
    let all = [
        ("answer", "Answer", owner::blocks(subject, &list)),
        ("wiring", "Wiring", wiring::blocks(subject)),
        ("limits", "Limits", limits::blocks(subject)),
        ("plans", "Plans compared", plans::blocks(subject)),
        ("joints", "Watts for joints", joints::blocks(subject)),
        ("year", "A year of sun", energy::blocks(subject)),
        ("curves", "Curves, and the rule of thumb", curves::blocks(subject)),
        ("spares", "Spares", spares::blocks(subject)),
        ("controllers", controllers::title(advice), controllers::blocks(subject)),
        ("parts", "Shopping list", buys.unwrap_or_default()),
        ("money", "Money", money::blocks(subject)),
        ("care", "Take care", closing::care(subject.advice)),
        ("steps", "Steps", steps),
        ("tests", "Test sheet", tests),
        ("ask", "Ask, and what was assumed", closing::ask(subject.advice)),
        ("proof", "How the answer was found", closing::proof(subject)),
        ("input", "The input as used", closing::input(file)),
    ];
    all.into_iter()
        .filter(|(_, _, blocks)| !blocks.is_empty())
        .map(|(id, title, blocks)| Section { id: id.into(), title: title.into(), blocks })
        .collect()
}

/// A table from its heads and rows.
pub(super) fn table(
    caption: impl Into<String>,
    columns: &[(&str, Setting)],
    rows: Vec<Vec<String>>,
) -> Block {
    let columns = columns.iter().map(|&(head, setting)| TableColumn { head: head.into(), setting });
    Block::Table(Table { caption: caption.into(), columns: columns.collect(), rows })
}

/// Sentences under a small heading; nothing where there are none.
fn headed(heading: &str, sentences: Vec<String>) -> Vec<Block> {
    if sentences.is_empty() {
        return Vec::new();
    }
    let paragraphs = sentences.into_iter().map(Block::Paragraph);
    std::iter::once(Block::Heading(heading.into())).chain(paragraphs).collect()
}
