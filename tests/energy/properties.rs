//! What must hold for every year of sun.

use sungraft::electrical::Catalog;
use sungraft::energy::{EnergyModel, YearEnergy};
use sungraft::model::{BatteryBank, Controller, Loss, Output, SunData};
use sungraft::units::{Amps, Volts};

use crate::site::{
    P50, P100, P250, four_hundred_watts, mppt, site, south, string, under_means, under_weather,
    year,
};

fn means() -> SunData {
    SunData {
        latitude_deg: Some(44.6),
        tilt_deg: Some(40.0),
        azimuth_deg: Some(180.0),
        sun_kwh_m2_day: Some([1.9, 2.8, 3.9, 4.8, 5.6, 6.2, 6.3, 5.5, 4.5, 3.1, 2.0, 1.6]),
        air_c: Some([-7.0, -5.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 16.0, 9.0, 2.0, -4.0]),
        losses: Some(Vec::new()),
        ..SunData::default()
    }
}

fn with_limit(amps: f64) -> Controller {
    let bank = BatteryBank {
        nominal: Volts(12.0),
        charge: Some(Volts(13.5)),
        charge_limit: Some(Amps(amps)),
    };
    Controller { output: Output::Battery(bank), ..mppt() }
}

fn out(year: &YearEnergy) -> f64 {
    year.out().kilowatt_hours()
}

#[test]
fn a_plan_never_has_more_energy_than_its_panels_taken_alone() {
    let unlimited = || with_limit(1000.0);
    let wirings = [
        vec![string(&[P100, P100]), string(&[P250])],
        vec![string(&[P50, P250])],
        vec![string(&[P50, P50, P250]), string(&[P100, P100, P100])],
    ];
    for strings in wirings {
        let alone: f64 = strings
            .iter()
            .flat_map(|s| s.panels().collect::<Vec<_>>())
            .map(|k| out(&year(&site(vec![string(&[k])], unlimited(), means()))))
            .sum();
        let together = out(&year(&site(strings.clone(), unlimited(), means())));
        // Either figure comes from a table that is right to 0.1 %.
        assert!(together <= alone * 1.001, "{strings:?}: {together} of {alone}");
    }
}

#[test]
fn a_larger_charge_limit_never_lowers_the_energy_and_what_is_clipped_adds_up() {
    let strings = || vec![string(&[P100, P100]), string(&[P100, P100])];
    let free = out(&year(&site(strings(), with_limit(1000.0), means())));
    let mut before = 0.0;
    for amps in [2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 40.0] {
        let year = year(&site(strings(), with_limit(amps), means()));
        assert!(out(&year) >= before, "{amps} A");
        before = out(&year);
        let clipped = year.clipped().kilowatt_hours();
        assert!((out(&year) + clipped - free).abs() < 1e-6 * free, "{amps} A");
        assert_eq!(clipped > 0.0, year.clipped_hours() > 0.0, "{amps} A");
    }
}

#[test]
fn output_at_its_limit_is_its_limit_times_the_hours() {
    // 2 A × 13.5 V, which four panels pass in all but the weakest sun.
    let sun = means();
    let year = year(&site(vec![string(&[P100, P100]); 2], with_limit(2.0), sun));
    let full = year.clipped_hours() * 2.0 * 13.5 / 1000.0;
    assert!(out(&year) >= full && out(&year) < 1.1 * full, "{} {full}", out(&year));
}

#[test]
fn losses_and_efficiency_take_their_share_where_nothing_clips() {
    let strings = || vec![string(&[P100, P100])];
    let whole = out(&year(&site(strings(), with_limit(1000.0), means())));
    let losses = Some(vec![Loss { id: "dirt".into(), share: 0.10 }]);
    let dirty = site(strings(), with_limit(1000.0), SunData { losses, ..means() });
    assert!((out(&year(&dirty)) / whole - 0.90).abs() < 1e-9);
    let poor = Controller { efficiency: Some(0.97 * 0.5), ..with_limit(1000.0) };
    assert!((out(&year(&site(strings(), poor, means()))) / whole - 0.5).abs() < 1e-9);
}

#[test]
fn two_inputs_of_one_controller_share_its_output_limit() {
    let mut both = site(vec![string(&[P100, P100])], with_limit(10.0), means());
    both.controllers[0].n_inputs = 2;
    let mut second = both.installed[0].clone();
    second.at.input = 2;
    both.installed.push(second);
    let one = site(vec![string(&[P100, P100]); 2], with_limit(10.0), means());
    assert!((out(&year(&both)) / out(&year(&one)) - 1.0).abs() < 1e-3);
}

#[test]
fn nothing_wired_brings_nothing() {
    let empty = year(&site(Vec::new(), mppt(), means()));
    assert_eq!((out(&empty), empty.clipped_hours()), (0.0, 0.0));
}

#[test]
fn without_all_of_the_sun_there_is_no_year() {
    let catalog = |i: &sungraft::model::Installation| Catalog::fit(&i.kinds).expect("sound labels");
    let lacking: [fn(&mut SunData); 5] = [
        |s| s.latitude_deg = None,
        |s| s.tilt_deg = None,
        |s| s.azimuth_deg = None,
        |s| s.sun_kwh_m2_day = None,
        |s| s.air_c = None,
    ];
    for take in lacking {
        let mut installation = four_hundred_watts(means());
        take(&mut installation.site.sun);
        let catalog = catalog(&installation);
        assert!(EnergyModel::of(&installation, &catalog).is_none());
    }
    // A flat array faces nowhere, so that it needs no azimuth.
    let flat = SunData { tilt_deg: Some(0.0), azimuth_deg: None, ..means() };
    assert!(out(&year(&four_hundred_watts(flat))) > 100.0);
}

#[test]
fn a_weather_file_stands_before_monthly_means() {
    let weather = south();
    let both = SunData { year: Some(weather.clone()), ..under_means(&weather, 36.0) };
    let by_file = year(&four_hundred_watts(under_weather(&weather, 36.0)));
    assert_eq!(year(&four_hundred_watts(both)), by_file);
}

#[test]
fn a_steeper_array_has_a_better_worst_month_and_a_worse_june() {
    let at = |tilt| year(&four_hundred_watts(SunData { tilt_deg: Some(tilt), ..means() }));
    let (flat, steep) = (at(10.0), at(60.0));
    let worst = |y: &YearEnergy| y.per_day(y.worst_month()).kilowatt_hours();
    assert!(worst(&steep) > 1.3 * worst(&flat));
    assert!(steep.months[5].out < flat.months[5].out);
    assert_eq!(flat.worst_month(), 11);
}
