//! What is asked: the question, and the limits that can be moved without listing candidates again.

use super::charging::left_for;
use super::columns::installed_array;
use super::season::Season;
use crate::model::{Controller, Installation, KindIdx, PanelLimit};
use crate::patterns::{Arithmetic, Bench};
use crate::plan::Touch;

/// A spare controller is given at most so much of its output in label watts: panels in the sun are
/// warm and seldom give more than some 80 % of their labels (common practice, no source).
const MOST_OF_OUTPUT: f64 = 1.25;

/// What one question asks beyond the site file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Question<'q> {
    pub touch: Touch,
    pub arithmetic: Arithmetic,
    /// Least watts that a panel must bring to be worth its place.
    pub threshold_watts: f64,
    /// The same as a share of its label.
    pub threshold_share: f64,
    /// The part of the year whose energy is sought; `None`: watts at full sun.
    pub season: Option<&'q Season>,
}

/// Panels of some kinds, counted together: those of one label.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Together {
    pub kinds: Vec<KindIdx>,
    pub count: usize,
}

/// The limits that add up over an input: what can be changed without listing candidates again.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Terms {
    /// Spares of each kind.
    pub spares: Vec<usize>,
    /// Places on the combiner.
    pub ports: usize,
    /// Short-circuit current the input may see, before its factor. \[A\]
    pub current: Option<f64>,
    /// Label watts the input may see. \[W\]
    pub power: Option<f64>,
    /// At least so many panels of a label must be wired.
    pub forced: Option<Together>,
    /// At most so many panels of a label may be wired.
    pub capped: Option<Together>,
    /// What a panel of each kind costs besides its charge; none where nothing is shared. \[W\]
    pub prices: Vec<f64>,
    /// What charging current costs, and between what it must lie; `None` where the battery is no
    /// matter.
    pub charging: Option<Charging>,
    /// What label watts cost beyond what the output passes, and that there are so many at least.
    pub beyond: Option<Beyond>,
    /// Rows over the panels wired, own and spare.
    pub counted: Vec<CountRow>,
}

/// What an input may push into the battery, its controller's own limit aside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Charging {
    /// Cost of each ampere. \[W/A\]
    pub price: f64,
    /// \[A\]
    pub least: f64,
    /// \[A\]
    pub most: f64,
}

/// At least so many label watts, each at a cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Beyond {
    /// Cost of each label watt.
    pub price: f64,
    /// \[W\]
    pub least: f64,
}

impl Charging {
    /// Free, and no more than this.
    pub(super) fn at_most(most: f64) -> Self {
        Self { price: 0.0, least: f64::NEG_INFINITY, most }
    }
}

/// `Σ coefficient·panels of a kind ≤ most`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CountRow {
    /// One a kind.
    pub coefficients: Vec<f64>,
    pub most: f64,
}

impl CountRow {
    /// What some panels use of the row.
    pub(super) fn used(&self, counts: &[usize]) -> f64 {
        self.coefficients.iter().zip(counts).map(|(a, n)| a * *n as f64).sum()
    }

    /// Rows that hold what is used between two figures; infinity leaves a side open.
    pub(super) fn within(&self, least: f64, most: f64) -> impl Iterator<Item = Self> {
        let above =
            most.is_finite().then(|| Self { coefficients: self.coefficients.clone(), most });
        let below = least.is_finite().then(|| Self {
            coefficients: self.coefficients.iter().map(|a| -a).collect(),
            most: -least,
        });
        above.into_iter().chain(below)
    }
}

/// Most label watts on an input: what the maker allows, and on a spare controller what its output is
/// for. \[W\]
fn most_label_watts(controller: &Controller) -> Option<f64> {
    let stated = controller.max_pv_power.map(|limit| limit.watts());
    let useful = controller
        .clip_limit()
        .filter(|_| controller.spare.is_some())
        .map(|output| MOST_OF_OUTPUT * output.watts());
    stated.into_iter().chain(useful).reduce(f64::min)
}

