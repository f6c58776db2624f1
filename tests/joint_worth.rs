//! The worth of joints, and the curve of watts against joints, against trying every wiring.
//!
//! Every wiring of a small random inventory is evaluated and checked, and its joints are counted
//! (`joints_brute_force` proves that count against every layout). The best by charged watts less the
//! worth of the joints, and every wiring that has more watts than all with as few joints, must be
//! what `advise` finds.

#[path = "support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;
#[path = "support/sites.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod sites;
#[path = "support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use random::Random;
use sites::{AT, allowed_wirings, charge, random_site};
use sungraft::model::{InputWiring, Installation};
use sungraft::plan::{Advice, JointCurve, Plan, Rule, Touch, TouchAnswer, fewest_joints};
use sungraft::planner::{Options, advise};

/// Proof gap of the optimiser.
const PROOF: f64 = 1e-3;
const WORTHS: [f64; 4] = [0.7, 3.0, 12.0, 60.0];

/// Charged watts and joints of a wiring.
type Weighed = (f64, usize);

/// Every wiring that keeps the limits, with its joints.
fn try_all(site: &Installation, touch: Touch, rule: Rule) -> Vec<Weighed> {
    let weigh = |best: sites::Best| {
        let plan = [InputWiring { at: AT, array: best.array }];
        (best.charged, fewest_joints(&site.installed, &plan).joints.total())
    };
    allowed_wirings(site, touch, rule).into_iter().map(weigh).collect()
}

fn ask(site: &Installation, touch: Touch, rule: Rule, joint_worth: Option<f64>) -> Advice {
    let options =
        Options { touch: vec![touch], rule, joint_worth, joint_curve: true, ..Options::default() };
    advise(site, &options).expect("labels are legal and plans pass the audit")
}

fn plan_of(advice: &Advice) -> Option<&Plan> {
    match &advice.levels[0].1 {
        TouchAnswer::Plan(at) => Some(&advice.plans[*at]),
        TouchAnswer::NoPlan(_) => None,
        other => panic!("a single small level is always answered, not {other:?}"),
    }
}

fn charges(site: &Installation, plan: &Plan) -> f64 {
    let strings = plan.state.inputs.iter().flat_map(|i| &i.strings);
    strings.flat_map(|s| s.wiring.panels()).map(|k| charge(site.kind(k))).sum()
}

fn hold_worth(case: &str, site: &Installation, all: &[Weighed], plan: &Plan, worth: f64) {
    let value = |(charged, joints): Weighed| charged - worth * joints as f64;
    let best = all.iter().copied().map(value).fold(f64::NEG_INFINITY, f64::max);
    let own_cost = worth * plan.joints.total() as f64;
    let found = plan.charged.watts() - own_cost;
    let bound = plan.bound.watts.watts() - charges(site, plan) - own_cost;
    assert!(best <= bound + 1e-6, "{case}: {best} W is above the bound {bound} W");
    // No wiring at all is left out by the trial, and stands for today's.
    assert!(found <= best.max(found.min(0.0)) + 1e-6, "{case}: {found} W of at most {best} W");
    let gap = PROOF * plan.charged.watts().abs().max(1.0) + 1e-6;
    assert!(plan.bound.proven, "{case}: gap {}", plan.bound.gap);
    assert!(found >= best - gap, "{case}: found {found:.4} W, best {best:.4} W");
}

/// Wirings that have more charged watts than every other with as few joints.
fn front_of(all: &[Weighed]) -> Vec<Weighed> {
    let mut sorted = all.to_vec();
    sorted.sort_by(|a, b| a.1.cmp(&b.1).then(b.0.total_cmp(&a.0)));
    let mut front: Vec<Weighed> = Vec::new();
    for next in sorted {
        if front.last().is_none_or(|last| next.0 > last.0) {
            front.push(next);
        }
    }
    front
}

fn hold_curve(case: &str, site: &Installation, all: &[Weighed], curve: &JointCurve) -> usize {
    let points: Vec<Weighed> =
        curve.points.iter().map(|p| (p.plan.charged.watts(), p.joints().total())).collect();
    for pair in points.windows(2) {
        assert!(pair[0].1 < pair[1].1 && pair[0].0 < pair[1].0, "{case}: not rising: {points:?}");
    }
    assert!(curve.complete && curve.points.iter().all(|p| p.plan.bound.proven), "{case}");
    for &(charged, joints) in &points {
        let gap = 1e-6 * charged.abs().max(1.0);
        let real = all.iter().any(|w| w.1 == joints && (w.0 - charged).abs() <= gap);
        assert!(real, "{case}: no wiring has {charged} W with {joints} joints");
    }
    let front = front_of(all);
    let most = points.last().expect("a curve has points").0;
    for &(charged, joints) in &front {
        // A wiring that the best of all does not need more than nothing is no wiring to advise.
        if charged < 0.0 {
            continue;
        }
        let gap = PROOF * most.abs().max(1.0) + 1e-6;
        let shown = points.iter().any(|p| p.1 <= joints && p.0 >= charged - gap);
        assert!(shown, "{case}: {charged} W with {joints} joints is missing: {points:?}");
        let at = curve.points.iter().rfind(|p| p.joints().total() <= joints);
        let bound = at.map(|p| p.plan.bound.watts.watts() - charges(site, &p.plan));
        assert!(bound.is_some_and(|b| charged <= b + 1e-6), "{case}: above the bound {bound:?}");
    }
    // Best for some worth exactly where no mix of two others has as much.
    for (k, point) in curve.points.iter().enumerate() {
        // By how much it is better than any other; below zero if it is not.
        let lead = |worth: f64| {
            let value = |p: &Weighed| p.0 - worth * p.1 as f64;
            let others = (0..points.len()).filter(|j| *j != k).map(|j| value(&points[j]));
            value(&points[k]) - others.fold(f64::NEG_INFINITY, f64::max)
        };
        let slopes: Vec<f64> = points.windows(2).map(|w| w[1].0 - w[0].0).collect();
        match point.worths {
            Some(range) => {
                let to = range.to.map_or(range.from.watts() + 1.0, |w| w.watts());
                assert!(
                    lead(0.5 * (range.from.watts() + to)) > 0.0,
                    "{case}: {range:?}, {points:?}"
                );
            }
            None => {
                let most = slopes.iter().copied().fold(1.0, f64::max);
                let never = (0..400).all(|n| lead(most * n as f64 / 400.0) < 1e-4);
                assert!(never, "{case}: point {k} of {points:?} is best somewhere");
            }
        }
    }
    front.len()
}

