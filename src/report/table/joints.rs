//! What joints buy: the best watts for each number of joints.

use super::Page;
use crate::plan::Advice;
use crate::report::joints::{HEADS, reading, rows};
use crate::report::layout::{Column, lined_up, paragraph};
use crate::report::numbers::plain;

const COLUMNS: [Column; 6] = [
    Column::Left(1),
    Column::Right(6),
    Column::Right(9),
    Column::Right(9),
    Column::Right(14),
    Column::Rest,
];

/// The curve, where a joint's worth was asked for.
pub(super) fn block(page: Page<'_>, advice: &Advice) -> String {
    let (Some(worth), Some(curve)) = (advice.joint_worth, &advice.joint_curve) else {
        return String::new();
    };
    let title = format!(
        "Watts for joints (* the best plan where a joint must bring {} W)",
        plain(worth.watts(), 2)
    );
    let head = std::iter::once(String::new()).chain(HEADS.map(str::to_owned)).collect();
    let mut lines = vec![head];
    for row in rows(advice, curve, page.scale) {
        let mark = if row.chosen { "*" } else { "" };
        lines.push(std::iter::once(mark.to_owned()).chain(row.cells).collect());
    }
    let notes = reading(advice, curve);
    let notes = notes.iter().map(|line| paragraph(line, 2, 2)).collect::<String>();
    paragraph(&title, 0, 2) + &lined_up(0, &COLUMNS, &lines) + &notes
}
