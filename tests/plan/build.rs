//! Small sites made by hand.

use sungraft::electrical::Catalog;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
    Installation, Kind, KindIdx, Label, Output, PanelString, Site, Spare, SunData,
};
use sungraft::plan::{Check, CheckRule, Evaluator, InputState, State};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

/// Strings of elements of kinds.
pub(crate) type Strings<'a> = &'a [&'a [&'a [usize]]];

/// Where every test site has its one input.
pub(crate) const AT: InputRef = InputRef { controller: 0, input: 1 };

/// Vmp, Imp, Voc, Isc; Pmax is their product.
pub(crate) fn kind(id: &str, [v_mp, i_mp, v_oc, i_sc]: [f64; 4]) -> Kind {
    Kind {
        id: id.to_owned(),
        label: Label {
            p_mp: Watts(v_mp * i_mp),
            v_mp: Volts(v_mp),
            i_mp: Amps(i_mp),
            v_oc: Volts(v_oc),
            i_sc: Amps(i_sc),
        },
        v_oc_coefficient: Some(PercentPerC(-0.32)),
        i_sc_coefficient: Some(PercentPerC(0.05)),
        p_mp_coefficient: Some(PercentPerC(-0.43)),
        cells: Some(36),
        bypass_diodes: Some(2),
        noct: Some(Celsius(45.0)),
        max_fuse: Some(Amps(15.0)),
        max_system: Some(Volts(600.0)),
        tolerance_percent: None,
        age_years: None,
        v_oc_tolerance_percent: None,
        estimated: false,
        placed: None,
    }
}

/// The four invented panels of the check values, in this order.
pub(crate) const P50: usize = 0;
pub(crate) const P100: usize = 1;
pub(crate) const P200: usize = 2;
pub(crate) const P250: usize = 3;

/// `P50`, `P100`, `P200` and `P250`, whose curves an independent model has drawn.
pub(crate) fn invented_panels() -> Vec<Kind> {
    let make = |id: &str, label, cells, diodes, beta, gamma| Kind {
        cells: Some(cells),
        bypass_diodes: Some(diodes),
        v_oc_coefficient: Some(PercentPerC(beta)),
        p_mp_coefficient: Some(PercentPerC(gamma)),
        ..kind(id, label)
    };
    vec![
        make("P50", [17.8, 2.81, 21.8, 3.03], 36, 1, -0.34, -0.45),
        make("P100", [18.0, 5.56, 22.3, 5.90], 36, 2, -0.32, -0.43),
        make("P200", [20.4, 9.8, 24.3, 10.2], 36, 2, -0.30, -0.38),
        make("P250", [30.5, 8.2, 37.6, 8.71], 60, 3, -0.32, -0.43),
    ]
}

/// An MPPT controller on a 12 V battery, with limits wide enough not to matter.
pub(crate) fn mppt() -> Controller {
    Controller {
        id: "shed".to_owned(),
        controller_type: ControllerType::Mppt,
        output: Output::Battery(BatteryBank {
            nominal: Volts(12.0),
            charge: None,
            charge_limit: None,
        }),
        max_pv: Volts(600.0),
        window: Some((Volts(15.0), Volts(560.0))),
        max_pv_current: Some(Amps(200.0)),
        max_pv_power: None,
        n_inputs: 1,
        string_ports: 8,
        blocking_diodes: false,
        efficiency: None,
        spare: None,
    }
}

/// A PWM controller that holds its array at a voltage.
pub(crate) fn pwm(charge: f64) -> Controller {
    Controller {
        controller_type: ControllerType::Pwm,
        output: Output::Battery(BatteryBank {
            nominal: Volts(12.0),
            charge: Some(Volts(charge)),
            charge_limit: None,
        }),
        window: None,
        max_pv: Volts(50.0),
        ..mppt()
    }
}

/// One input with nothing installed and no spares, −10 to 35 °C.
pub(crate) fn site(kinds: Vec<Kind>, controller: Controller) -> Installation {
    Installation {
        site: Site {
            name: "Hollow Creek seed shed".to_owned(),
            coldest: Celsius(-10.0),
            hottest: Celsius(35.0),
            block_max: 2,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds,
        controllers: vec![controller],
        installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
        spares: Vec::new(),
        kept: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

/// The same site with an array installed and panels spare.
pub(crate) fn with_stock(
    mut site: Installation,
    installed: Strings,
    spares: &[(usize, usize)],
) -> Installation {
    site.installed = vec![input(installed)];
    site.spares = spares
        .iter()
        .map(|&(k, count)| Spare { kind: KindIdx(k), count, price: None, places: Vec::new() })
        .collect();
    site
}

/// Strings of elements of kinds, on the one input.
pub(crate) fn input(strings: Strings) -> InputWiring {
    let element = |e: &&[usize]| Element::block(e.iter().map(|k| KindIdx(*k)).collect());
    let string = |s: &&[&[usize]]| PanelString::new(s.iter().map(element).collect());
    InputWiring { at: AT, array: ArrayWiring { strings: strings.iter().map(string).collect() } }
}

/// `n` strings of `length` panels of kind 0.
pub(crate) fn alike(n: usize, length: usize) -> InputWiring {
    let string = PanelString::new(vec![Element::single(KindIdx(0)); length]);
    InputWiring { at: AT, array: ArrayWiring { strings: vec![string; n] } }
}

pub(crate) fn fit(site: &Installation) -> Catalog {
    Catalog::fit(&site.kinds).expect("the labels are legal")
}

pub(crate) fn state(site: &Installation, wiring: &InputWiring) -> State {
    let catalog = fit(site);
    Evaluator::new(site, &catalog).state(std::slice::from_ref(wiring))
}

pub(crate) fn input_state(site: &Installation, wiring: &InputWiring) -> InputState {
    state(site, wiring).inputs.remove(0)
}

/// The check of one rule, if there is one.
pub(crate) fn check(site: &Installation, wiring: &InputWiring, rule: CheckRule) -> Option<Check> {
    let mut found = state(site, wiring).checks.into_iter().filter(|c| c.rule == rule);
    let first = found.next();
    assert!(found.next().is_none(), "one check per rule and input");
    first
}

/// Asserts that two figures are within a tolerance of each other.
#[track_caller]
pub(crate) fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}
