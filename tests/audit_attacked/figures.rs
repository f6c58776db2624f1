//! Figures that are wrong: watts, sums, bounds, joints, points.

use sungraft::plan::{Peak, Plan};
use sungraft::units::{Amps, Volts, Watts};

use crate::honest::Honest;
use crate::random::Random;
use crate::refuses_all;

type Way = fn(&Honest, &mut Random) -> Option<Honest>;

/// An input that gives something.
fn running(plan: &Plan, random: &mut Random) -> Option<usize> {
    let inputs: Vec<usize> =
        (0..plan.state.inputs.len()).filter(|k| plan.state.inputs[*k].power > Watts(1.0)).collect();
    (!inputs.is_empty()).then(|| inputs[random.below(inputs.len())])
}

/// Up or down by half a percent or more.
fn off(random: &mut Random) -> f64 {
    let by = random.between(0.005, 0.05);
    if random.chance(0.5) { 1.0 + by } else { 1.0 - by }
}

/// Watts of an input and all that follows from them, so that every sum still adds up.
fn raise(plan: &mut Plan, at: usize, by: f64) {
    let input = &mut plan.state.inputs[at];
    let more = input.power * (by - 1.0);
    input.i = input.i * by;
    input.power += more;
    for string in &mut input.strings {
        string.current = string.current * by;
        string.power = string.power * by;
    }
    plan.added += more;
    plan.charged += more;
    plan.bound.watts += more;
}

const WATTS: [(&str, Way); 10] = [
    ("watts of an input", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = off(random);
        honest.with(|plan| plan.state.inputs[at].power = plan.state.inputs[at].power * by)
    }),
    ("watts overstated by half a percent, and all that follows from them", |honest, random| {
        let at = running(&honest.plan, random)?;
        honest.with(|plan| raise(plan, at, 1.005))
    }),
    ("watts of one string for those of another", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = Amps(random.between(0.1, 1.0));
        (honest.plan.state.inputs[at].strings.len() > 1).then_some(())?;
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            let v = input.v;
            input.strings[0].current += by;
            input.strings[0].power += v * by;
            input.strings[1].current = input.strings[1].current - by;
            input.strings[1].power = input.strings[1].power - v * by;
        })
    }),
    ("volts, the watts staying", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = random.between(0.03, 0.08);
        let by = if random.chance(0.5) { 1.0 + by } else { 1.0 - by };
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            input.v = input.v * by;
            input.i = input.i * (1.0 / by);
            let v = input.v;
            for string in &mut input.strings {
                string.current = string.current * (1.0 / by);
                string.power = v * string.current;
            }
        })
    }),
    ("nothing at all, where something flows", |honest, random| {
        let at = running(&honest.plan, random)?;
        honest.with(|plan| {
            raise(plan, at, 0.0);
            plan.state.inputs[at].clipped = None;
        })
    }),
    ("watts added", |honest, random| {
        let by = Watts(0.005 * honest.plan.state.watts().watts() + random.between(0.5, 5.0));
        honest.with(|plan| plan.added += by)
    }),
    ("charged watts", |honest, random| {
        let by = Watts(0.005 * honest.plan.state.watts().watts() + random.between(0.01, 5.0));
        honest.with(|plan| plan.charged += by)
    }),
    ("label watts", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = off(random);
        honest.with(|plan| plan.state.inputs[at].label = plan.state.inputs[at].label * by)
    }),
    ("nameplate watts", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = Watts(random.between(0.1, 9.0));
        honest.with(|plan| plan.state.inputs[at].nameplate += by)
    }),
    ("clipped watts", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = off(random);
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            input.clipped = Some(input.clipped.unwrap_or(input.power) * by);
        })
    }),
];

#[test]
fn wrong_watts_are_refused() {
    refuses_all(&WATTS, 50);
}

