//! Inventories made to be awkward: panels that are all equal, strings worth nothing, a window
//! without width, one port, limits that are met exactly.

use sungraft::electrical::cold_v_oc;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputWiring, Installation, Kind,
    KindIdx, Output, PanelString, Site, Spare, SunData,
};
use sungraft::plan::{Plan, Rule, Touch};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

use crate::sites::AT;
use crate::{Compared, compare, panels, plan_for};

/// A hair, as a fraction: more than the rounding that limits allow for (1e-9).
const HAIR: f64 = 2e-6;

fn kind(id: &str, v_mp: f64, i_mp: f64) -> Kind {
    Kind {
        v_oc_coefficient: Some(PercentPerC(-0.31)),
        max_fuse: Some(Amps(15.0)),
        max_system: Some(Volts(600.0)),
        bypass_diodes: Some(2),
        ..panels::kind(id, v_mp, i_mp, 1.22 * v_mp, 1.06 * i_mp)
    }
}

/// One input on a 12 V battery, limits wide enough not to matter; so many spares of each kind.
fn site(kinds: Vec<Kind>, counts: &[usize]) -> Installation {
    let spares = counts.iter().enumerate();
    Installation {
        spares: spares
            .map(|(k, n)| Spare { kind: KindIdx(k), count: *n, price: None, places: Vec::new() })
            .collect(),
        site: Site {
            name: "awkward".to_owned(),
            coldest: Celsius(-10.0),
            hottest: Celsius(30.0),
            block_max: 2,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds,
        controllers: vec![Controller {
            id: "c".to_owned(),
            controller_type: ControllerType::Mppt,
            output: Output::Battery(BatteryBank {
                nominal: Volts(12.0),
                charge: None,
                charge_limit: None,
            }),
            max_pv: Volts(150.0),
            window: Some((Volts(15.0), Volts(140.0))),
            max_pv_current: Some(Amps(100.0)),
            max_pv_power: None,
            n_inputs: 1,
            string_ports: 4,
            blocking_diodes: false,
            efficiency: None,
            spare: None,
        }],
        installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
        kept: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

/// By both rules; the answer by the curves.
fn compare_both(case: &str, site: &Installation) -> Compared {
    compare(&format!("{case}, nameplate"), site, Touch::Free, Rule::Nameplate);
    compare(&format!("{case}, curves"), site, Touch::Free, Rule::Curve)
}

fn n_panels(plan: Option<&Plan>) -> usize {
    plan.map_or(0, |p| p.state.wiring().iter().flat_map(|w| w.array.panels()).count())
}

fn strings(plan: Option<&Plan>) -> usize {
    plan.map_or(0, |p| p.state.inputs[0].strings.len())
}

#[test]
fn panels_that_are_all_equal_are_planned_as_by_trying_everything() {
    for n in 1..=6 {
        for ports in [1, 2, 4] {
            let mut site = site(vec![kind("a", 18.0, 5.0)], &[n]);
            site.controllers[0].string_ports = ports;
            let found = compare_both(&format!("{n} equal panels, {ports} ports"), &site);
            assert_eq!(n_panels(found.plan.as_ref()), n);
        }
    }
}

/// Twenty-four are too many to try everything: all of them at their best is what no wiring beats.
#[test]
fn two_dozen_equal_panels_are_wired_at_their_best_and_proven() {
    for (n, ports) in [(24, 8), (24, 3), (36, 12)] {
        let mut site = site(vec![kind("a", 18.0, 3.0)], &[n]);
        // Fuses of any size: the fault rules are not what this is about.
        site.kinds[0].max_fuse = Some(Amps(200.0));
        site.controllers[0].max_pv_current = Some(Amps(1000.0));
        site.controllers[0].max_pv = Volts(250.0);
        site.controllers[0].window = Some((Volts(15.0), Volts(240.0)));
        site.controllers[0].string_ports = ports;
        let plan =
            plan_for("equal panels", &site, Touch::Free, Rule::Curve).expect("all limits are wide");
        assert!(plan.bound.proven);
        let labels = 54.0 * n as f64;
        assert!((plan.state.watts().watts() - labels).abs() < 1e-3 * labels, "{}", plan.added.0);
        assert_eq!(n_panels(Some(&plan)), n);
    }
}

#[test]
fn kinds_that_differ_in_name_alone_are_planned_as_by_trying_everything() {
    let kinds = ["a", "b", "c"].map(|id| kind(id, 20.0, 4.0)).to_vec();
    for ports in [1, 3] {
        let mut site = site(kinds.clone(), &[2, 2, 1]);
        site.controllers[0].string_ports = ports;
        let found = compare_both(&format!("three names of one kind, {ports} ports"), &site);
        assert_eq!(n_panels(found.plan.as_ref()), 5);
    }
}

#[test]
fn panels_worth_exactly_their_charge_or_nothing_are_left_aside() {
    // 1 W, which is the charge on each panel, and half of it.
    let worthless = [kind("even", 20.0, 0.05), kind("less", 20.0, 0.025)];
    let found = compare_both("panels worth nothing", &site(worthless.to_vec(), &[2, 2]));
    assert_eq!(n_panels(found.plan.as_ref()), 0, "nothing is worth wiring");
    let [even, less] = worthless;
    let beside = vec![kind("a", 20.0, 5.0), even, less];
    let found = compare_both("panels worth nothing beside others", &site(beside, &[2, 2, 1]));
    let plan = found.plan.expect("two panels are worth wiring");
    let zero_watts = plan.state.wiring()[0].array.panels().filter(|k| k.0 > 0).count();
    assert_eq!(zero_watts, 0, "of equals the fewest panels");
}

#[test]
fn a_window_without_width_holds_every_array_at_its_one_voltage() {
    let mut wired = 0;
    for (v, counts) in
        [(36.0, [3, 1]), (35.0, [2, 2]), (18.0, [2, 2]), (54.0, [3, 2]), (21.7, [1, 2])]
    {
        let mut site = site(vec![kind("a", 18.0, 5.0), kind("b", 17.5, 3.0)], &counts);
        // The hottest noon would rule out what stands exactly at its best when cool.
        site.site.hottest = Celsius(-5.0);
        site.controllers[0].window = Some((Volts(v), Volts(v)));
        let found = compare_both(&format!("held at {v} V"), &site);
        if let Some(plan) = found.plan {
            assert_eq!(plan.state.inputs[0].v, Volts(v));
            wired += 1;
        }
    }
    assert!(wired >= 4, "{wired}");
}

#[test]
fn with_one_port_there_is_one_string() {
    for block_max in 1..=3 {
        let kinds = vec![kind("a", 18.0, 5.0), kind("b", 18.4, 2.5)];
        let mut site = site(kinds, &[2, 3]);
        site.controllers[0].string_ports = 1;
        site.site.block_max = block_max;
        let found = compare_both(&format!("one port, blocks of {block_max}"), &site);
        assert_eq!(strings(found.plan.as_ref()), 1);
    }
}

/// The same site with a limit at a figure, and a hair below it: panels wired by both.
fn at_and_below(
    case: &str,
    site: &Installation,
    figure: f64,
    set: impl Fn(&mut Installation, f64),
) -> (usize, usize) {
    let wired = |limit: f64, case: &str| {
        let mut limited = site.clone();
        set(&mut limited, limit);
        n_panels(compare_both(case, &limited).plan.as_ref())
    };
    (
        wired(figure, &format!("{case} met exactly")),
        wired(figure * (1.0 - HAIR), &format!("{case} passed by a hair")),
    )
}

#[test]
fn a_limit_that_is_met_exactly_is_kept_and_one_that_is_passed_by_a_hair_is_not() {
    let mut one_string = site(vec![kind("a", 18.3, 5.1)], &[3]);
    one_string.controllers[0].string_ports = 1;
    one_string.site.block_max = 1;
    let three = PanelString::new(vec![Element::single(KindIdx(0)); 3]);
    let cold = cold_v_oc(&three, &one_string.kinds, one_string.site.coldest).v_oc.volts();
    let by_controller = at_and_below("the controller's volts", &one_string, cold, |site, limit| {
        site.controllers[0].max_pv = Volts(limit);
    });
    assert_eq!(by_controller, (3, 2));
    let by_label = at_and_below("the label's volts", &one_string, cold, |site, limit| {
        site.kinds[0].max_system = Some(Volts(limit));
    });
    assert_eq!(by_label, (3, 2));
    // Strings of one: the window ends below two in series.
    let mut strings_of_one = site(vec![kind("a", 18.3, 5.1)], &[3]);
    strings_of_one.controllers[0].max_pv = Volts(30.0);
    strings_of_one.controllers[0].window = Some((Volts(15.0), Volts(29.0)));
    strings_of_one.site.block_max = 1;
    let i_sc = strings_of_one.kinds[0].label.i_sc.amps();
    let by_current =
        at_and_below("the input's amps", &strings_of_one, 1.25 * 3.0 * i_sc, |site, limit| {
            site.controllers[0].max_pv_current = Some(Amps(limit));
        });
    assert_eq!(by_current, (3, 2));
    let label = strings_of_one.kinds[0].label.p_mp.watts();
    let by_power =
        at_and_below("the input's watts", &strings_of_one, 3.0 * label, |site, limit| {
            site.controllers[0].max_pv_power = Some(Watts(limit));
        });
    assert_eq!(by_power, (3, 2));
    // Two others feed 1.25 times their short-circuit current into a short; no fuse is large enough
    // to carry so much, so that a label which bears less allows two strings only.
    let mut strong = strings_of_one;
    strong.kinds[0] = kind("a", 18.3, 20.0);
    let fed = 1.25 * 2.0 * strong.kinds[0].label.i_sc.amps();
    let by_fault = at_and_below("what feeds a short", &strong, fed, |site, limit| {
        site.kinds[0].max_fuse = Some(Amps(limit));
    });
    assert_eq!(by_fault, (3, 2));
}
