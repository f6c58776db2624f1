//! What must hold whatever the planes are.

use sungraft::electrical::Catalog;
use sungraft::model::{DesignSun, Installation, PlaneIdx};
use sungraft::plan::{CheckRule, Evaluator, Plan, Touch};
use sungraft::planner::{Options, plan_only};

use crate::random::Random;
use crate::site::{at_random, light, on_planes, plane};
use crate::sites::random_site;

/// Proof gap of the optimiser.
const PROOF: f64 = 1e-3;

fn best(site: &Installation, touch: Touch) -> Option<Plan> {
    let options = Options { touch: vec![touch], ..Options::default() };
    plan_only(site, &options).expect("plans pass the audit").into_iter().next()
}

#[test]
fn planes_that_stand_alike_answer_as_no_planes_do() {
    for seed in 0..60 {
        let mut rng = Random::seeded(seed);
        let bare = random_site(&mut rng, 2 + (seed as usize) % 3);
        let alike = || plane("a", 35.0, 170.0, 0.0);
        let planes = vec![alike(), sungraft::model::PanelPlane { id: "b".into(), ..alike() }];
        let design = DesignSun::SquareOn(PlaneIdx(1));
        let placed = on_planes(&bare, planes, design, || rng.below(2), || vec![0, 1]);
        for touch in [Touch::None, Touch::Extend, Touch::Free] {
            let (with, without) = (best(&placed, touch), best(&bare, touch));
            let case = format!("seed {seed}, {touch:?}");
            assert_eq!(with.is_some(), without.is_some(), "{case}");
            let (Some(with), Some(without)) = (with, without) else { continue };
            let (a, b) = (with.charged.watts(), without.charged.watts());
            assert!((a - b).abs() <= PROOF * b.abs().max(1.0), "{case}: {a} W with, {b} W without");
            let outcomes = |plan: &Plan| -> Vec<_> {
                plan.state.checks.iter().map(|c| (c.rule, c.outcome)).collect()
            };
            if with.state.wiring().iter().map(|w| w.array.strings.len()).eq(without
                .state
                .wiring()
                .iter()
                .map(|w| w.array.strings.len()))
                && (a - b).abs() < 1e-9
            {
                assert_eq!(outcomes(&with).len(), outcomes(&without).len(), "{case}");
            }
        }
    }
}

/// The same site with more shade on its first plane.
fn shaded(site: &Installation, shade: f64) -> Installation {
    let mut darker = site.clone();
    let sun = &mut darker.site.sun;
    sun.planes[0].shade = shade;
    sun.planes = light(sun.planes.clone(), sun.design.expect("planes have a design sun"));
    for kind in &mut darker.kinds {
        let placed = kind.placed.as_mut().expect("on a plane");
        placed.sun = darker.site.sun.planes[placed.plane.0].at_design;
    }
    darker
}

#[test]
fn a_shadow_never_raises_the_watts_of_a_wiring() {
    for seed in 100..200 {
        let mut rng = Random::seeded(seed);
        let site = random_site(&mut rng, 5);
        let site = at_random(&mut rng, &site);
        let watts: Vec<f64> = [0.0, 0.2, 0.5, 1.0]
            .into_iter()
            .map(|shade| {
                let site = shaded(&site, shade);
                let catalog = Catalog::fit(&site.kinds).expect("legal labels");
                Evaluator::new(&site, &catalog).state(&site.installed).watts().watts()
            })
            .collect();
        let fall = watts.windows(2).all(|w| w[1] <= w[0] * (1.0 + 1e-4) + 1e-6);
        assert!(fall, "seed {seed}: {watts:?}");
    }
}

#[test]
fn a_shadow_never_raises_what_the_best_plan_gives() {
    for seed in 200..230 {
        let mut rng = Random::seeded(seed);
        let site = random_site(&mut rng, 4);
        let site = at_random(&mut rng, &site);
        // Where a limit lets fewer strings stand side by side under a shadow, there are fewer still.
        let [open, darker] = [0.0, 0.6].map(|shade| best(&shaded(&site, shade), Touch::Free));
        let (Some(open), Some(darker)) = (open, darker) else { continue };
        let (open, darker) = (open.charged.watts(), darker.charged.watts());
        assert!(darker <= open + PROOF * open.abs().max(1.0), "seed {seed}: {open} then {darker}");
    }
}

#[test]
fn more_room_never_costs_watts() {
    for seed in 300..330 {
        let mut rng = Random::seeded(seed);
        let site = random_site(&mut rng, 4);
        let site = at_random(&mut rng, &site);
        let mut wider = site.clone();
        wider.site.sun.planes.iter_mut().for_each(|p| p.room = p.room.map(|room| room + 2));
        let (Some(tight), Some(wide)) = (best(&site, Touch::Free), best(&wider, Touch::Free))
        else {
            continue;
        };
        let (tight, wide) = (tight.charged.watts(), wide.charged.watts());
        assert!(wide >= tight - PROOF * tight.abs().max(1.0), "seed {seed}: {tight} then {wide}");
    }
}

/// A string in weak light takes more than it would in full sun: the check must not be milder than
/// without planes.
#[test]
fn unlike_planes_never_make_reverse_currents_look_smaller() {
    let mut stronger = 0;
    for seed in 400..700 {
        let mut rng = Random::seeded(seed);
        let bare = random_site(&mut rng, 5);
        let placed = at_random(&mut rng, &bare);
        let used = |site: &Installation| {
            let catalog = Catalog::fit(&site.kinds).expect("legal labels");
            let state = Evaluator::new(site, &catalog).state(&site.installed);
            let check =
                state.checks.into_iter().find(|c| c.rule == CheckRule::IdleReverseCurrent)?;
            Some((check.outcome, check.value?))
        };
        let (Some(with), Some(without)) = (used(&placed), used(&bare)) else { continue };
        assert!(with.0 >= without.0, "seed {seed}: {with:?} with planes, {without:?} without");
        stronger += usize::from(with.1 > 1.05 * without.1);
    }
    assert!(stronger > 5, "planes matter in some: {stronger}");
}