fn compare(seed: u64, n_panels: usize, touch: Touch, rule: Rule) -> (usize, usize) {
    let site = random_site(&mut Random::seeded(seed), n_panels);
    let all = try_all(&site, touch, rule);
    let case = format!("seed {seed}, {n_panels} panels, {touch:?}, {rule:?}");
    let without = ask(&site, touch, rule, None);
    let Some(top) = plan_of(&without) else { return (0, 0) };
    let curve = without.joint_curve.as_ref().expect("it was asked for");
    let n_points = hold_curve(&case, &site, &all, curve);
    let (mut joints, mut fewer) = (top.joints.total(), 0);
    for worth in WORTHS {
        let weighed = ask(&site, touch, rule, Some(worth));
        let plan = plan_of(&weighed).expect("there is a plan without a worth");
        let case = format!("{case}, {worth} W a joint");
        hold_worth(&case, &site, &all, plan, worth);
        assert_eq!(weighed.joint_curve.as_ref().map(|c| &c.points), Some(&curve.points), "{case}");
        assert!(plan.joints.total() <= joints, "{case}: more joints than for a lower worth");
        fewer += usize::from(plan.joints.total() < joints);
        joints = plan.joints.total();
    }
    (n_points, fewer)
}

fn compare_many(seeds: std::ops::Range<u64>, touch: Touch, rule: Rule) {
    let (mut points, mut fewer) = (0, 0);
    for seed in seeds.clone() {
        let (p, f) = compare(seed, 2 + (seed as usize) % 4, touch, rule);
        points += p;
        fewer += f;
    }
    // So that a change to the sites does not empty the test unseen.
    let n = (seeds.end - seeds.start) as usize;
    assert!(points > n && fewer > n / 6, "{points} points, {fewer} times fewer joints");
}

#[test]
fn rewiring_freely_finds_what_trying_everything_finds_at_each_worth_of_a_joint() {
    compare_many(80_000..80_120, Touch::Free, Rule::Curve);
}

#[test]
fn lengthening_strings_finds_what_trying_everything_finds_at_each_worth_of_a_joint() {
    compare_many(81_000..81_040, Touch::Extend, Rule::Curve);
}

#[test]
fn new_strings_find_what_trying_everything_finds_at_each_worth_of_a_joint() {
    compare_many(82_000..82_040, Touch::None, Rule::Curve);
}

#[test]
fn the_rule_of_thumb_finds_what_trying_everything_finds_at_each_worth_of_a_joint() {
    compare_many(83_000..83_040, Touch::Free, Rule::Nameplate);
}

#[test]
fn over_all_levels_a_higher_worth_never_means_more_joints_and_none_changes_nothing() {
    for seed in 84_000..84_060 {
        let site = random_site(&mut Random::seeded(seed), 3 + (seed as usize) % 4);
        let ask = |joint_worth| {
            let options = Options { joint_worth, joint_curve: true, ..Options::default() };
            advise(&site, &options).expect("plans pass the audit")
        };
        let (unasked, zero) = (ask(None), ask(Some(0.0)));
        assert_eq!(zero.plans, unasked.plans);
        assert_eq!((zero.best, &zero.spares), (unasked.best, &unasked.spares));
        let best = |advice: &Advice| advice.best.map(|b| advice.plans[b].clone());
        let Some(mut before) = best(&unasked) else { continue };
        for worth in WORTHS {
            let answer = ask(Some(worth));
            let plan = best(&answer).expect("there is a plan without a worth");
            let (curve, same) = (answer.joint_curve, &unasked.joint_curve);
            let points = |c: &JointCurve| c.points.clone();
            assert_eq!(curve.as_ref().map(points), same.as_ref().map(points), "seed {seed}");
            let chosen = curve.and_then(|c| Some(c.points[c.chosen?].plan.state.clone()));
            assert_eq!(chosen.as_ref(), Some(&plan.state), "seed {seed}: not on the curve");
            let (now, then) = (before.joints.total(), plan.joints.total());
            assert!(then <= now, "seed {seed}, {worth} W a joint: {now} joints, then {then}");
            before = plan;
        }
    }
}
