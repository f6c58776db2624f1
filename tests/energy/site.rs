//! A made-up site under the sun of a file.

use std::fmt::Write as _;
use std::sync::Arc;

use sungraft::electrical::Catalog;
use sungraft::energy::{EnergyModel, YearEnergy};
use sungraft::input::read_weather;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
    Installation, KindIdx, Output, PanelString, Site, SunData, WeatherYear,
};
use sungraft::units::{Amps, Celsius, Volts};

use crate::panels::invented;

pub(crate) const P50: KindIdx = KindIdx(0);
pub(crate) const P100: KindIdx = KindIdx(1);
pub(crate) const P250: KindIdx = KindIdx(4);

/// A string of single panels.
pub(crate) fn string(kinds: &[KindIdx]) -> PanelString {
    PanelString::new(kinds.iter().map(|k| Element::single(*k)).collect())
}

pub(crate) fn mppt() -> Controller {
    Controller {
        id: "hut".into(),
        controller_type: ControllerType::Mppt,
        output: Output::Battery(BatteryBank {
            nominal: Volts(12.0),
            charge: Some(Volts(13.5)),
            charge_limit: Some(Amps(20.0)),
        }),
        max_pv: Volts(100.0),
        window: Some((Volts(5.0), Volts(95.0))),
        max_pv_current: None,
        max_pv_power: None,
        n_inputs: 1,
        string_ports: 4,
        blocking_diodes: false,
        efficiency: Some(0.97),
        spare: None,
    }
}

pub(crate) fn site(
    strings: Vec<PanelString>,
    controller: Controller,
    sun: SunData,
) -> Installation {
    Installation {
        site: Site {
            name: "Kiln yard".into(),
            coldest: Celsius(-20.0),
            hottest: Celsius(35.0),
            block_max: 2,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun,
        },
        kinds: invented(),
        controllers: vec![controller],
        installed: vec![InputWiring {
            at: InputRef { controller: 0, input: 1 },
            array: ArrayWiring { strings },
        }],
        spares: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
        kept: Vec::new(),
    }
}

/// The year of what is installed, without losses beside the controller's.
pub(crate) fn year(installation: &Installation) -> YearEnergy {
    let catalog = Catalog::fit(&installation.kinds).expect("sound labels");
    let model = EnergyModel::of(installation, &catalog).expect("sun enough");
    model.year(&installation.installed)
}

/// Two strings of two P100 under a sun, as the references have them.
pub(crate) fn four_hundred_watts(sun: SunData) -> Installation {
    site(vec![string(&[P100, P100]), string(&[P100, P100])], mppt(), sun)
}

pub(crate) fn under_weather(weather: &Arc<WeatherYear>, tilt_deg: f64) -> SunData {
    SunData {
        tilt_deg: Some(tilt_deg),
        azimuth_deg: Some(180.0),
        year: Some(weather.clone()),
        losses: Some(Vec::new()),
        ..SunData::default()
    }
}

/// The monthly means of a year of weather.
pub(crate) fn under_means(weather: &WeatherYear, tilt_deg: f64) -> SunData {
    const DAYS: [f64; 12] = [31., 28., 31., 30., 31., 30., 31., 31., 30., 31., 30., 31.];
    let (mut sun, mut air) = ([0.0; 12], [0.0; 12]);
    for hour in &weather.hours {
        let m = hour.month as usize - 1;
        sun[m] += hour.global / 1000.0 / DAYS[m];
        air[m] += hour.air.celsius() / (24.0 * DAYS[m]);
    }
    SunData {
        latitude_deg: Some(weather.latitude_deg),
        tilt_deg: Some(tilt_deg),
        azimuth_deg: Some(180.0),
        sun_kwh_m2_day: Some(sun),
        air_c: Some(air),
        losses: Some(Vec::new()),
        ..SunData::default()
    }
}

/// A whole year from an extract of every fifth day, which stands for the two before and after it.
pub(crate) fn weather(extract: &str) -> Arc<WeatherYear> {
    let lines: Vec<&str> = extract.lines().collect();
    let rows = &lines[2..];
    assert_eq!(rows.len(), 73 * 24, "every fifth day");
    let mut text = format!("{}\n{}\n", lines[0], lines[1]);
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let dates = (1..=12).zip(days).flat_map(|(m, n)| (1..=n).map(move |d| (m, d)));
    for (n, (month, day)) in dates.enumerate() {
        for row in &rows[n / 5 * 24..n / 5 * 24 + 24] {
            writeln!(text, "{month:02}/{day:02}/{}", &row[6..]).expect("memory");
        }
    }
    let read = read_weather("extract", text.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    assert!(read.warnings.0.is_empty(), "{}", read.warnings);
    Arc::new(read.value)
}

pub(crate) fn south() -> Arc<WeatherYear> {
    weather(include_str!("../data/tmy3_south_fifth.csv"))
}

pub(crate) fn north() -> Arc<WeatherYear> {
    weather(include_str!("../data/tmy3_north_fifth.csv"))
}
