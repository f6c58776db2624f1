//! Many sites that draw on one stock: which configuration each takes, so that their values sum to
//! the most, with a proven bound.
//!
//! ```text
//! most of   Σ value(c_s)        c_s: the configuration that site s takes
//! such that Σ use_r(c_s) ≤ limit_r     for each shared row r
//! ```
//!
//! Nobody lists the configurations. A site is asked what is best for it *at given prices* of what it
//! shares ([`Sites::ask`]), and answers with configurations and with a bound on all that it has. At
//! any prices y ≥ 0 the sum of those bounds and Σ y_r·limit_r bounds the whole (J.-L. Lagrange's
//! relaxation; M.L. Fisher, Management Science 27(1), 1981, doi:10.1287/mnsc.27.1.1), however exact
//! the sites are. The prices come from a linear program over the configurations met so far (G.B.
//! Dantzig & P. Wolfe, Operations Research 8(1), 1960, doi:10.1287/opre.8.1.101); whole choices are
//! sought among those; where a small gap is left, the sites list all that could be part of something
//! better; and where that is too much, the search branches on how much of a row one site takes. Work is counted in questions asked, never in seconds.
//!
//! Architecture invariant: a site is a number here, and so is what it shares. Inputs of one site,
//! customers of one stock and phases of one upgrade are all the same.

mod around;
mod crowd;
mod dive;
mod lists;
mod node;
mod pool;
mod search;
mod shares;
#[cfg(test)]
mod tests;
mod whole;

pub use crowd::{Crowd, CrowdPace, CrowdStep, share_out_among_many};
pub use search::share_out;

use super::Watch;

/// What all sites draw on together: `Σ use ≤ limit`.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedRow {
    /// The rule.
    pub name: &'static str,
    /// Right-hand side; below zero it forces something, the uses then being below zero, too.
    pub limit: f64,
    /// In which steps a site takes of it.
    pub measure: Measure,
}

/// In which steps a site takes of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Whole numbers: the search may branch on them.
    Whole,
    /// Any amount.
    Any,
}

/// A configuration that a site could take.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// What it is worth, prices aside.
    pub value: f64,
    /// Row and amount, rows ascending, amounts not zero.
    pub uses: Vec<(usize, f64)>,
    /// The site's own name for it: of one site, the same tag is the same configuration.
    pub tag: usize,
}

/// Between these a site's use of a row must lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// The row.
    pub row: usize,
    /// Least use.
    pub least: f64,
    /// Most use.
    pub most: f64,
}

/// A question to one site.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Which site.
    pub site: usize,
    /// Price of each row.
    pub prices: Vec<f64>,
    /// Limits on what it may use, each row at most once, ascending. Those on rows of
    /// [`Measure::Any`] may be passed over: what is offered is held against the rows all the same.
    pub spans: Vec<Span>,
    /// Tags of configurations that it has offered and that are within these limits, the best at
    /// these prices first: a few.
    pub known: Vec<usize>,
    /// The site need not be more exact than this.
    pub tolerance: f64,
}

/// A site's answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Reply {
    /// Configurations within the limits, good ones at these prices. None: it found none.
    pub offers: Vec<Offer>,
    /// No configuration within the limits has `value − Σ price·use` above this; minus infinity if
    /// there is none.
    pub bound: f64,
}

/// What a site could use of the rows, and the most that it would bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// Row and amount, rows ascending, amounts not zero.
    pub uses: Vec<(usize, f64)>,
    /// No configuration with just this use has `value − Σ price·use` above this.
    pub most: f64,
}

/// The sites.
pub trait Sites {
    /// How many there are.
    fn count(&self) -> usize;
    /// Answers to questions, in order. They do not depend on each other.
    fn ask(&mut self, asks: &[Ask]) -> Vec<Reply>;
    /// Every use of a configuration of one site with `value − Σ price·use` above a floor, each once;
    /// more than those do no harm. `None`: it cannot tell, or they are too many.
    fn list(&mut self, _site: usize, _prices: &[f64], _floor: f64) -> Option<Vec<Listed>> {
        None
    }
}

/// What is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// The most.
    Most,
    /// Any choice worth this much: the search ends at the first, or when the bound is below it.
    AtLeast(f64),
}

/// What is known from the beginning.
#[derive(Debug, Clone, Copy, Default)]
pub struct Start<'a> {
    /// Whole choices, one offer for each site; those that do not keep the rows are passed over.
    pub choices: &'a [Vec<Offer>],
    /// Offers of each site that like questions have brought to light; no sites, or all.
    pub offers: &'a [Vec<Offer>],
    /// Prices to ask at first, those of a question that differs little; rows beyond them cost nothing.
    pub prices: &'a [f64],
    /// No choice is worth more than this, if that is known.
    pub bound: Option<f64>,
}

/// How much work a search may do. Counts, not seconds: same input, same answer, unless it is stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Most questions in all.
    pub asks: usize,
    /// Most questions once the gap is within `proof`, spent on closing it further.
    pub asks_past_proof: usize,
    /// Gap at which a choice counts as proven, as a fraction of its value.
    pub proof: f64,
    /// Gap at which the search stops at once.
    pub closed: f64,
    /// Rounds of questions at one node.
    pub rounds: usize,
    /// Steps of each search for whole choices.
    pub steps: usize,
    /// Sites that are asked again with all others fixed, each time a better choice is found.
    pub polished: usize,
    /// Where the search shows itself, and is told to stop.
    pub watch: Watch,
}

impl Default for Pace {
    fn default() -> Self {
        Self {
            asks: 4_000,
            asks_past_proof: 40,
            proof: 1e-3,
            closed: 2e-5,
            rounds: 60,
            steps: 200_000,
            polished: 16,
            watch: Watch::default(),
        }
    }
}

/// One configuration for each site.
#[derive(Debug, Clone, PartialEq)]
pub struct Allotment {
    /// Tag of each site's configuration.
    pub tags: Vec<usize>,
    /// Sum of their values.
    pub value: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedOut {
    /// The best choice; `None` if none keeps all rows, or none was found.
    pub best: Option<Allotment>,
    /// No choice is worth more than this.
    pub bound: f64,
    /// Was everything searched, so that "none" means "none exists"?
    pub complete: bool,
    /// Price of each row in the first linear program: what one more of it would bring, about.
    pub prices: Vec<f64>,
    /// Questions asked.
    pub asks: usize,
}

impl SharedOut {
    /// What comes of no sites at all.
    #[must_use]
    pub fn nothing(n_rows: usize) -> Self {
        Self {
            best: Some(Allotment { tags: Vec::new(), value: 0.0 }),
            bound: 0.0,
            complete: true,
            prices: vec![0.0; n_rows],
            asks: 0,
        }
    }
}
