//! A year of sun on several planes.

use sungraft::electrical::Catalog;
use sungraft::energy::{EnergyModel, YearEnergy};
use sungraft::model::{
    DesignSun, Installation, KindIdx, PanelPlane, PlaneIdx, Site, Spare, SunData,
};
use sungraft::units::Celsius;

use crate::panels::invented;
use crate::random::Random;
use crate::site::{light, on_planes, plane};
use crate::sites::random_site;

fn means() -> SunData {
    SunData {
        latitude_deg: Some(47.2),
        tilt_deg: Some(35.0),
        azimuth_deg: Some(180.0),
        sun_kwh_m2_day: Some([1.2, 2.1, 3.3, 4.5, 5.4, 5.9, 6.0, 5.1, 3.8, 2.4, 1.4, 1.0]),
        air_c: Some([-1.0, 1.0, 5.0, 9.0, 14.0, 17.0, 19.0, 19.0, 15.0, 10.0, 4.0, 0.0]),
        ..SunData::default()
    }
}

/// Random strings of one kind of panel under a year of sun, on planes; and the same without planes.
fn under_a_year(seed: u64, planes: Vec<PanelPlane>) -> (Installation, Installation) {
    let mut rng = Random::seeded(seed);
    let mut bare = random_site(&mut rng, 6);
    // One wide window and sound panels: what is asked is the year, not the limits.
    bare.kinds = (0..bare.kinds.len()).map(|_| invented().swap_remove(1)).collect();
    bare.controllers[0].window = bare.controllers[0]
        .window
        .map(|_| (sungraft::units::Volts(5.0), sungraft::units::Volts(140.0)));
    bare.site = Site { hottest: Celsius(35.0), sun: means(), ..bare.site };
    bare.spares = vec![Spare { kind: KindIdx(0), count: 1, price: None, places: Vec::new() }];
    let design = DesignSun::SquareOn(PlaneIdx(0));
    let placed = on_planes(&bare, planes, design, || rng.below(2), || vec![0]);
    (placed, bare)
}

fn year(site: &Installation, how: impl Fn(&EnergyModel) -> YearEnergy) -> f64 {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let model = EnergyModel::of(site, &catalog).expect("the file says enough");
    how(&model).out().kilowatt_hours()
}

fn two(shade: f64) -> Vec<PanelPlane> {
    vec![plane("east", 35.0, 90.0, 0.0), plane("west", 50.0, 255.0, shade)]
}

/// Hours put together against every hour's own curves: 0.3 %.
#[test]
fn hours_put_together_give_the_year_of_every_hour() {
    for seed in 0..12 {
        let (site, _) = under_a_year(seed, two(0.1));
        let together = year(&site, |m| m.year(&site.installed));
        let by_hour = year(&site, |m| m.year_hour_by_hour(&site.installed));
        let off = (together - by_hour).abs();
        assert!(
            off <= 0.003 * by_hour + 0.01,
            "seed {seed}: {together} kWh, {by_hour} by the hour"
        );
    }
}

/// The same on four planes, which have no more cells: 0.5 %.
#[test]
fn hours_put_together_on_four_planes_give_the_year_of_every_hour() {
    let planes = || {
        let more = [plane("wall", 90.0, 185.0, 0.2), plane("rack", 60.0, 160.0, 0.0)];
        two(0.1).into_iter().chain(more).collect::<Vec<_>>()
    };
    for seed in 12..18 {
        let mut rng = Random::seeded(seed);
        let (_, bare) = under_a_year(seed, planes());
        let design = DesignSun::SquareOn(PlaneIdx(0));
        let site = on_planes(&bare, planes(), design, || rng.below(4), || vec![0]);
        let together = year(&site, |m| m.year(&site.installed));
        let by_hour = year(&site, |m| m.year_hour_by_hour(&site.installed));
        let off = (together - by_hour).abs();
        assert!(
            off <= 0.005 * by_hour + 0.01,
            "seed {seed}: {together} kWh, {by_hour} by the hour"
        );
    }
}

/// 0.3 %: the one is looked up in a table over sun and air, the other in cells.
#[test]
fn planes_that_stand_alike_have_the_year_of_one() {
    for seed in 20..26 {
        let alike = vec![plane("a", 35.0, 180.0, 0.0), plane("b", 35.0, 180.0, 0.0)];
        let (placed, bare) = under_a_year(seed, alike);
        let [with, without] = [&placed, &bare].map(|s| year(s, |m| m.year(&s.installed)));
        assert!((with - without).abs() <= 0.003 * without + 0.01, "seed {seed}: {with} {without}");
    }
}

#[test]
fn a_shadow_never_raises_the_energy_of_a_wiring() {
    for seed in 40..52 {
        let kwh: Vec<f64> = [0.0, 0.15, 0.4, 1.0]
            .into_iter()
            .map(|shade| {
                let (mut site, _) = under_a_year(seed, two(shade));
                site.site.sun.planes =
                    light(site.site.sun.planes.clone(), DesignSun::SquareOn(PlaneIdx(0)));
                year(&site, |m| m.year_hour_by_hour(&site.installed))
            })
            .collect();
        assert!(kwh.windows(2).all(|w| w[1] <= w[0] * (1.0 + 1e-4) + 1e-9), "seed {seed}: {kwh:?}");
    }
}

/// East and west share a day out between them: in parallel they bring nearly what each brings alone.
#[test]
fn a_string_on_each_roof_face_brings_what_both_bring_alone() {
    let (mut site, _) = under_a_year(60, two(0.0));
    let string = |plane: usize| {
        let one = sungraft::model::Element::single(KindIdx(plane));
        sungraft::model::PanelString::new(vec![one.clone(), one])
    };
    let mut of = |strings: Vec<sungraft::model::PanelString>| {
        site.installed[0].array = sungraft::model::ArrayWiring { strings };
        year(&site, |m| m.year(&site.installed))
    };
    let (east, west) = (of(vec![string(0)]), of(vec![string(1)]));
    let both = of(vec![string(0), string(1)]);
    assert!(both <= (east + west) * 1.001, "{both} of {east} and {west}");
    assert!(both >= 0.98 * (east + west), "{both} of {east} and {west}");
}
