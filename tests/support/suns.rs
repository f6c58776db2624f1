//! Suns for random sites, and output limits that bite or not.

use sungraft::electrical::Catalog;
use sungraft::energy::EnergyModel;
use sungraft::model::{
    ArrayWiring, BatteryBank, Element, InputWiring, Installation, KindIdx, Output, PanelString,
    SunData,
};
use sungraft::plan::Aim;
use sungraft::units::{Amps, Volts};

use super::random::Random;
use super::sites::{AT, charge, random_site};

pub(crate) fn random_sun(rng: &mut Random) -> SunData {
    let latitude_deg = [8.0, 30.0, 44.6, 58.0][rng.below(4)];
    let summer = rng.between(4.5, 6.5);
    let winter = if latitude_deg > 20.0 { rng.between(0.5, 2.5) } else { rng.between(3.5, 5.0) };
    let warm = rng.between(15.0, 30.0);
    let swing = rng.between(2.0, 15.0);
    let season = |month: usize| 0.5 - 0.5 * (std::f64::consts::TAU * month as f64 / 12.0).cos();
    SunData {
        latitude_deg: Some(latitude_deg),
        tilt_deg: Some(rng.between(0.0, 60.0)),
        azimuth_deg: Some(rng.between(90.0, 270.0)),
        sun_kwh_m2_day: Some(std::array::from_fn(|m| winter + (summer - winter) * season(m))),
        air_c: Some(std::array::from_fn(|m| warm - 2.0 * swing * (1.0 - season(m)))),
        ..SunData::default()
    }
}

/// A small site with a sun and an output limit that may bite hard, a little, or never.
pub(crate) fn sunny_site(seed: u64, n_panels: usize) -> Installation {
    let mut rng = Random::seeded(seed);
    let mut site = random_site(&mut rng, n_panels);
    shine_on(&mut site, &mut rng, n_panels);
    site
}

/// Gives a site a sun, and an output limit that may bite.
pub(crate) fn shine_on(site: &mut Installation, rng: &mut Random, n_panels: usize) {
    site.site.sun = random_sun(rng);
    let share = [None, Some(0.4), Some(0.9)][rng.below(3)];
    limit_output(site, share, n_panels);
}

/// Lets the output pass so large a part of what so many panels of about 100 W may give.
pub(crate) fn limit_output(site: &mut Installation, share: Option<f64>, n_panels: usize) {
    let label = 100.0 * n_panels as f64;
    let Output::Battery(bank) = &site.controllers[0].output else { panic!("it has a battery") };
    let nominal = bank.nominal;
    site.controllers[0].output = Output::Battery(BatteryBank {
        nominal,
        charge: None,
        charge_limit: share.map(|s| Amps(s * label / nominal.volts())),
    });
}

/// What each kind's panel brings by itself where nothing holds it back, in the same part of the year
/// as the charges of the answer.
pub(crate) fn own_energy(site: &Installation, aim: Aim, month: usize) -> Vec<f64> {
    let mut alone = site.clone();
    let controller = &mut alone.controllers[0];
    controller.controller_type = sungraft::model::ControllerType::Mppt;
    controller.window = Some((Volts(0.5), Volts(1000.0)));
    controller.blocking_diodes = false;
    if let Output::Battery(bank) = &mut controller.output {
        bank.charge_limit = None;
    }
    let catalog = Catalog::fit(&alone.kinds).expect("legal labels");
    let model = EnergyModel::of(&alone, &catalog).expect("the sun is known");
    (0..alone.kinds.len())
        .map(|k| {
            let string = PanelString::new(vec![Element::single(KindIdx(k))]);
            let year =
                model.year(&[InputWiring { at: AT, array: ArrayWiring { strings: vec![string] } }]);
            match aim {
                Aim::WorstMonth => year.per_day(month).kilowatt_hours(),
                _ => year.out().kilowatt_hours(),
            }
        })
        .collect()
}

/// What the panels of an array are charged, given what each kind's panel brings by itself.
pub(crate) fn charges(site: &Installation, own: &[f64], array: &ArrayWiring) -> f64 {
    let share = |k: KindIdx| charge(site.kind(k)) / site.kind(k).label.p_mp.watts();
    array.panels().map(|k| share(k) * own[k.0]).sum()
}
