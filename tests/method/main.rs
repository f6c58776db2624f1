//! The way from today's wiring to the plan: steps, the states between them, the test sheet.

#[path = "../joints_brute_force/dice.rs"]
mod dice;
mod safety;
mod sheet;
mod walk;
mod words;

use sungraft::electrical::Catalog;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
    Installation, Kind, KindIdx, Label, Output, PanelString, Site, SunData,
};
use sungraft::plan::{Evaluator, Measured, Method};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

pub(crate) const AT: InputRef = InputRef { controller: 0, input: 1 };

/// An invented kind: Vmp, Imp, Voc, Isc.
pub(crate) fn kind(id: &str, [v_mp, i_mp, v_oc, i_sc]: [f64; 4], max_fuse: f64) -> Kind {
    Kind {
        id: id.into(),
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
        max_fuse: Some(Amps(max_fuse)),
        max_system: Some(Volts(600.0)),
        tolerance_percent: None,
        age_years: None,
        v_oc_tolerance_percent: None,
        estimated: false,
        placed: None,
    }
}

/// Three kinds of unequal voltage and current.
pub(crate) fn kinds() -> Vec<Kind> {
    vec![
        kind("loft-100", [18.0, 5.56, 22.3, 5.90], 15.0),
        kind("loft-50", [17.8, 2.81, 21.8, 3.03], 15.0),
        kind("loft-250", [30.5, 8.2, 37.6, 8.71], 15.0),
    ]
}

/// A site with as many controllers as asked for, one input each.
pub(crate) fn site(kinds: Vec<Kind>, installed: Vec<InputWiring>) -> Installation {
    let controllers = installed.iter().enumerate().map(|(n, _)| Controller {
        id: format!("loft-{n}"),
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
        string_ports: 12,
        blocking_diodes: false,
        efficiency: None,
        spare: None,
    });
    Installation {
        site: Site {
            name: "Millrace loft".into(),
            coldest: Celsius(-10.0),
            hottest: Celsius(35.0),
            block_max: 3,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds,
        controllers: controllers.collect(),
        installed,
        spares: Vec::new(),
        kept: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

/// Strings of elements of kinds, on the first input.
pub(crate) fn input(strings: &[&[&[usize]]]) -> InputWiring {
    let element = |e: &&[usize]| Element::block(e.iter().map(|k| KindIdx(*k)).collect());
    let string = |s: &&[&[usize]]| PanelString::new(s.iter().map(element).collect());
    InputWiring { at: AT, array: ArrayWiring { strings: strings.iter().map(string).collect() } }
}

/// The way to a plan.
pub(crate) fn method(
    site: &Installation,
    planned: &[InputWiring],
    measured: Option<Measured>,
) -> Method {
    let catalog = Catalog::fit(&site.kinds).expect("the labels are legal");
    Method::new(&Evaluator::new(site, &catalog), site, planned, measured)
}
