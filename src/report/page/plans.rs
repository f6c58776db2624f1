//! The plans side by side: what more disturbance brings.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::plan::{Advice, Rule};
use crate::report::drawing::{self, TradePoint};
use crate::report::table::plans;

/// Where the mark of the best stands in the rows.
const MARK: usize = 0;
/// Where the watts behind the output limit stand; left out where nothing clips.
const PASSED: usize = 2;

/// One row for each level of disturbance.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let mut columns = vec![
        ("Plan", Setting::Words),
        ("Watts", Setting::Figures),
        ("Passed on", Setting::Figures),
        ("Added", Setting::Figures),
        ("Used", Setting::Figures),
        ("Joints opened", Setting::Figures),
        ("Joints made", Setting::Figures),
        ("Proof", Setting::Words),
    ];
    let mut rows = plans::rows(subject.page, subject.advice);
    for row in &mut rows {
        let mark = row.remove(MARK);
        if !mark.is_empty() {
            row[0].push_str(" (best)");
        }
    }
    if !plans::clips(subject.advice) {
        columns.remove(PASSED);
        for row in &mut rows {
            row.remove(PASSED);
        }
    }
    let table = table("Plans, by how much they disturb", &columns, rows);
    let drawn = drawing::trade_off(&points(subject.advice)).map(Block::Figure);
    [Block::Paragraph(read(subject)), table].into_iter().chain(drawn).collect()
}

/// Today and every plan that is wired otherwise.
fn points(advice: &Advice) -> Vec<TradePoint> {
    let best = advice.best.map(|b| &advice.plans[b]);
    let today = TradePoint {
        joints: 0,
        watts: advice.today.watts(),
        chosen: best.is_some_and(|plan| !plan.changes_wiring()),
    };
    let plans = advice.plans.iter().enumerate().filter(|(_, plan)| plan.changes_wiring());
    let plans = plans.map(|(i, plan)| TradePoint {
        joints: plan.joints.opened + plan.joints.made,
        watts: plan.state.watts(),
        chosen: advice.best == Some(i),
    });
    std::iter::once(today).chain(plans).collect()
}

fn read(subject: Subject<'_>) -> String {
    let chosen = match subject.advice.rule {
        Rule::Curve => "",
        Rule::Nameplate => " The plans were chosen by the rule of thumb.",
    };
    format!(
        "Watts of the whole site at full sun, from the panels' curves. Used: share of the label \
         watts of the panels wired. A joint is a connection between panels, or of a string to the \
         combiner.{chosen}"
    )
}
