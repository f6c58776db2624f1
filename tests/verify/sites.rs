//! Random sites as people have them: one to three kinds, one to four strings, now and then blocks,
//! blocking diodes, two inputs or a PWM controller.

use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
    Installation, Kind, KindIdx, Label, Output, PanelString, Site, SunData,
};
use sungraft::units::{Amps, Celsius, PercentPerC, Volts, Watts};

use crate::random::Random;

fn kind(rng: &mut Random, id: usize) -> Kind {
    let v_mp = [17.6, 18.4, 20.5, 30.8, 36.2][rng.below(5)] * rng.between(0.98, 1.02);
    let i_mp = [2.9, 5.4, 8.3, 9.6][rng.below(4)] * rng.between(0.96, 1.04);
    Kind {
        v_oc_coefficient: Some(PercentPerC(-0.31)),
        i_sc_coefficient: Some(PercentPerC(0.05)),
        p_mp_coefficient: Some(PercentPerC(-0.41)),
        bypass_diodes: Some(if v_mp > 25.0 { 3 } else { 2 }),
        noct: Some(Celsius(45.0)),
        ..Kind::of_label(
            format!("kind-{id}"),
            Label {
                p_mp: Watts(v_mp * i_mp),
                v_mp: Volts(v_mp),
                i_mp: Amps(i_mp),
                v_oc: Volts(v_mp * rng.between(1.20, 1.24)),
                i_sc: Amps(i_mp * rng.between(1.05, 1.08)),
            },
        )
    }
}

/// Which sorts of site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sort {
    /// Any.
    Any,
    /// With strings that differ.
    Mixed,
    /// With two inputs.
    TwoInputs,
    /// With a block.
    Blocks,
}

/// A site of a sort.
pub(crate) fn site(rng: &mut Random, sort: Sort) -> Installation {
    let n_kinds = if sort == Sort::Mixed { 2 + rng.below(2) } else { 1 + rng.below(3) };
    let kinds: Vec<Kind> = (0..n_kinds).map(|k| kind(rng, k)).collect();
    let pwm = sort == Sort::Any && rng.chance(0.15);
    let n_inputs =
        if sort == Sort::TwoInputs { 2 } else { 1 + usize::from(!pwm && rng.chance(0.15)) };
    let arrays: Vec<ArrayWiring> =
        (0..n_inputs).map(|_| array(rng, &kinds, sort, if pwm { 1 } else { 6 })).collect();
    let volts = |s: &PanelString, of: fn(&Label) -> f64| -> f64 {
        let element =
            |e: &Element| e.members().iter().map(|k| of(&kinds[k.0].label)).fold(0.0, f64::max);
        s.elements().iter().map(element).sum()
    };
    let strings = || arrays.iter().flat_map(|a| &a.strings);
    let low = strings().map(|s| volts(s, |l| l.v_mp.volts())).fold(f64::INFINITY, f64::min);
    let high = strings().map(|s| volts(s, |l| l.v_oc.volts())).fold(0.0, f64::max);
    let controller = Controller {
        id: "main".to_owned(),
        controller_type: if pwm { ControllerType::Pwm } else { ControllerType::Mppt },
        output: Output::Battery(BatteryBank {
            nominal: Volts(if low > 25.0 { 24.0 } else { 12.0 }),
            charge: Some(Volts(if low > 25.0 { 28.4 } else { 14.2 })),
            charge_limit: None,
        }),
        max_pv: Volts(2.0 * high),
        window: (!pwm).then_some((Volts(0.45 * low), Volts(1.6 * high))),
        max_pv_current: None,
        max_pv_power: None,
        n_inputs,
        string_ports: 8,
        blocking_diodes: rng.chance(0.15),
        efficiency: None,
        spare: None,
    };
    let installed = arrays
        .into_iter()
        .enumerate()
        .map(|(k, array)| InputWiring { at: InputRef { controller: 0, input: k + 1 }, array });
    Installation {
        site: Site {
            name: "random".to_owned(),
            coldest: Celsius(-15.0),
            hottest: Celsius(34.0),
            block_max: 2,
            isc_factor: 1.25,
            battery_charge: None,
            sun: SunData::default(),
            money: sungraft::model::MoneyData::default(),
        },
        installed: installed.collect(),
        kinds,
        controllers: vec![controller],
        kept: Vec::new(),
        spares: Vec::new(),
        runs: Vec::new(),
        phases: Vec::new(),
    }
}

/// Strings of nearly equal volts, as somebody would join them.
fn array(rng: &mut Random, kinds: &[Kind], sort: Sort, most: usize) -> ArrayWiring {
    let n_strings = if sort == Sort::Mixed { 2 + rng.below(3) } else { 1 + rng.below(4) };
    let main = rng.below(kinds.len());
    let length = if most == 1 { 1 } else { 2 + rng.below(most - 1) };
    let wanted = kinds[main].label.v_mp.volts() * length as f64;
    let mut strings = Vec::new();
    for s in 0..n_strings {
        let other = sort == Sort::Mixed && s == 0 || rng.chance(0.3);
        let kind = if other { rng.below(kinds.len()) } else { main };
        let n = (wanted / kinds[kind].label.v_mp.volts()).round().max(1.0) as usize;
        let mut elements = vec![Element::single(KindIdx(kind)); n];
        if n > 1 && rng.chance(0.25) {
            elements[0] = Element::single(KindIdx(rng.below(kinds.len())));
        }
        if most > 1 && (sort == Sort::Blocks || rng.chance(0.1)) {
            elements[n - 1] = Element::block(vec![KindIdx(kind); 2]);
        }
        strings.push(PanelString::new(elements));
    }
    ArrayWiring { strings }
}
