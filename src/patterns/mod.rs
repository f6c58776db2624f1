//! Candidate strings for one input, and why others were turned down.
//!
//! Limits that belong to one string alone (cold voltage, system voltage, hot window, start voltage)
//! filter candidates here; limits that add up or depend on the whole array are left to the solver,
//! with the figures it needs for them. `plan/` judges finished plans by code of its own, so that an
//! error here cannot pass unnoticed.

mod bench;
mod elements;
mod enumerate;
mod extend;
mod menu;
mod pattern;
mod screen;
mod shelf;
mod stock;

pub use bench::{Bench, series_current};
pub use enumerate::{PatternSet, free_patterns};
pub use extend::extended_patterns;
pub use menu::{Dish, Menu, Miss, Misses, Order, Part};
pub use pattern::{Arithmetic, Pattern, base_pattern, describe_pattern};
pub use screen::{NearMiss, Obstacle, Screening, keeps_own_limits};
pub use shelf::Shelf;
pub use stock::Stock;

/// Voltages of a block's members may differ by this share of the highest.
pub const BLOCK_VOLTAGE_SPREAD: f64 = 0.15;