const BOUNDS_AND_JOINTS: [(&str, Way); 8] = [
    ("a bound below the plan", |honest, random| {
        let less = Watts(random.between(0.01, 20.0) + 2e-6 * honest.plan.state.watts().watts());
        honest.with(|plan| plan.bound.watts = plan.state.watts() - less)
    }),
    ("a gap smaller than what lies between plan and bound", |honest, random| {
        let more = 0.004 * honest.plan.state.watts().watts() + random.between(0.1, 9.0);
        honest.with(|plan| plan.bound.watts += Watts(more))
    }),
    ("proven, though the gap is wide", |honest, random| {
        let gap = random.between(0.0011, 0.5);
        honest.with(|plan| {
            plan.bound.watts += Watts(gap * plan.charged.watts().abs());
            plan.bound.gap = gap;
            plan.bound.proven = true;
        })
    }),
    ("a gap that is no number", |honest, _| honest.with(|plan| plan.bound.gap = f64::NAN)),
    ("joints made", |honest, random| {
        let more = 1 + random.below(3);
        honest.with(|plan| plan.joints.made += more)
    }),
    ("joints opened", |honest, random| {
        let more = 1 + random.below(3);
        honest.with(|plan| plan.joints.opened += more)
    }),
    ("one joint more opened and made", |honest, _| {
        honest.with(|plan| {
            plan.joints.opened += 1;
            plan.joints.made += 1;
        })
    }),
    ("one joint fewer opened and made", |honest, _| {
        let joints = honest.plan.joints;
        (joints.opened > 0 && joints.made > 0).then_some(())?;
        honest.with(|plan| {
            plan.joints.opened -= 1;
            plan.joints.made -= 1;
        })
    }),
];

#[test]
fn wrong_bounds_and_joints_are_refused() {
    refuses_all(&BOUNDS_AND_JOINTS, 50);
}

const POINTS: [(&str, Way); 7] = [
    ("a string's own maximum", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = off(random);
        honest.with(|plan| {
            let string = &mut plan.state.inputs[at].strings[0];
            string.own_maximum = string.own_maximum * by;
        })
    }),
    ("a string's voltage in the cold", |honest, random| {
        let at = running(&honest.plan, random)?;
        let by = off(random);
        honest.with(|plan| {
            let string = &mut plan.state.inputs[at].strings[0];
            string.cold_v_oc = string.cold_v_oc * by;
        })
    }),
    ("a panel that is bypassed, or not", |honest, random| {
        let at = running(&honest.plan, random)?;
        let s = random.below(honest.plan.state.inputs[at].strings.len());
        let e = random.below(honest.plan.state.inputs[at].strings[s].wiring.elements().len());
        honest.with(|plan| {
            let bypassed = &mut plan.state.inputs[at].strings[s].bypassed;
            match bypassed.iter().position(|other| *other == e) {
                Some(known) => drop(bypassed.remove(known)),
                None => bypassed.push(e),
            }
        })
    }),
    ("a bypassed element that is not there", |honest, random| {
        let at = running(&honest.plan, random)?;
        honest.with(|plan| plan.state.inputs[at].strings[0].bypassed.push(99))
    }),
    ("a further peak above the operating point", |honest, random| {
        let at = running(&honest.plan, random)?;
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            input.other_peaks.push(Peak { v: input.v, power: input.power * 1.01 });
        })
    }),
    ("a further peak off the curve", |honest, random| {
        let at = running(&honest.plan, random)?;
        let share = random.between(0.5, 0.9);
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            input.other_peaks.push(Peak { v: input.v, power: input.power * share });
        })
    }),
    ("no number", |honest, random| {
        let at = running(&honest.plan, random)?;
        let which = random.below(7);
        honest.with(|plan| {
            let input = &mut plan.state.inputs[at];
            match which {
                0 => input.power = Watts(f64::NAN),
                1 => input.v = Volts(f64::NAN),
                2 => input.i = Amps(f64::NAN),
                3 => input.strings[0].own_maximum = Watts(f64::NAN),
                4 => input.label = Watts(f64::NAN),
                5 => plan.added = Watts(f64::NAN),
                _ => plan.bound.watts = Watts(f64::NAN),
            }
        })
    }),
];

#[test]
fn wrong_points_are_refused() {
    refuses_all(&POINTS, 50);
}
