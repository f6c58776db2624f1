//! Inputs that are to be kept, and inputs that share an output.

use sungraft::electrical::Catalog;
use sungraft::model::{BatteryBank, Output};
use sungraft::plan::{CheckRule, Evaluator, Outcome};
use sungraft::planner::{Failure, Options, plan_only};
use sungraft::units::{Amps, Watts};

use crate::two::{FIRST, SECOND, two_inputs};

#[test]
fn an_input_to_be_kept_stands_in_every_plan_as_it_stands_today() {
    let mut differed = 0;
    for seed in 8000..8040 {
        let mut site = two_inputs(seed, 5);
        let free = plan_only(&site, &Options::default()).expect("plans pass the audit");
        site.kept = vec![FIRST];
        let plans = plan_only(&site, &Options::default()).expect("plans pass the audit");
        let today = site.installed[0].array.canonical();
        for plan in &plans {
            assert_eq!(plan.state.wiring()[0].array.canonical(), today, "seed {seed}");
        }
        let moved = |p: &sungraft::plan::Plan| p.state.wiring()[0].array.canonical() != today;
        differed += usize::from(free.iter().any(moved));
        site.kept = site.installed.iter().map(|w| w.at).collect();
        assert_eq!(plan_only(&site, &Options::default()), Err(Failure::AllKept));
    }
    assert!(differed >= 10, "only {differed} plans touch the input when they may");
}

#[test]
fn inputs_of_one_controller_are_clipped_by_what_they_give_together() {
    let mut clipped = 0;
    for seed in 8100..8140 {
        let mut site = two_inputs(seed, 5);
        let Output::Battery(bank) = site.controllers[0].output else { continue };
        let catalog = Catalog::fit(&site.kinds).expect("legal labels");
        let before = Evaluator::new(&site, &catalog).state(&site.installed);
        let [here, there] = [0, 1].map(|i| before.inputs[i].power.watts());
        if site.installed[1].at != SECOND || here < 1.0 || there < 1.0 {
            continue;
        }
        // Each by itself stays below the limit, both together do not.
        let limit = 0.5 * (here.max(there) + here + there);
        let amps = Amps(limit / bank.charging_voltage().volts());
        site.controllers[0].output =
            Output::Battery(BatteryBank { charge_limit: Some(amps), ..bank });
        let state = Evaluator::new(&site, &catalog).state(&site.installed);
        let passed = state.clipped().map_or(0.0, Watts::watts);
        assert!((passed - limit).abs() < 1e-6, "seed {seed}: {passed} of {limit}");
        let checks: Vec<_> =
            state.checks.iter().filter(|c| c.rule == CheckRule::ChargeLimit).collect();
        assert_eq!(checks.len(), 1, "one output, one check");
        assert_eq!((checks[0].at, checks[0].outcome), (FIRST, Outcome::Caution));
        assert!(checks[0].value.is_some_and(|v| (v - here - there).abs() < 1e-6));
        clipped += 1;
    }
    assert!(clipped >= 3, "only {clipped} sites with two wired inputs");
}
