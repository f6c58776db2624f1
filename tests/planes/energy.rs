//! Plans chosen for the energy of a year on several planes, against reckoning the year of every wiring
//! of every way to put the spares up.

use sungraft::electrical::Catalog;
use sungraft::energy::{EnergyModel, YearEnergy};
use sungraft::model::{
    ArrayWiring, DesignSun, InputWiring, Installation, KindIdx, PlaneIdx, SunData,
};
use sungraft::plan::{Aim, Evaluator, Outcome, Plan, Touch};
use sungraft::planner::{Options, plan_only};

use crate::exhaustive::{can_be_put_up, standing, try_all_for, ways_to_put_up, with_two_inputs};
use crate::random::Random;
use crate::site::{at_random, light};
use crate::sites::{AT, in_search_space, random_site};
use crate::suns::{charges, limit_output, own_energy};
use crate::wirings::{LoneBlocks, wirings_of_any};

/// Proof gap of the optimiser.
const PROOF: f64 = 1e-3;
/// By how much typical hours and all hours may disagree about one wiring against another.
const HOURS: f64 = 1e-3;
/// Where hours are put together anew the same wiring may differ by so much.
const CELLS: f64 = 0.004;

/// Two planes that differ, under a year of sun, with an output limit that may bite hard, a little, or
/// never.
fn sunny_site(seed: u64, n_panels: usize, n_inputs: usize) -> Installation {
    let mut rng = Random::seeded(seed);
    let mut bare = random_site(&mut rng, n_panels);
    bare.site.sun = SunData {
        latitude_deg: Some([8.0, 30.0, 44.6, 58.0][rng.below(4)]),
        sun_kwh_m2_day: Some([2.0, 2.6, 3.3, 4.2, 5.0, 5.6, 5.5, 4.8, 3.9, 3.0, 2.2, 1.9]),
        air_c: Some([-1.0, 1.0, 5.0, 9.0, 14.0, 17.0, 19.0, 19.0, 15.0, 10.0, 4.0, 0.0]),
        ..SunData::default()
    };
    if n_inputs == 2 {
        bare = with_two_inputs(bare);
    }
    // With one, what two inputs bring would not add up.
    let limit = [None, Some(0.4), Some(0.9)][rng.below(3)];
    let share = limit.filter(|_| n_inputs == 1);
    limit_output(&mut bare, share, n_panels);
    at_random(&mut rng, &bare)
}

/// Every wiring that keeps every limit, of every way to put the spares up.
fn allowed(site: &Installation) -> Vec<ArrayWiring> {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let evaluator = Evaluator::new(site, &catalog);
    let own: Vec<usize> = site.installed[0].array.panels().map(|k| k.0).collect();
    let mut all = Vec::new();
    for way in ways_to_put_up(site) {
        let inventory: Vec<usize> = own.iter().copied().chain(way).collect();
        for array in wirings_of_any(&inventory, LoneBlocks::Kept) {
            let counts = array.count_by_kind(site.kinds.len());
            let there = standing(site);
            let enough =
                (0..counts.len()).all(|k| counts[k] <= site.n_spare(KindIdx(k)) + there[k]);
            let wiring = InputWiring { at: AT, array };
            let kept = || !evaluator.checks(&wiring).iter().any(|c| c.outcome == Outcome::Breach);
            let allowed =
                enough && can_be_put_up(site, &counts) && !wiring.array.strings.is_empty();
            if allowed && in_search_space(&wiring.array, site) && kept() {
                all.push(wiring.array.canonical());
            }
        }
    }
    all.sort();
    all.dedup();
    all
}

fn of_year(year: &YearEnergy) -> f64 {
    year.out().kilowatt_hours()
}

fn sought(aim: Aim, year: &YearEnergy) -> f64 {
    match aim {
        Aim::WorstMonth => year.per_day(year.worst_month()).kilowatt_hours(),
        _ => of_year(year),
    }
}

fn plan_for(site: &Installation, aim: Aim, options: Options) -> Option<Plan> {
    let options = Options { touch: vec![Touch::Free], aim: Some(aim), ..options };
    plan_only(site, &options).expect("labels are legal and plans pass the audit").pop()
}

/// Compares; says whether the plan was proven, `None` where there is none.
fn compare(seed: u64, aim: Aim) -> Option<bool> {
    let site = sunny_site(seed, 2 + (seed as usize) % 3, 1);
    let plan = plan_for(&site, aim, Options::default())?;
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let model = EnergyModel::of(&site, &catalog).expect("the sun is known");
    let planned = &plan.state.wiring()[0].array;
    let year = |array: &ArrayWiring| model.year(&[InputWiring { at: AT, array: array.clone() }]);
    // Charges are told in the month that is worst with the plan of most watts; it is the same here
    // for all wirings of a site but where an output limit shifts it.
    let month = year(planned).worst_month();
    let own = own_energy(&site, aim, month);
    let charged = |array: &ArrayWiring, energy: f64| energy - charges(&site, &own, array);
    let best = allowed(&site)
        .into_iter()
        .map(|array| (charged(&array, sought(aim, &year(&array))), array))
        .reduce(|a, b| if b.0 > a.0 { b } else { a })
        .expect("there is a plan");
    let proof = plan.energy.expect("energy was asked for");
    let brings = proof.brings.energy.kilowatt_hours();
    let alone: f64 = planned.panels().map(|k| own[k.0]).sum();
    assert!(brings <= alone * (1.0 + CELLS), "seed {seed}: {brings}, each panel alone {alone}");
    let found = charged(planned, brings);
    let bound = charged(planned, proof.bound.kilowatt_hours());
    let slack = HOURS * best.0.abs() + 1e-9;
    assert!(best.0 <= bound + slack, "seed {seed}: {:?} has {} above {bound}", best.1, best.0);
    if proof.proven {
        let near = found >= best.0 * (1.0 - PROOF) - slack;
        assert!(near, "seed {seed}: found {found} of {} by {:?}", best.0, best.1);
    }
    // Bounded or not, what is found is what there is, within half a percent.
    assert!(found >= best.0 * 0.995 - slack, "seed {seed}: found {found}, {:?} {}", best.1, best.0);
    Some(proof.proven)
}

