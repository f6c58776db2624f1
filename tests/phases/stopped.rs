//! A search that is told to end with what it has.

use sungraft::plan::Aim;
use sungraft::planner::{Options, PhaseOptions, plan_phases};
use sungraft::solve::{Board, Effort, Watch};

use super::answers::keeps_its_word;
use super::every_way::{random_upgrade, try_every_way};
use super::random::Random;
use super::suns::shine_on;

/// Options under a board that says "stop" from the beginning.
fn stopped(aim: Aim) -> PhaseOptions {
    let board: &'static Board = Box::leak(Box::default());
    board.stop("after 0 s");
    let effort = Effort { watch: Watch::on(board), ..Effort::default() };
    let plan = Options { aim: Some(aim), effort, ..Options::default() };
    PhaseOptions { plan, money_worth: None }
}

#[test]
fn a_search_stopped_at_once_still_has_a_sound_plan_and_bound() {
    for (seed, aim) in (7000..7040).map(|s| (s, if s % 2 == 0 { Aim::Watts } else { Aim::Year })) {
        let mut rng = Random::seeded(seed);
        let mut site = random_upgrade(&mut rng, 2 + (seed as usize) % 3);
        shine_on(&mut site, &mut rng, 4);
        let options = stopped(aim);
        let phased = plan_phases(&site, &options).expect("steps pass the audit");
        assert_eq!(phased.stopped.as_deref(), Some("after 0 s"));
        assert!(phased.notes.iter().any(|n| n.starts_with("Stopped after 0 s")), "seed {seed}");
        keeps_its_word(&site, &phased, &format!("seed {seed}"));
        // Nothing is told that rests on searches cut short.
        assert!(
            phased.foils.is_empty() && phased.sold_out.is_empty() && phased.cancelled.is_empty()
        );
        if phased.steps.is_empty() {
            continue;
        }
        let Some(best) = try_every_way(&site, &options) else { continue };
        let bound = phased.proof.as_energy.map_or(phased.proof.bound, |e| e.1.kilowatt_hours());
        assert!(best.value <= bound * (1.0 + 5e-4) + 1e-6, "seed {seed}: {} {bound}", best.value);
    }
}
