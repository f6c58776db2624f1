//! Random small sites, and the best wiring by trying every one.

use sungraft::electrical::Catalog;
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
    Installation, Kind, KindIdx, Label, Output, PanelString, Site, Spare, SunData,
};
use sungraft::plan::{Evaluator, Outcome, Rule, Touch};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

use super::random::Random;
use super::wirings::{LoneBlocks, wirings_of_any};

pub(crate) const AT: InputRef = InputRef { controller: 0, input: 1 };

/// One small site.
pub(crate) fn random_site(rng: &mut Random, n_panels: usize) -> Installation {
    let n_kinds = 1 + rng.below(3.min(n_panels));
    let kinds: Vec<Kind> = (0..n_kinds).map(|k| random_kind(rng, k)).collect();
    let pwm = rng.below(6) == 0;
    let nominal = [12.0, 24.0][rng.below(2)];
    let max_pv = [50.0, 75.0, 100.0, 150.0][rng.below(4)];
    let low = nominal + 2.0 + 4.0 * rng.between(0.0, 1.0);
    let controller = Controller {
        id: "c".to_owned(),
        controller_type: if pwm { ControllerType::Pwm } else { ControllerType::Mppt },
        output: Output::Battery(BatteryBank {
            nominal: Volts(nominal),
            charge: None,
            charge_limit: Some(Amps(30.0)),
        }),
        max_pv: Volts(max_pv),
        window: (!pwm).then_some((Volts(low), Volts(max_pv * (0.8 + 0.2 * rng.between(0.0, 1.0))))),
        max_pv_current: (rng.below(2) == 0).then(|| Amps(10.0 + 40.0 * rng.between(0.0, 1.0))),
        max_pv_power: (rng.below(5) == 0).then(|| Watts(300.0 + 900.0 * rng.between(0.0, 1.0))),
        n_inputs: 1,
        string_ports: 1 + rng.below(4),
        blocking_diodes: rng.below(5) == 0,
        efficiency: None,
        spare: None,
    };
    let panels: Vec<usize> = (0..n_panels).map(|_| rng.below(n_kinds)).collect();
    // Some of them stand today, as strings of one or two alike.
    let n_installed = rng.below(n_panels);
    let mut array = ArrayWiring::default();
    let mut rest = panels[..n_installed].to_vec();
    rest.sort_unstable();
    while let Some(k) = rest.pop() {
        let mut string = vec![Element::single(KindIdx(k))];
        if rng.below(2) == 0
            && let Some(next) = rest.pop()
        {
            string.push(Element::single(KindIdx(next)));
        }
        array.strings.push(PanelString::new(string));
    }
    let spares = (0..n_kinds)
        .map(|k| Spare {
            kind: KindIdx(k),
            count: panels[n_installed..].iter().filter(|p| **p == k).count(),
            price: None,
            places: Vec::new(),
        })
        .filter(|s| s.count > 0)
        .collect();
    Installation {
        site: Site {
            name: "random".to_owned(),
            coldest: Celsius(-30.0 + 30.0 * rng.between(0.0, 1.0)),
            hottest: Celsius(25.0 + 15.0 * rng.between(0.0, 1.0)),
            block_max: 1 + rng.below(3),
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds,
        controllers: vec![controller],
        installed: vec![InputWiring { at: AT, array }],
        spares,
        kept: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

pub(crate) fn random_kind(rng: &mut Random, k: usize) -> Kind {
    let v_mp = [17.0, 18.0, 20.0, 30.0, 36.0][rng.below(5)] * (0.97 + 0.06 * rng.between(0.0, 1.0));
    let i_mp = [1.7, 3.0, 5.5, 8.3, 10.0][rng.below(5)] * (0.95 + 0.1 * rng.between(0.0, 1.0));
    let i_sc = i_mp * 1.06;
    let mut maybe = |x: f64| (rng.below(3) > 0).then_some(x);
    let (beta, gamma, fuse, system) = (maybe(-0.31), maybe(-0.41), maybe(0.0), maybe(0.0));
    Kind {
        id: format!("kind-{k}"),
        label: Label {
            p_mp: Watts(v_mp * i_mp),
            v_mp: Volts(v_mp),
            i_mp: Amps(i_mp),
            v_oc: Volts(v_mp * 1.225),
            i_sc: Amps(i_sc),
        },
        v_oc_coefficient: beta.map(PercentPerC),
        i_sc_coefficient: None,
        p_mp_coefficient: gamma.map(PercentPerC),
        cells: None,
        bypass_diodes: [None, Some(0), Some(2), Some(3)][rng.below(4)],
        noct: None,
        // Sometimes with room for a fuse, sometimes without.
        max_fuse: fuse.map(|_| Amps((i_sc * [1.3, 1.7, 2.4][rng.below(3)]).round().max(1.0))),
        max_system: system.map(|_| Volts([100.0, 600.0][rng.below(2)])),
        tolerance_percent: (rng.below(4) == 0).then(|| 10.0 * rng.between(0.0, 1.0)),
        age_years: None,
        v_oc_tolerance_percent: None,
        estimated: false,
        placed: None,
    }
}

pub(crate) fn charge(kind: &Kind) -> f64 {
    (0.02 * kind.label.p_mp.watts()).max(1.0)
}

/// Does the wiring belong to the search space that the documents state?
pub(crate) fn in_search_space(array: &ArrayWiring, site: &Installation) -> bool {
    array.strings.iter().flat_map(PanelString::elements).all(|element| {
        let v_oc: Vec<f64> =
            element.members().iter().map(|k| site.kind(*k).label.v_oc.volts()).collect();
        let high = v_oc.iter().copied().fold(0.0, f64::max);
        let low = v_oc.iter().copied().fold(f64::INFINITY, f64::min);
        element.members().len() <= site.site.block_max && high - low <= 0.15 * high
    })
}

/// Can today's strings be found again, each in a string of its own, as the touch level demands?
pub(crate) fn keeps_touch(array: &ArrayWiring, today: &[PanelString], touch: Touch) -> bool {
    let Some((first, rest)) = today.split_first() else { return true };
    (0..array.strings.len()).any(|at| {
        let mut others = array.clone();
        let host = others.strings.remove(at);
        let fits = match touch {
            Touch::None => host.canonical() == first.canonical(),
            Touch::Extend => hosts(host.elements(), first.elements()),
            Touch::Free => true,
        };
        fits && keeps_touch(&others, rest, touch)
    })
}

/// Does every element stand in an element of its own, perhaps widened?
fn hosts(wide: &[Element], narrow: &[Element]) -> bool {
    let Some((first, rest)) = narrow.split_first() else { return true };
    (0..wide.len()).any(|at| {
        let mut left = wide.to_vec();
        let host = left.remove(at);
        let mut members = host.members().to_vec();
        let holds = first
            .members()
            .iter()
            .all(|k| members.iter().position(|m| m == k).map(|p| members.remove(p)).is_some());
        holds && hosts(&left, rest)
    })
}

pub(crate) struct Best {
    pub(crate) charged: f64,
    pub(crate) array: ArrayWiring,
}

/// The best wiring that keeps all limits, by trying them all.
pub(crate) fn try_all(site: &Installation, touch: Touch, rule: Rule) -> Option<Best> {
    let all = allowed_wirings(site, touch, rule).into_iter();
    all.reduce(|a, b| if b.charged > a.charged { b } else { a })
}

/// Every wiring that keeps all limits, with its charged watts.
pub(crate) fn allowed_wirings(site: &Installation, touch: Touch, rule: Rule) -> Vec<Best> {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let evaluator = Evaluator::new(site, &catalog);
    let today = &site.installed[0].array;
    let mut inventory: Vec<usize> = today.panels().map(|k| k.0).collect();
    for spare in &site.spares {
        inventory.extend(std::iter::repeat_n(spare.kind.0, spare.count));
    }
    let today_strings: &[PanelString] = if touch == Touch::Free { &[] } else { &today.strings };
    wirings_of_any(&inventory, LoneBlocks::Kept)
        .into_iter()
        .filter(|array| in_search_space(array, site) && keeps_touch(array, today_strings, touch))
        .filter_map(|array| {
            let wiring = InputWiring { at: AT, array };
            let checks = evaluator.checks(&wiring);
            if checks.iter().any(|c| c.outcome == Outcome::Breach) {
                return None;
            }
            let state = evaluator.input_state(&wiring);
            let watts = match rule {
                Rule::Curve => state.power.watts(),
                Rule::Nameplate => state.nameplate.watts(),
            };
            let charges: f64 = wiring.array.panels().map(|k| charge(site.kind(k))).sum();
            Some(Best { charged: watts - charges, array: wiring.array })
        })
        .collect()
}
