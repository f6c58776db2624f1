//! What joints buy, as a section of the report.

use super::blocks::{Block, Setting};
use super::{Subject, table};
use crate::report::drawing::{self, TradePoint};
use crate::report::joints::{HEADS, reading, rows};

/// The section; empty where nothing was drawn, or where there is nothing to choose from.
pub(super) fn blocks(subject: Subject<'_>) -> Vec<Block> {
    let advice = subject.advice;
    let Some(curve) = advice.joint_curve.as_ref().filter(|c| c.points.len() > 1) else {
        return Vec::new();
    };
    let [joints, watts, added, per_joint, worths] = HEADS;
    let columns = [
        (joints, Setting::Figures),
        (watts, Setting::Figures),
        (added, Setting::Figures),
        (per_joint, Setting::Figures),
        (worths, Setting::Words),
    ];
    let rows = rows(advice, curve, subject.page.scale).into_iter().map(|row| {
        let mut cells = row.cells.to_vec();
        if row.chosen {
            cells[4] += " (this plan)";
        }
        cells
    });
    let caption = "The best watts for each number of joints";
    let notes = reading(advice, curve).into_iter().map(Block::Paragraph);
    let points = curve.points.iter().enumerate().map(|(k, point)| TradePoint {
        joints: point.joints().total(),
        watts: point.plan.state.watts(),
        chosen: curve.chosen == Some(k),
    });
    let drawn = drawing::trade_off(&points.collect::<Vec<_>>()).map(Block::Figure);
    let table = table(caption, &columns, rows.collect());
    std::iter::once(table).chain(notes).chain(drawn).collect()
}
