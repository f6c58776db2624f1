//! Several inputs, and a controller that is added.

use sungraft::input::read_site;
use sungraft::plan::Ware;
use sungraft::planner::{PhaseOptions, plan_phases};

use super::answers::keeps_its_word;

const PHASES: &str = "
phases:
  - name: spring
    months: 12
    budget: 100
    spares:
      - kind: race-280
        count: 2
        price: 40
  - name: autumn
    months: 24
    budget: 400
    spares:
      - kind: mill-300
        count: 4
        price: 60
    controllers:
      - controller:
          id: weir
          type: mppt
          battery_v: 48
          charge_a: 40
          max_pv_v: 150
          window_v: [60, 140]
          max_pv_a: 25
          string_ports: 2
        price: 150
";

#[test]
fn a_site_of_two_inputs_buys_a_third_where_both_are_full() {
    let text = include_str!("../../scenarios/mill-two-roofs.yaml").to_owned() + PHASES;
    let site = read_site("mill.yaml", text.as_bytes()).unwrap_or_else(|e| panic!("{e}")).value;
    let phased = plan_phases(&site, &PhaseOptions::default()).expect("passes the audit");
    keeps_its_word(&site, &phased, "mill");
    let last = &phased.steps[1];
    let bought = last.bought.iter().any(|b| b.ware == Ware::Controller("weir".to_owned(), None));
    assert_eq!(last.installation.controllers.len(), 2 + usize::from(bought) - 1);
    assert!(last.plan().state.watts().watts() > phased.steps[0].plan().state.watts().watts());
}
