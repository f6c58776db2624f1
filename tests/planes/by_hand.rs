//! Two panels in unlike light, in series and in parallel, small enough to follow on paper.

use sungraft::electrical::{Catalog, array_curve, compared, nameplate_array};
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, DesignSun, Element, InputRef,
    InputWiring, Installation, KindIdx, Output, PanelString, PlaneIdx, Site, Spare, SunData,
};
use sungraft::plan::{LossCause, Touch, work_out};
use sungraft::planner::{Options, advise};
use sungraft::units::{Amps, Celsius, Irradiance, Volts};

use crate::panels::invented;
use crate::site::{on_planes, plane};

const AT: InputRef = InputRef { controller: 0, input: 1 };

/// Two spare P100 and a wide window; one may go on plane `a`, which has full sun, the other on `b`.
fn bench(light_on_b: f64) -> Installation {
    let p100 = invented().swap_remove(1);
    let mut twin = p100.clone();
    twin.id = "twin".to_owned();
    let site = Installation {
        site: Site {
            name: "bench".into(),
            coldest: Celsius(-10.0),
            hottest: Celsius(30.0),
            block_max: 1,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds: vec![p100, twin],
        controllers: vec![Controller {
            id: "bench".into(),
            controller_type: ControllerType::Mppt,
            output: Output::Battery(BatteryBank {
                nominal: Volts(12.0),
                charge: Some(Volts(13.5)),
                charge_limit: Some(Amps(60.0)),
            }),
            max_pv: Volts(100.0),
            window: Some((Volts(10.0), Volts(95.0))),
            max_pv_current: None,
            max_pv_power: None,
            n_inputs: 1,
            string_ports: 2,
            blocking_diodes: false,
            efficiency: None,
            spare: None,
        }],
        installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
        kept: Vec::new(),
        spares: vec![
            Spare { kind: KindIdx(0), count: 1, price: None, places: Vec::new() },
            Spare { kind: KindIdx(1), count: 1, price: None, places: Vec::new() },
        ],
        runs: Vec::new(),
        phases: Vec::new(),
    };
    let planes = vec![plane("a", 30.0, 180.0, 0.0), plane("b", 30.0, 90.0, 0.0)];
    let mut places = vec![vec![1], vec![0]];
    let design = DesignSun::SquareOn(PlaneIdx(0));
    let mut site =
        on_planes(&site, planes, design, || 0, || places.pop().expect("one for each spare"));
    // What plane b has is given, so that the sums below are plain.
    site.site.sun.planes[1].at_design = Irradiance(light_on_b);
    for kind in &mut site.kinds {
        let placed = kind.placed.as_mut().expect("on a plane");
        placed.sun = site.site.sun.planes[placed.plane.0].at_design;
    }
    site
}

/// The panel of the first label on plane `a`, and that of the second on `b`.
const ON_A: KindIdx = KindIdx(0);
const ON_B: KindIdx = KindIdx(3);

fn series() -> ArrayWiring {
    let both = vec![Element::single(ON_A), Element::single(ON_B)];
    ArrayWiring { strings: vec![PanelString::new(both)] }
}

fn parallel() -> ArrayWiring {
    let alone = |k| PanelString::new(vec![Element::single(k)]);
    ArrayWiring { strings: vec![alone(ON_A), alone(ON_B)] }
}

/// By the rule of thumb, with half the sun on `b`: in series 2.78 A at 36 V are 100.1 W, in parallel
/// 5.56 A + 2.78 A at 18 V are 150.1 W.
#[test]
fn by_the_rule_half_the_sun_halves_a_string_but_not_its_neighbour() {
    let site = bench(500.0);
    let watts = |array: &ArrayWiring| {
        let point = nameplate_array(array, &site.kinds, Volts(10.0), Volts(95.0));
        point.expect("has strings").power().watts()
    };
    assert!((watts(&series()) - 36.0 * 2.78).abs() < 1e-9);
    assert!((watts(&parallel()) - 18.0 * (5.56 + 2.78)).abs() < 1e-9);
}

/// Two P100, one in full sun and one in part of it, in series and in parallel: computed for this
/// project by a program of its own from the six-parameter fit of that panel (IL 5.903358 A, I0
/// 1.130516e-10 A, Rs 0.293014 Ω, Rsh 514.80 Ω, a 0.903883 V; photocurrent and shunt by the sun,
/// bypass at −1 V) on 400,000 points. \[W/m²\], \[W\]
const CURVES: [(f64, f64, f64); 3] =
    [(700.0, 150.403, 170.772), (500.0, 109.728, 150.639), (250.0, 94.529, 125.065)];

#[test]
fn by_the_curves_planes_limit_each_other_in_series_and_hardly_in_parallel() {
    for (light, in_series, in_parallel) in CURVES {
        let site = bench(light);
        let catalog = Catalog::fit(&site.kinds).expect("legal labels");
        let set = catalog.curves_at(|k| compared(site.kind(k)));
        let watts = |array: &ArrayWiring| {
            let curve = array_curve(array, &set, false).expect("has strings");
            curve.max_power(Volts(5.0), Volts(95.0)).power().watts()
        };
        let (series, parallel) = (watts(&series()), watts(&parallel()));
        assert!((series / in_series - 1.0).abs() < 1e-3, "{light}: {series} in series");
        assert!((parallel / in_parallel - 1.0).abs() < 1e-3, "{light}: {parallel} in parallel");
    }
}

#[test]
fn the_optimiser_puts_unlike_planes_in_parallel_by_itself() {
    for (light, _, in_parallel) in CURVES {
        let site = bench(light);
        let options = Options { touch: vec![Touch::Free], ..Options::default() };
        let advice = advise(&site, &options).expect("plans pass the audit");
        let best = &advice.plans[advice.best.expect("there is a plan")];
        assert_eq!(best.state.inputs[0].strings.len(), 2, "{light}: a string for each plane");
        assert!((best.state.watts().watts() / in_parallel - 1.0).abs() < 1e-3, "{light}");
        // Utilization stays by labels: a plane in weaker light lowers it.
        let share = best.state.watts().watts() / 200.16;
        assert!((best.state.utilization() - share).abs() < 1e-3, "{light}");
    }
}

/// With half the sun on `b`: 2.78 A less at 18 V are 50.04 W of the labels' 200.16 W, and in series the
/// other panel's 2.78 A as much again.
#[test]
fn a_lesson_tells_where_the_watts_of_the_darker_plane_go() {
    let site = bench(500.0);
    let hold = (Volts(10.0), Volts(95.0));
    for (array, lost) in [(parallel(), 50.04), (series(), 100.08)] {
        let sum = work_out(&array, &site.kinds, hold).expect("has strings");
        assert!((sum.lost().watts() - lost).abs() < 1e-6, "{} W", sum.lost().watts());
        let told: f64 = sum.losses.iter().map(|loss| loss.watts.watts()).sum();
        assert!((told - lost).abs() < 1e-6, "{told} W told");
        let dark = sum.losses.iter().find(|l| matches!(l.cause, LossCause::WeakSun { .. }));
        assert!((dark.expect("it is told").watts.watts() - 50.04).abs() < 1e-6);
    }
}
