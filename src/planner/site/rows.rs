//! What inputs share: panels, the battery, and the order in which a spare controller's inputs are used.

use crate::model::{ArrayWiring, KindIdx};
use crate::planner::terms::CountRow;
use crate::solve::master::{Measure, SharedRow};

use super::inputs::{Input, Met};

/// What the inputs draw on together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stock {
    /// Panels of each kind: installed on any of the inputs, and spares.
    pub panels: Vec<usize>,
    /// What kinds share: spares that may go on one of several planes, room on a plane.
    pub shared: Vec<CountRow>,
    /// At least so many of a kind must be wired.
    pub forced: Option<(KindIdx, usize)>,
    /// At most so many panels in all.
    pub most: Option<usize>,
    /// What the battery takes from the controllers whose inputs are planned. \[A\]
    pub battery: Option<f64>,
    /// Controllers that may not be used.
    pub closed: Vec<usize>,
    /// A controller that must be used.
    pub must: Option<usize>,
}

/// What a shared row counts.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Counted {
    /// Panels.
    Panels(CountRow),
    /// Current into the battery. \[A\]
    Battery,
    /// Of a spare controller with several inputs one is used only if the one before it is: the places
    /// of the two among the inputs. All are alike, so that nothing is lost.
    Follows { first: usize, next: usize },
}

/// A row over all inputs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SiteRow {
    pub shared: SharedRow,
    pub counted: Counted,
}

impl Stock {
    pub(super) fn of(panels: Vec<usize>) -> Self {
        let (forced, most, battery, closed, must) = (None, None, None, Vec::new(), None);
        Self { panels, shared: Vec::new(), forced, most, battery, closed, must }
    }

    /// Do wirings keep what kinds share?
    pub(super) fn allows(&self, arrays: &[ArrayWiring]) -> bool {
        let mut counts = vec![0; self.panels.len()];
        arrays.iter().flat_map(ArrayWiring::panels).for_each(|k| counts[k.0] += 1);
        self.keeps_shared(&counts)
    }

    /// Do so many panels of each kind?
    pub(super) fn keeps_shared(&self, counts: &[usize]) -> bool {
        self.shared.iter().all(|row| row.used(counts) <= row.most + 1e-9)
    }

    /// The rows of panels come first, in order of their kinds; the battery takes so much.
    pub(super) fn rows(&self, battery: Option<f64>, inputs: &[Input]) -> Vec<SiteRow> {
        let n_kinds = self.panels.len();
        let only = |kind: usize, a: f64| {
            let mut coefficients = vec![0.0; n_kinds];
            coefficients[kind] = a;
            coefficients
        };
        let panels = |name, coefficients, most: f64| SiteRow {
            shared: SharedRow { name, limit: most, measure: Measure::Whole },
            counted: Counted::Panels(CountRow { coefficients, most }),
        };
        let stock = self.panels.iter().enumerate();
        let mut rows: Vec<SiteRow> =
            stock.map(|(k, n)| panels("stock", only(k, 1.0), *n as f64)).collect();
        let shared = self.shared.iter();
        rows.extend(shared.map(|row| panels("panels shared", row.coefficients.clone(), row.most)));
        if let Some((kind, n)) = self.forced {
            rows.push(panels("must be wired", only(kind.0, -1.0), -(n as f64)));
        }
        if let Some(most) = self.most {
            rows.push(panels("fewer panels", vec![1.0; n_kinds], most as f64));
        }
        rows.extend(battery.map(|limit| SiteRow {
            shared: SharedRow { name: "battery_charge", limit, measure: Measure::Any },
            counted: Counted::Battery,
        }));
        for (next, input) in inputs.iter().enumerate() {
            if let Some(first) = input.after {
                let shared =
                    SharedRow { name: "first input first", limit: 0.0, measure: Measure::Whole };
                rows.push(SiteRow { shared, counted: Counted::Follows { first, next } });
            }
        }
        rows
    }
}

impl SiteRow {
    /// What a choice of an input uses of the row.
    pub(super) fn used(&self, input: &Input, met: &Met) -> f64 {
        match &self.counted {
            Counted::Panels(row) => row.used(&met.counts),
            Counted::Battery => input.push.map_or(0.0, |most| met.pushed.min(most)),
            Counted::Follows { .. } if met.choice.is_empty() => 0.0,
            Counted::Follows { .. } => self.sign(input.place),
        }
    }

    /// What an input uses of a row on which inputs are used, if it is used.
    pub(super) fn sign(&self, place: usize) -> f64 {
        match self.counted {
            Counted::Follows { first, .. } if first == place => -1.0,
            Counted::Follows { next, .. } if next == place => 1.0,
            _ => 0.0,
        }
    }
}
