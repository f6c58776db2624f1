//! How weak one more panel may be before it adds nothing, beside one to ten equal ones.

use crate::electrical::{BreakEven, Catalog, Joined, break_even, stc};
use crate::model::KindIdx;

/// The largest group of equal panels that is shown.
pub const LARGEST_GROUP: usize = 10;

/// One line of the chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakEvenRow {
    /// Equal panels that are there already.
    pub n_panels: usize,
    /// In series with them, weaker in current: the lowest ratio of currents that still adds.
    pub in_series: BreakEven,
    /// In parallel to them, lower in voltage: the lowest ratio of voltages that still adds.
    pub in_parallel: BreakEven,
}

/// The chart of one kind, at full sun and without a window.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakEvenChart {
    /// Of which kind the equal panels are.
    pub kind: KindIdx,
    /// From one panel to [`LARGEST_GROUP`].
    pub rows: Vec<BreakEvenRow>,
}

/// Draws up the chart of one kind.
#[must_use]
pub fn break_even_chart(catalog: &Catalog, kind: KindIdx) -> BreakEvenChart {
    let of = |n, joined| break_even(catalog.model(kind), stc(), n, joined);
    let rows = (1..=LARGEST_GROUP).map(|n_panels| BreakEvenRow {
        n_panels,
        in_series: of(n_panels, Joined::InSeries),
        in_parallel: of(n_panels, Joined::InParallel),
    });
    BreakEvenChart { kind, rows: rows.collect() }
}
