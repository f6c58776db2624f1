//! Some phases planned together, for watts or for energy, and what was met entered into them.

use super::campaign::Campaign;
use super::ground::Ground;
use super::judge::Judge;
use super::together::{Part, Row, plan_together};
use super::unit::{Found, Unit, found};
use super::year::Lens;
use crate::model::InputWiring;
use crate::planner::level::Session;
use crate::solve::master::SharedOut;

/// Rounds of a search for energy, each along the lines to what the one before found.
const LINES: usize = 3;

impl Campaign<'_> {
    /// Plans some phases together; `which` are their indices.
    pub(super) fn share(&self, grounds: &mut [&mut Ground], which: &[usize], rows: Vec<Row>) {
        if !self.seeks_energy(grounds) {
            self.share_watts(grounds, which, rows);
            return;
        }
        which.iter().for_each(|t| {
            grounds[*t].look_along();
        });
        self.share_energy(grounds, which, rows);
    }

    /// Plans all phases together; no way is worth more than the answer, joints aside.
    pub(super) fn share_with_bound(&self, grounds: &mut [&mut Ground], rows: &[Row]) -> f64 {
        let all: Vec<usize> = (0..grounds.len()).collect();
        let bound = self.share_watts(grounds, &all, rows.to_vec());
        if !self.seeks_energy(grounds) {
            return bound;
        }
        for _ in 0..LINES {
            let mut is_new = false;
            grounds.iter_mut().for_each(|ground| is_new |= ground.look_along());
            if !is_new || self.is_stopped() {
                break;
            }
            self.share_energy(grounds, &all, rows.to_vec());
        }
        let best = |ground: &&mut Ground| {
            let best = ground.stands.iter().max_by(|a, b| a.charged.total_cmp(&b.charged));
            best.map_or_else(Vec::new, |stand| stand.wiring.clone())
        };
        let there: Vec<Vec<InputWiring>> = grounds.iter().map(best).collect();
        self.ceiling(grounds, rows, &there)
    }

    /// A bound on the energy of all ways, joints aside, by the lines that touch at these wirings; by
    /// labels alone where there is no time for more.
    pub(super) fn ceiling(
        &self,
        grounds: &mut [&mut Ground],
        rows: &[Row],
        there: &[Vec<InputWiring>],
    ) -> f64 {
        if self.is_stopped() {
            let years = grounds.iter().zip(&self.measures.years);
            return years.filter_map(|(g, years)| Some(years * g.most_by_labels()?)).sum();
        }
        let all: Vec<usize> = (0..grounds.len()).collect();
        let lines: Option<Vec<(Lens, f64)>> =
            grounds.iter().zip(there).map(|(g, wiring)| g.ceilings_at(wiring)).collect();
        let Some(lines) = lines else { return f64::INFINITY };
        let besides: f64 =
            lines.iter().zip(&self.measures.years).map(|((_, more), years)| years * more).sum();
        let lenses: Vec<&Lens> = lines.iter().map(|(lens, _)| lens).collect();
        let judges = grounds.iter().zip(&lines).map(|(g, (_, besides))| g.judge(*besides));
        let (out, met) =
            self.share_through(grounds, &lenses, &all, rows.to_vec(), judges.collect());
        enter(grounds, &all, met);
        out.bound + besides
    }

    pub(super) fn seeks_energy(&self, grounds: &[&mut Ground]) -> bool {
        grounds.iter().any(|ground| ground.year.is_some())
    }

    fn share_watts(&self, grounds: &mut [&mut Ground], which: &[usize], rows: Vec<Row>) -> f64 {
        let mut parts: Vec<Part> = Vec::with_capacity(which.len());
        for (t, ground) in grounds.iter_mut().enumerate().filter(|(t, _)| which.contains(t)) {
            parts.push(Part {
                stock: ground.stock(),
                units: &mut ground.inputs,
                years: self.measures.years[t],
                prices: self.prices(t),
            });
        }
        let out = plan_together(&mut parts, rows, self.options.effort);
        drop(parts);
        let units: Vec<&[Unit]> = which.iter().map(|t| &grounds[*t].inputs[..]).collect();
        let met = met_by(&units, &out);
        enter(grounds, which, met);
        out.bound
    }

    fn share_energy(&self, grounds: &mut [&mut Ground], which: &[usize], rows: Vec<Row>) {
        let lenses: Vec<&Lens> = which.iter().filter_map(|t| grounds[*t].lens()).collect();
        let (_, met) = self.share_through(grounds, &lenses, which, rows, Vec::new());
        enter(grounds, which, met);
    }

    /// Plans some phases, each seen through a lens, and judged where there are judges.
    fn share_through<'g>(
        &self,
        grounds: &'g [&mut Ground],
        lenses: &[&'g Lens],
        which: &[usize],
        rows: Vec<Row>,
        judges: Vec<Option<Judge<'g>>>,
    ) -> (SharedOut, Vec<Vec<Found>>) {
        let seen = which.iter().zip(lenses);
        let sessions: Vec<Vec<Session>> =
            seen.map(|(t, lens)| lens.sessions(&*grounds[*t])).collect();
        let mut units: Vec<Vec<Unit>> = Vec::with_capacity(which.len());
        for (t, own) in which.iter().zip(&sessions) {
            let terms = grounds[*t].inputs.iter().map(|unit| unit.terms.clone());
            units.push(own.iter().zip(terms).map(|(s, terms)| Unit::new(s, terms)).collect());
        }
        for (own, judge) in units.iter_mut().zip(judges) {
            own.iter_mut().take(1).zip(judge).for_each(|(unit, judge)| unit.judge = Some(judge));
        }
        let mut parts: Vec<Part> = Vec::with_capacity(which.len());
        for (t, own) in which.iter().zip(&mut units) {
            parts.push(Part {
                stock: grounds[*t].stock(),
                units: own,
                years: self.measures.years[*t],
                prices: self.prices(*t),
            });
        }
        let out = plan_together(&mut parts, rows, self.options.effort);
        drop(parts);
        let units: Vec<&[Unit]> = units.iter().map(Vec::as_slice).collect();
        let met = met_by(&units, &out);
        (out, met)
    }
}

/// What the inputs of each phase have met, the best of all together first.
fn met_by(units: &[&[Unit]], out: &SharedOut) -> Vec<Vec<Found>> {
    let mut tags = out.best.as_ref().map(|best| best.tags.as_slice());
    let of_phase = |units: &&[Unit]| {
        let own = tags.map(|all| {
            let (own, rest) = all.split_at(units.len());
            tags = Some(rest);
            own
        });
        found(units, own)
    };
    units.iter().map(of_phase).collect()
}

fn enter(grounds: &mut [&mut Ground], which: &[usize], met: Vec<Vec<Found>>) {
    which.iter().zip(met).for_each(|(t, met)| grounds[*t].enter_found(&met));
}
