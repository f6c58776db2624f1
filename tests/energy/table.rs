//! Tabulated power against curves drawn anew for every hour.

use sungraft::electrical::Catalog;
use sungraft::energy::EnergyModel;
use sungraft::model::{
    BatteryBank, Controller, ControllerType, Element, Output, PanelString, SunData,
};
use sungraft::units::{Amps, Volts};

use crate::site::{P50, P100, P250, mppt, north, site, south, string, under_means, under_weather};

fn pwm() -> Controller {
    Controller {
        controller_type: ControllerType::Pwm,
        output: Output::Battery(BatteryBank {
            nominal: Volts(12.0),
            charge: None,
            charge_limit: Some(Amps(40.0)),
        }),
        window: None,
        ..mppt()
    }
}

/// Arrays whose power bends in every way that occurs: a wide window, one whose bottom bites in the
/// heat, one whose top bites in the cold, panels that are bypassed, blocks, strings of unlike voltage
/// with and without blocking diodes, PWM.
fn arrays() -> Vec<(&'static str, Vec<PanelString>, Controller)> {
    let unlike = || vec![string(&[P100, P100]), string(&[P250])];
    let block = PanelString::new(vec![
        Element::single(P250),
        Element::block(vec![P100, P50]),
        Element::single(P100),
    ]);
    let window = |lo, hi| Controller { window: Some((Volts(lo), Volts(hi))), ..mppt() };
    vec![
        ("wide window", vec![string(&[P100, P100]); 2], mppt()),
        ("bottom of the window", vec![string(&[P100, P100])], window(33.0, 90.0)),
        ("top of the window", vec![string(&[P100, P100, P100])], window(20.0, 52.0)),
        ("bypassed", vec![string(&[P50, P250, P250])], mppt()),
        ("block", vec![block], mppt()),
        ("unlike strings", unlike(), mppt()),
        ("behind diodes", unlike(), Controller { blocking_diodes: true, ..mppt() }),
        ("PWM", vec![string(&[P100]), string(&[P50])], pwm()),
    ]
}

fn both_ways(sun: &SunData, place: &str) {
    for (name, strings, controller) in arrays() {
        let installation = site(strings, controller, sun.clone());
        let catalog = Catalog::fit(&installation.kinds).expect("sound labels");
        let model = EnergyModel::of(&installation, &catalog).expect("sun enough");
        let quick = model.year(&installation.installed);
        let slow = model.year_hour_by_hour(&installation.installed);
        let (a, b) = (quick.out().kilowatt_hours(), slow.out().kilowatt_hours());
        assert!((a / b - 1.0).abs() < 0.001, "{place}, {name}: {a} not {b}");
        for m in 0..12 {
            let month = |y: &sungraft::energy::YearEnergy| y.months[m].out.kilowatt_hours();
            let off = (month(&quick) - month(&slow)).abs();
            assert!(off < 0.003 * month(&slow) + 0.002, "{place}, {name}, month {m}: {off} kWh");
        }
        let clipped = (quick.clipped().kilowatt_hours(), slow.clipped().kilowatt_hours());
        assert!((clipped.0 - clipped.1).abs() < 0.001 * b, "{place}, {name}: {clipped:?}");
    }
}

/// 0.1 % of the year, 0.3 % of a month: the straight lines between the nodes, and where a window
/// begins to bite between two of them.
#[test]
fn the_table_gives_the_energy_that_every_hours_own_curves_give() {
    both_ways(&under_weather(&south(), 36.0), "south");
    both_ways(&under_means(&north(), 55.0), "north");
}
