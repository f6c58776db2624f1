//! How weak one more panel may be: a table, and the two curves of it.

use super::words;
use crate::model::Installation;
use crate::plan::BreakEvenChart;
use crate::report::drawing;
use crate::report::names::Names;
use crate::report::numbers::fixed;
use crate::report::page::blocks::{Block, Setting};
use crate::report::page::table;

/// The group for which the amps and volts stand in a sentence.
const EXAMPLE: usize = 3;

/// Table and drawing.
pub(super) fn blocks(installation: &Installation, chart: &BreakEvenChart) -> Vec<Block> {
    let id = Names(installation).kind(chart.kind);
    let label = &installation.kind(chart.kind).label;
    let share = |x: f64| fixed(x, 2);
    let rows = chart
        .rows
        .iter()
        .map(|row| {
            let (series, parallel) = (row.in_series, row.in_parallel);
            vec![
                row.n_panels.to_string(),
                share(series.by_rule),
                share(series.by_curve),
                words::ca(label.i_mp * series.by_curve),
                share(parallel.by_rule),
                share(parallel.by_curve),
                words::cv(label.v_mp * parallel.by_curve),
            ]
        })
        .collect();
    let heads = words::CHART_HEADS.map(|head| (head, Setting::Figures));
    let mut blocks = vec![Block::Paragraph(words::CHART_READ.into())];
    blocks.push(table(words::chart_caption(id), &heads, rows));
    if let Some(row) = chart.rows.get(EXAMPLE - 1) {
        let amps = label.i_mp * row.in_series.by_curve;
        let volts = label.v_mp * row.in_parallel.by_curve;
        blocks.push(Block::Paragraph(words::chart_example(EXAMPLE, id, amps, volts)));
    }
    blocks.push(Block::Figure(drawing::break_even(id, chart)));
    blocks
}
