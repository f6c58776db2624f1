//! Drawings of lessons: rule and curve on one plot, how weak a panel may be, schemes to label.

mod plot;
mod scheme;
mod weak;

pub(super) use plot::rule_and_curve;
pub use scheme::Filled;
pub(super) use scheme::scheme;
pub(super) use weak::break_even;
