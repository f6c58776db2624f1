//! How much energy no wiring can pass: ceilings that add up, and what a judge says below them.

use super::pool::Pool;
use crate::electrical::Catalog;
use crate::energy::{EnergyModel, Grain, Slopes, Span};
use crate::model::{ArrayWiring, InputWiring, Installation};
use crate::patterns::Bench;
use crate::plan::{EnergyProof, Yield};
use crate::planner::season::Season;
use crate::units::KilowattHours;

/// A straight line that no wiring passes and that touches at one of them.
pub(in crate::planner) struct Line {
    /// Its slopes as a season, the typical hours agreeing with the true ones where it touches.
    pub season: Season,
    /// By what that agreement changes the worth of every hour.
    pub factor: f64,
    /// What it has besides: at the limits, and from inputs that stay. As a value.
    pub besides: f64,
}

impl Line {
    /// The line that touches at a wiring that was met.
    pub(in crate::planner) fn touching(pool: &Pool, at: usize, benches: &[Bench]) -> Self {
        let met = &pool.met[at];
        let nothing = vec![ArrayWiring::default(); met.arrays.len()];
        let sites = (pool.site(&nothing), pool.site(&met.arrays));
        let desk = (pool.desk.installation, pool.desk.catalog);
        let inputs = benches.iter().zip(&met.arrays);
        Self::at((pool.model, met.span), desk, (&sites.0, &sites.1), inputs)
    }

    /// The line that touches at the second of two wirings of a site; the first is the same with
    /// nothing on the inputs that are planned, which are these.
    pub(in crate::planner) fn at<'i, 'b: 'i>(
        (model, span): (&EnergyModel, Span),
        (installation, catalog): (&Installation, &Catalog),
        (nothing, there): (&[InputWiring], &[InputWiring]),
        inputs: impl Iterator<Item = (&'i Bench<'b>, &'i ArrayWiring)>,
    ) -> Self {
        let slopes = model.slopes(there, there);
        let stays = model.along(nothing, span, &slopes);
        let season = Season::new(model, installation, catalog, (span, Grain::Fine), &slopes);
        let truly = season.value(model.along(there, span, &slopes) - stays);
        let by_hours: f64 = inputs
            .filter(|(_, array)| !array.strings.is_empty())
            .map(|(bench, a)| season.describer(bench).ceiling(&a.strings))
            .sum();
        let factor = if by_hours > 0.0 { truly / by_hours } else { 1.0 };
        // What is true of one wiring's planes need not be of another's, so nothing is taken off.
        let several_suns = installation.site.sun.planes.len() > 1;
        let factor = if several_suns { factor.max(1.0) } else { factor };
        let besides = season.value(stays + model.at_limits(span, &slopes));
        Self { season: season.times(factor), factor, besides }
    }

    /// A bound of this line's measure in the pool's.
    pub(in crate::planner) fn bound(&self, pool: &Pool, charged: f64) -> f64 {
        pool.basis.value(self.season.energy(charged + self.besides))
    }

    /// A value of the pool's measure in this line's, what it has besides taken off.
    pub(in crate::planner) fn own(&self, pool: &Pool, charged: f64) -> f64 {
        self.season.value(pool.basis.energy(charged)) - self.besides
    }
}

/// A part of the year with these slopes.
pub(in crate::planner) fn season(pool: &Pool, hours: (Span, Grain), slopes: &Slopes) -> Season {
    Season::new(pool.model, pool.desk.installation, pool.desk.catalog, hours, slopes)
}

/// What is proven about a wiring that was met, no other having more charged energy than `bound`.
pub(in crate::planner) fn proof(pool: &Pool, at: usize, bound: f64) -> EnergyProof {
    let met = &pool.met[at];
    let more = (bound - met.charged).max(0.0);
    let gap = more / met.charged.abs().max(1.0);
    EnergyProof {
        brings: Yield { energy: met.brings, span: met.span },
        bound: KilowattHours(
            met.brings.kilowatt_hours() + pool.basis.energy(more).kilowatt_hours(),
        ),
        gap,
        proven: pool.desk.options.effort.proves(gap),
        evaluated: pool.met.len(),
    }
}

/// The season by which panels are compared around the best plan: each hour's line goes from today's
/// wiring to it.
pub(in crate::planner) fn comparing(pool: &Pool, best: &[ArrayWiring]) -> Season {
    let there = pool.site(best);
    let slopes = pool.model.slopes(&pool.desk.installation.installed, &there);
    season(pool, (pool.span_of(best), Grain::Coarse), &slopes)
}
