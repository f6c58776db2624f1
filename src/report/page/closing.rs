//! What the report rests on: cautions, assumptions, how the answer was found, the input.

use super::blocks::{BLANK, Block, Setting};
use super::{SiteFile, Subject, headed, table};
use crate::plan::{Advice, Bound, Rule, TouchAnswer};
use crate::report::numbers::fixed;
use crate::report::words;

/// The objective, in order, as docs/optimiser.md has it.
const OBJECTIVE: &str = "Among the wirings that keep every limit: most watts at full sun less a \
                         small charge for each panel wired, so that none is wired that does not \
                         bring more than its charge; where two are within 0.1 % of each other, \
                         fewest panels, then fewest joints.";
const BY_CURVES: &str = "Watts come from the panels' curves, fitted to their labels.";
const BY_THUMB: &str = "The plans were chosen by the rule of thumb; watts come from the panels' \
                        curves, fitted to their labels.";
/// What a site with spare controllers must know besides.
const CONTROLLERS: &str = "A spare controller is charged for, too (--controller-watts), beside its \
                           panels; label watts beyond what an output passes count half; a spare \
                           controller is given at most 1.25 times its output in label watts; of one \
                           sort at most four are weighed.";
/// What this is and is not.
const CALCULATION: &str = "This is a calculation, not an inspection: it knows nothing of shade, \
                           dirt, wear or the state of a connector.";

/// All cautions that apply.
pub(super) fn care(advice: &Advice) -> Vec<Block> {
    let cautions: Vec<String> = advice.cautions.iter().map(|&c| c.to_owned()).collect();
    if cautions.is_empty() { Vec::new() } else { vec![Block::List(cautions)] }
}

/// What must be found out, and what was taken for granted meanwhile.
pub(super) fn ask(advice: &Advice) -> Vec<Block> {
    let listed = |heading: &str, texts: &[String]| match texts {
        [] => Vec::new(),
        texts => vec![Block::Heading(heading.into()), Block::List(texts.to_vec())],
    };
    [listed("Ask", &advice.ask), listed("Assumed", &advice.assumed)].concat()
}

/// The objective, what is proven, how the search was bounded.
pub(super) fn proof(subject: Subject<'_>) -> Vec<Block> {
    let by = match subject.advice.rule {
        Rule::Curve => BY_CURVES,
        Rule::Nameplate => BY_THUMB,
    };
    let mut blocks = vec![Block::Paragraph(format!("{OBJECTIVE} {by}"))];
    if !subject.advice.controllers.is_empty() {
        blocks.push(Block::Paragraph(CONTROLLERS.into()));
    }
    blocks.extend(bounds(subject));
    blocks.extend(headed("Notes", subject.advice.notes.clone()));
    blocks.push(Block::Paragraph(CALCULATION.into()));
    blocks
}

/// How far each plan lies below what is possible.
fn bounds(subject: Subject<'_>) -> Option<Block> {
    let advice = subject.advice;
    let rows: Vec<Vec<String>> = advice
        .levels
        .iter()
        .filter_map(|(touch, answer)| match answer {
            TouchAnswer::Plan(idx) => Some((touch, &advice.plans[*idx])),
            _ => None,
        })
        .map(|(touch, plan)| {
            vec![
                words::touch(*touch).to_owned(),
                subject.page.scale.watts(plan.state.watts()),
                subject.page.scale.watts(plan.bound.watts),
                gap(plan.bound),
            ]
        })
        .collect();
    let columns = [
        ("Plan", Setting::Words),
        ("Gives", Setting::Figures),
        ("No wiring gives more than", Setting::Figures),
        ("Gap", Setting::Figures),
    ];
    (!rows.is_empty()).then(|| table("What is proven", &columns, rows))
}

/// Rounded up, so that the proof never claims more than it has.
fn gap(bound: Bound) -> String {
    let percent = (bound.gap * 1e4 - 1e-9).ceil() / 100.0;
    format!("{} %", fixed(percent, 2))
}

/// The site file word for word, the version, and blanks for who used it.
pub(in crate::report) fn input(file: SiteFile<'_>) -> Vec<Block> {
    let name = if file.name == "-" { "standard input" } else { file.name };
    let version = env!("CARGO_PKG_VERSION");
    let columns =
        [("Done by", Setting::Words), ("Date", Setting::Words), ("Signature", Setting::Words)];
    vec![
        Block::Paragraph(format!("Read from {name} by sungraft {version}.")),
        Block::Verbatim(file.text.replace("\r\n", "\n")),
        table("For the record", &columns, vec![vec![BLANK.to_owned(); 3]]),
    ]
}