/// The rows of what kinds share: spares that may go on one of several planes, room on a plane.
pub(super) fn shared_rows(installation: &Installation, installed: &[usize]) -> Vec<CountRow> {
    let row = |limit: PanelLimit| {
        let mut coefficients = vec![0.0; installed.len()];
        limit.kinds.iter().for_each(|k| coefficients[k.0] = 1.0);
        CountRow { coefficients, most: limit.most as f64 }
    };
    installation.panel_limits(installed).into_iter().map(row).collect()
}

/// Spares of each kind.
pub(super) fn spares_of(installation: &Installation) -> Vec<usize> {
    (0..installation.kinds.len()).map(|k| installation.n_spare(KindIdx(k))).collect()
}

impl Terms {
    /// Lets a panel pay for what it uses of a row, besides its price so far.
    pub(super) fn pay(&mut self, row: &CountRow, price: f64) {
        self.prices.iter_mut().zip(&row.coefficients).for_each(|(p, a)| *p += price * a);
    }

    /// As the site file has them.
    pub(super) fn of(bench: &Bench) -> Self {
        let installation = bench.installation;
        let controller = bench.controller();
        let factor = installation.site.isc_factor;
        Self {
            spares: spares_of(installation),
            ports: controller.string_ports,
            current: controller.max_pv_current.map(|limit| limit.amps() / factor),
            power: most_label_watts(controller),
            charging: left_for(installation, bench.at),
            beyond: None,
            forced: None,
            capped: None,
            prices: Vec::new(),
            counted: shared_rows(installation, &installed_counts(bench)),
        }
    }

    /// What some panels cost besides their charges.
    pub(super) fn price_of(&self, counts: &[usize]) -> f64 {
        self.prices.iter().zip(counts).map(|(y, n)| y * *n as f64).sum()
    }

    /// The same with another number of the spares that a kind is among.
    pub(super) fn with_spares(&self, bench: &Bench, kind: KindIdx, count: usize) -> Self {
        let changed = bench.installation.with_spares(kind, count);
        Self {
            spares: spares_of(&changed),
            counted: shared_rows(&changed, &installed_counts(bench)),
            ..self.clone()
        }
    }

    /// The same with at least so many panels of one label wired.
    pub(super) fn forcing(&self, bench: &Bench, kind: KindIdx, at_least: usize) -> Self {
        let kinds = bench.installation.same_label(kind);
        Self { forced: Some(Together { kinds, count: at_least }), ..self.clone() }
    }

    /// The same with at most so many panels of one label wired.
    pub(super) fn capping(&self, bench: &Bench, kind: KindIdx, at_most: usize) -> Self {
        let kinds = bench.installation.same_label(kind);
        Self { capped: Some(Together { kinds, count: at_most }), ..self.clone() }
    }
}

/// Panels of each kind on the input that is planned.
fn installed_counts(bench: &Bench) -> Vec<usize> {
    installed_array(bench).count_by_kind(bench.installation.kinds.len())
}

impl Question<'_> {
    /// Value that a panel of a kind is charged for its place: watts, or the same share of what it
    /// brings by itself over the season.
    pub(super) fn charge(&self, bench: &Bench, kind: usize) -> f64 {
        let label = bench.installation.kinds[kind].label.p_mp.watts();
        let watts = self.threshold_watts.max(self.threshold_share * label);
        self.season.map_or(watts, |season| watts * season.own(kind))
    }

    /// Value of a panel of a kind by itself, which no wiring passes.
    pub(super) fn own_value(&self, bench: &Bench, kind: usize) -> f64 {
        match self.season {
            None => bench.most_watts(KindIdx(kind)),
            Some(season) => {
                bench.installation.kinds[kind].label.p_mp.watts() * season.own_most(kind)
            }
        }
    }

    /// The same for a whole set of panels.
    pub(super) fn charge_of(&self, bench: &Bench, counts: &[usize]) -> f64 {
        counts.iter().enumerate().map(|(k, n)| self.charge(bench, k) * *n as f64).sum()
    }
}
