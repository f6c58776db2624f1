//! What a step can do or keep for the steps after it: ports, fuses, cables, panels.

use super::answer::bought_ahead;
use crate::electrical::Catalog;
use crate::model::{InputRef, InputWiring, PanelString};
use crate::plan::{Cable, Evaluator, FusePlace, PhaseStep, Prepared, cables};
use crate::units::Amps;

/// A current that differs from another by less is the same: rounding. \[A\]
const SAME_AMPS: f64 = 1e-6;

/// Enters into every step what those after it ask for.
pub(super) fn enter(steps: &mut [PhaseStep], catalog: &Catalog) {
    for t in 0..steps.len() {
        let mut prepared = bought_ahead(&steps[t], t);
        prepared.extend(ports(steps, t));
        prepared.extend(fuses(steps, t, catalog));
        prepared.extend(cable_sizes(steps, t));
        steps[t].prepared = prepared;
    }
}

fn wiring(step: &PhaseStep) -> Vec<InputWiring> {
    step.plan().state.wiring()
}

fn strings_on(step: &PhaseStep, at: InputRef) -> usize {
    wiring(step).iter().find(|w| w.at == at).map_or(0, |w| w.array.strings.len())
}

/// Ports that the first step with more strings takes.
fn ports(steps: &[PhaseStep], t: usize) -> Vec<Prepared> {
    let mut kept = Vec::new();
    for input in &steps[t].plan().state.inputs {
        let now = strings_on(&steps[t], input.at);
        let later = (t + 1..steps.len()).find(|s| strings_on(&steps[*s], input.at) > now);
        if let Some(phase) = later {
            let most = (phase..steps.len()).map(|s| strings_on(&steps[s], input.at)).max();
            let count = most.unwrap_or(now) - now;
            kept.push(Prepared::Ports { at: input.at, count, phase });
        }
    }
    kept
}

/// Fuses of strings that stay and need a larger one, or one at all, later.
fn fuses(steps: &[PhaseStep], t: usize, catalog: &Catalog) -> Vec<Prepared> {
    let sizes_on = |s: usize, wiring: &InputWiring| {
        let evaluator = Evaluator::new(&steps[s].installation, catalog);
        let mut sizes: Vec<Option<Amps>> = vec![None; wiring.array.strings.len()];
        let own = evaluator.fuses(wiring).into_iter().filter(|f| f.place == FusePlace::String);
        own.for_each(|f| sizes[f.string] = f.size);
        sizes
    };
    let mut needed = Vec::new();
    for here in wiring(&steps[t]) {
        let now = sizes_on(t, &here);
        let mut taken: Vec<PanelString> = Vec::new();
        for (string, fuse) in here.array.strings.iter().zip(&now) {
            let alike = taken.iter().filter(|s| **s == string.canonical()).count();
            taken.push(string.canonical());
            let idx = taken.len() - 1;
            let later = (t + 1..steps.len()).find_map(|s| {
                let then = wiring(&steps[s]).into_iter().find(|w| w.at == here.at)?;
                let sizes = sizes_on(s, &then);
                let same = then.array.strings.iter().zip(sizes);
                let mut same = same.filter(|(other, _)| other.canonical() == string.canonical());
                let size = same.nth(alike)?.1?;
                (Some(size) != *fuse).then_some((s, size))
            });
            if let Some((phase, size)) = later {
                needed.push(Prepared::Fuse { at: here.at, string: idx, size, now: *fuse, phase });
            }
        }
    }
    needed
}

/// Runs that must carry more in a later step than now.
fn cable_sizes(steps: &[PhaseStep], t: usize) -> Vec<Prepared> {
    let of = |s: usize| cables(&steps[s].installation, &steps[s].plan().state);
    let mut sizes = Vec::new();
    for cable in of(t) {
        let same = |other: &Cable| other.run.at == cable.run.at && other.run.part == cable.run.part;
        let later = (t + 1..steps.len()).filter_map(|s| Some((s, of(s).into_iter().find(same)?)));
        let most = later.reduce(|a, b| if b.1.need > a.1.need { b } else { a });
        let Some((phase, then)) =
            most.filter(|(_, c)| c.need.amps() > cable.need.amps() + SAME_AMPS)
        else {
            continue;
        };
        let laid = cable.run.size.is_some();
        let carries = if then.is_too_small() {
            then.replaced(&steps[phase].installation, &steps[phase].plan().state)
        } else {
            Some(then)
        };
        sizes.push(Prepared::Cable {
            at: cable.run.at,
            part: cable.run.part,
            now: cable.need,
            then: then.need,
            size: carries.and_then(|c| c.cross_section()),
            laid: laid && !then.is_too_small(),
            phase,
        });
    }
    sizes
}
