//! What panels of one kind cost by their number.
//!
//! Of five panels two pairs can be made, not two and a half. So beside the row `Σ n ≤ 5` the master has
//! `Σ ⌊n/2⌋ ≤ 2`, and one for threes: they hold for every whole allocation and cut off many that are
//! not (V. Chvátal, Discrete Mathematics 4, 1973, doi:10.1016/0012-365X(73)90167-2). Their prices fall
//! on the pairs and threes that one site takes.

/// What panels of one kind cost by their number.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Tariff {
    /// Each panel.
    pub each: f64,
    /// Each two of them besides.
    pub pair: f64,
    /// Each three of them besides.
    pub three: f64,
}

impl Tariff {
    /// Cost of so many.
    pub(super) fn of(&self, n: usize) -> f64 {
        self.each * n as f64 + self.pair * (n / 2) as f64 + self.three * (n / 3) as f64
    }

    /// The same for panels that are asked for beside it, in another unit.
    pub(super) fn with(&self, asking: f64, unit: f64) -> Self {
        Self { each: (self.each + asking) / unit, pair: self.pair / unit, three: self.three / unit }
    }
}

/// Counts above this are shared out so finely that pairs and threes hardly matter.
const MOST_CUT: usize = 60;

/// Numbers of panels by which a count is cut: those that do not divide it.
pub(super) fn cuts(count: usize) -> impl Iterator<Item = usize> {
    let cut =
        move |size: &usize| count > *size && count <= MOST_CUT && !count.is_multiple_of(*size);
    [2, 3].into_iter().filter(cut)
}
