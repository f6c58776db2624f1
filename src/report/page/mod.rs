//! The report: what is said, as blocks, once for every form it is written in.
//!
//! A section is a heading with blocks; `html` and `markdown` only set them. Nothing here knows how a
//! block looks.

mod blocks;
mod markdown;
mod parts;
mod sheet;
mod steps;
mod terminals;

use super::layout::GLUE;
use super::names::Names;
use super::numbers::WattScale;
use crate::model::Installation;
use crate::plan::{self, Advice, Method};
use blocks::{Block, Section};

/// In which form a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReportForm {
    /// One file for a browser and for paper.
    Html,
    /// Text for letters and wikis.
    Markdown,
}

/// The whole report on the best plan; `method` says how it is carried out, where there is one.
#[must_use]
pub fn report(
    installation: &Installation,
    advice: &Advice,
    method: Option<&Method>,
    form: ReportForm,
) -> String {
    let sections = sections(installation, advice, method);
    match form {
        ReportForm::Html | ReportForm::Markdown => markdown::written(&advice.site, &sections),
    }
}

fn sections(installation: &Installation, advice: &Advice, method: Option<&Method>) -> Vec<Section> {
    let names = Names(installation);
    let scale = WattScale::for_label(advice.today.label());
    let now =
        format!("{}{GLUE}now: {}", names.input(advice.planned), scale.watts(advice.today.watts()));
    let mut sections =
        vec![Section { id: "answer", title: "Answer".into(), blocks: vec![Block::Paragraph(now)] }];
    if let Some(method) = method {
        let title = "Steps".into();
        sections.push(Section { id: "steps", title, blocks: steps::steps(names, method) });
        let title = "Shopping list".into();
        let list = plan::parts(installation, advice);
        let blocks = parts::shopping(installation, advice, &list);
        sections.push(Section { id: "parts", title, blocks });
        let title = "Test sheet".into();
        sections.push(Section { id: "tests", title, blocks: sheet::test_sheet(names, method) });
    }
    sections
}
