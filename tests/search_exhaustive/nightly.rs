//! Very many random inventories: too long for every day, run by `tests/nightly.sh`.

use std::time::Instant;

use sungraft::plan::{Rule, Touch};

use crate::compare_random;

const N_INVENTORIES: u64 = 2_000;
/// Apart from those of every day.
const FIRST_SEED: u64 = 500_000;
/// Charged watts that count as equal, as a fraction: rounding alone.
const EQUAL: f64 = 1e-9;

#[test]
#[ignore = "takes minutes: tests/nightly.sh runs it"]
#[allow(clippy::print_stdout, reason = "a nightly run tells its figures")]
fn two_thousand_random_inventories_are_planned_as_well_as_by_trying_everything() {
    let start = Instant::now();
    let (mut plans, mut none, mut equal, mut worst) = (0, 0, 0, 0.0_f64);
    for k in 0..N_INVENTORIES {
        let touch = Touch::ALL[k as usize % 3];
        let rule = if k % 4 == 3 { Rule::Nameplate } else { Rule::Curve };
        let compared = compare_random(FIRST_SEED + k, 1 + (k as usize / 3) % 5, touch, rule);
        match compared.plan {
            Some(_) => plans += 1,
            None => none += 1,
        }
        let worse = compared.worse_by();
        equal += usize::from(worse.abs() <= EQUAL);
        worst = worst.max(worse);
    }
    println!(
        "{N_INVENTORIES} inventories: {plans} with a plan, {none} with none; {equal} as good as the \
         best to rounding, the worst {:.4} % below it (allowed: 0.1 %); {:.0} s",
        100.0 * worst,
        start.elapsed().as_secs_f64()
    );
    assert!(plans > 1_200, "hardly any inventory has a plan: {plans}");
}
