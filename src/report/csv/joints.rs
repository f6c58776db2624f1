//! What joints buy, as rows.

use super::Rows;
use super::row::Row;
use crate::plan::Advice;
use crate::report::figures::watts;

impl Rows<'_> {
    /// One row for each plan of the curve of watts against joints, where a joint's worth was asked for.
    pub(super) fn joint_curve(&mut self, advice: &Advice) {
        let Some(curve) = advice.joint_curve.as_ref().filter(|_| advice.joint_worth.is_some())
        else {
            return;
        };
        for (k, point) in curve.points.iter().enumerate() {
            let row = Row {
                record: "joint_curve",
                verdict: if curve.chosen == Some(k) { "best" } else { "" },
                value: point.worths.and_then(|w| watts(w.from)),
                limit: point.worths.and_then(|w| w.to).and_then(watts),
                unit: "W",
                ..self.plan(point.plan.touch.name(), &point.plan)
            };
            self.rows.push(row);
        }
    }
}
