//! What joints buy, in words: the curve from today's wiring to the best plan, a row for each plan.

use super::layout::GLUE;
use super::numbers::{WattScale, plain};
use super::words::counted;
use crate::plan::{Advice, JointCurve, JointPoint};
use crate::units::Watts;

/// Heads of the columns, beside the mark of the chosen plan.
pub(super) const HEADS: [&str; 5] =
    ["joints", "watts", "added", "per joint more", "best where a joint must bring"];

/// A longer curve is shown by the plans that are the best at some worth of a joint.
const MOST_ROWS: usize = 12;

/// One plan of the curve.
pub(super) struct JointRow {
    /// Is it the best plan of the answer?
    pub(super) chosen: bool,
    /// One cell for each of [`HEADS`].
    pub(super) cells: [String; 5],
}

/// The curve as rows, from fewest joints.
pub(super) fn rows(advice: &Advice, curve: &JointCurve, scale: WattScale) -> Vec<JointRow> {
    let shown = shown(curve);
    let befores = std::iter::once(None).chain(shown.iter().map(|(_, point)| Some(*point)));
    let row = |((k, point), before): (&(usize, &JointPoint), Option<&JointPoint>)| {
        let watts = point.plan.state.watts();
        let proof = if point.plan.bound.proven { "" } else { " (best found)" };
        JointRow {
            chosen: curve.chosen == Some(*k),
            cells: [
                point.joints().total().to_string(),
                scale.bare(watts),
                scale.signed(scale.difference(advice.today.watts(), watts)),
                before.map_or_else(|| "-".to_owned(), |b| per_joint(b, point)),
                worths(point) + proof,
            ],
        }
    };
    shown.iter().zip(befores).map(row).collect()
}

/// The plans that are shown, with their places in the curve.
fn shown(curve: &JointCurve) -> Vec<(usize, &JointPoint)> {
    let whole = curve.points.len() <= MOST_ROWS;
    let ends = [Some(0), curve.points.len().checked_sub(1), curve.chosen];
    let points = curve.points.iter().enumerate();
    points.filter(|(k, p)| whole || p.worths.is_some() || ends.contains(&Some(*k))).collect()
}

/// How the rows are to be read.
pub(super) fn reading(advice: &Advice, curve: &JointCurve) -> Vec<String> {
    let mut lines = vec![
        "Joints are those opened and made; what a joint must bring is held against watts less each \
         panel's threshold. Plans within 0.1 % of each other count as one, the one with fewest joints."
            .to_owned(),
    ];
    let hidden = curve.points.len() - shown(curve).len();
    if hidden > 0 {
        lines.push(format!(
            "{} between these that are the best at no worth of a joint.",
            counted(hidden, "more plan stands", "more plans stand")
        ));
    }
    if curve.points.iter().any(|p| !p.plan.bound.proven) {
        lines.push(
            "Best found: the search ended before it was proven that nothing better takes as few \
             joints."
                .to_owned(),
        );
    }
    if advice.best.is_some() && curve.chosen.is_none() {
        lines.push(
            "The best plan is not among them: it has fewer panels than one that gives as much for \
             fewer joints."
                .to_owned(),
        );
    }
    if !curve.complete {
        lines.push(
            "The search ended at its limit: with fewer joints than these there may be more plans."
                .to_owned(),
        );
    }
    lines
}

/// Watts more for each joint more.
fn per_joint(before: &JointPoint, point: &JointPoint) -> String {
    let joints = point.joints().total().saturating_sub(before.joints().total());
    let watts = point.plan.state.watts() - before.plan.state.watts();
    format!("{}{GLUE}W", plain(watts.watts() / joints.max(1) as f64, 1))
}

/// Between which worths of a joint a plan is the best.
fn worths(point: &JointPoint) -> String {
    let shown = |w: Watts| plain(w.watts(), 1);
    let watts = |w: Watts| format!("{}{GLUE}W", shown(w));
    match point.worths {
        Some(range) => match (range.from, range.to) {
            (Watts(0.0), None) => "anything".to_owned(),
            (Watts(0.0), Some(to)) => format!("up to {}", watts(to)),
            (from, None) => format!("more than {}", watts(from)),
            (from, Some(to)) => format!("{} to {}", shown(from), watts(to)),
        },
        None => "nowhere: the plans beside it bring more a joint".to_owned(),
    }
}