#[test]
fn a_plan_for_the_year_on_two_planes_is_the_best_of_all_or_inside_its_bound() {
    let proofs: Vec<bool> = (5000..5050).filter_map(|s| compare(s, Aim::Year)).collect();
    let proven = proofs.iter().filter(|proven| **proven).count();
    assert!(proofs.len() >= 30, "{} cases had a plan", proofs.len());
    assert!(proven * 10 >= proofs.len() * 7, "{proven} of {} were proven", proofs.len());
}

#[test]
fn so_is_one_for_the_worst_month() {
    let proofs: Vec<bool> = (5500..5518).filter_map(|s| compare(s, Aim::WorstMonth)).collect();
    let proven = proofs.iter().filter(|proven| **proven).count();
    assert!(proofs.len() >= 10, "{} cases had a plan", proofs.len());
    assert!(proven * 10 >= proofs.len() * 7, "{proven} of {} were proven", proofs.len());
}

/// Two inputs without an output limit: what they bring adds up.
fn compare_two_inputs(seed: u64) -> Option<bool> {
    let site = sunny_site(seed, 2 + (seed as usize) % 2, 2);
    let plan = plan_for(&site, Aim::Year, Options::default())?;
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let model = EnergyModel::of(&site, &catalog).expect("the sun is known");
    let own = own_energy(&site, Aim::Year, 0);
    let charges = |array: &ArrayWiring| charges(&site, &own, array);
    let best = try_all_for(&site, Touch::Free, |_, wiring| {
        let year = model.year(std::slice::from_ref(wiring)).out().kilowatt_hours();
        year - charges(&wiring.array)
    });
    let best = best.expect("there is a plan");
    let proof = plan.energy.expect("energy was asked for");
    let of_plan: f64 = plan.state.wiring().iter().map(|w| charges(&w.array)).sum();
    let found = proof.brings.energy.kilowatt_hours() - of_plan;
    let bound = proof.bound.kilowatt_hours() - of_plan;
    let slack = HOURS * best.abs() + 1e-9;
    assert!(best <= bound + slack, "seed {seed}: {best} is above the bound {bound}");
    assert!(found <= best + slack, "seed {seed}: {found} of at most {best}");
    assert!(found >= best * 0.995 - slack, "seed {seed}: found {found} of {best}");
    Some(proof.proven)
}

#[test]
fn two_inputs_on_two_planes_find_the_best_year_or_are_inside_its_bound() {
    let proofs: Vec<bool> = (7000..7024).filter_map(compare_two_inputs).collect();
    let proven = proofs.iter().filter(|proven| **proven).count();
    assert!(proofs.len() >= 12, "{} cases had a plan", proofs.len());
    assert!(proven * 2 >= proofs.len(), "{proven} of {} were proven", proofs.len());
}

#[test]
fn a_shadow_never_raises_the_year_of_the_best_plan() {
    let mut compared = 0;
    for seed in 6000..6020 {
        let site = sunny_site(seed, 3, 1);
        let design = DesignSun::SquareOn(PlaneIdx(0));
        let mut best: Option<f64> = None;
        for shade in [0.0, 0.3, 0.7, 1.0] {
            let mut darker = site.clone();
            darker.site.sun.planes[0].shade = shade;
            darker.site.sun.planes = light(darker.site.sun.planes, design);
            for kind in &mut darker.kinds {
                let placed = kind.placed.as_mut().expect("on a plane");
                placed.sun = darker.site.sun.planes[placed.plane.0].at_design;
            }
            // No panel is charged for its place: then the bound is one on energy alone.
            let free = Options { threshold_watts: 0.0, threshold_share: 0.0, ..Options::default() };
            let Some(plan) = plan_for(&darker, Aim::Year, free) else { continue };
            let proof = plan.energy.expect("energy was asked for");
            let brings = proof.brings.energy.kilowatt_hours();
            if let Some(before) = best {
                assert!(
                    brings <= before * (1.0 + CELLS) + 1e-9,
                    "seed {seed}, shade {shade}: {brings} kWh, at most {before} with less shade"
                );
                compared += 1;
            }
            best = Some(proof.bound.kilowatt_hours());
        }
    }
    assert!(compared >= 24, "{compared} were compared");
}
