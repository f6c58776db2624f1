//! Exercises: invented panels with round figures, each with one best wiring.

use super::puzzle::{self, AT, N_LEVELS, RULE_MARGIN, Solution, solve_puzzle};
use super::random::Random;
use super::sums::{BusPlace, work_out};
use super::{Worked, worked};
use crate::electrical::Catalog;
use crate::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, InputWiring, Installation, Kind, KindIdx,
    Label, Output, Site, Spare, SunData,
};
use crate::plan::Evaluator;
use crate::units::{Amps, Celsius, Volts, Watts};

/// One exercise with its solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// From 1, easy, to [`N_LEVELS`].
    pub level: usize,
    /// The place, its controller, and the panels that lie there, as spares; nothing is wired.
    pub installation: Installation,
    /// A wiring to work out.
    pub given: Worked,
    /// Every wiring tried.
    pub solution: Solution,
}

/// What lies on the ground at each level: panels of each kind, ports, largest block.
const LEVELS: [(&[usize], usize, usize); N_LEVELS] =
    [(&[2], 2, 1), (&[4], 2, 1), (&[2, 1], 2, 1), (&[2, 2], 3, 1), (&[2, 1, 1], 3, 2)];

/// Round voltages, at maximum power and open: about 0.8 apart, as labels have it.
const VOLTAGES: [(f64, f64); 9] = [
    (15.0, 18.5),
    (16.0, 20.0),
    (18.0, 22.0),
    (20.0, 25.0),
    (24.0, 30.0),
    (25.0, 31.0),
    (30.0, 37.0),
    (32.0, 40.0),
    (36.0, 45.0),
];
/// Round currents, at maximum power and shorted: about 0.94 apart, as labels have it.
const CURRENTS: [(f64, f64); 7] =
    [(2.0, 2.2), (3.0, 3.2), (4.0, 4.3), (5.0, 5.3), (6.0, 6.4), (8.0, 8.5), (10.0, 10.6)];
/// Bottom and top of the window, and the maximum voltage.
const WINDOWS: [(f64, f64, f64); 12] = [
    (14.0, 45.0, 50.0),
    (28.0, 45.0, 50.0),
    (14.0, 55.0, 60.0),
    (28.0, 55.0, 60.0),
    (28.0, 70.0, 75.0),
    (40.0, 70.0, 75.0),
    (14.0, 90.0, 100.0),
    (28.0, 90.0, 100.0),
    (55.0, 90.0, 100.0),
    (28.0, 140.0, 150.0),
    (60.0, 140.0, 150.0),
    (70.0, 140.0, 150.0),
];
/// Where it is. All invented.
const PLACES: [&str; 10] = [
    "Sorrel Lane hen house",
    "Two Elms bee yard",
    "Lower Ford pump hut",
    "Kestrel Bank bothy",
    "Pear Tree market stall",
    "Millrace tool shed",
    "Long Acre lambing pen",
    "Chalk Pit workshop",
    "Reed Island bird hide",
    "Orchard Gate greenhouse",
];
/// What kinds are called before their watts. All invented.
const NAMES: [&str; 10] =
    ["plum", "quince", "thistle", "fern", "juniper", "mallow", "clover", "heron", "otter", "hazel"];
/// Draws before giving up; far more than were ever needed.
const MOST_DRAWS: usize = 100_000;

/// Exercises of rising difficulty; the same number and seed give the same ones.
///
/// Each has one wiring that is best by the rule of thumb and by the curves, by [`RULE_MARGIN`] and
/// [`CURVE_MARGIN`](super::CURVE_MARGIN).
#[must_use]
pub fn exercises(count: usize, seed: u64) -> Vec<Exercise> {
    let mut random = Random::seeded(seed);
    (0..count).map(|idx| one(level(idx, count), &mut random)).collect()
}

/// Spread evenly from the first level to the last; a single exercise is of the middle one.
fn level(idx: usize, count: usize) -> usize {
    if count < 2 {
        return N_LEVELS.div_ceil(2);
    }
    1 + (idx * (N_LEVELS - 1) + (count - 1) / 2) / (count - 1)
}

fn one(level: usize, random: &mut Random) -> Exercise {
    (0..MOST_DRAWS)
        .find_map(|_| drawn(level, random))
        .expect("one draw in some hundred is an exercise")
}

/// A draw, if it is an exercise.
fn drawn(level: usize, random: &mut Random) -> Option<Exercise> {
    let installation = place(level, random)?;
    // The cheap test first: most draws fail it.
    let (ranked, _) = puzzle::by_rule(&installation);
    let by_rule = |n: usize| ranked.get(n).map_or(0.0, |r| r.1.watts());
    if by_rule(0) <= 0.0 || by_rule(0) < RULE_MARGIN * by_rule(1) {
        return None;
    }
    let solution = solve_puzzle(&installation)?;
    if !solution.has_one_best() {
        return None;
    }
    let given = given(&installation, &solution, random)?;
    Some(Exercise { level, installation, given, solution })
}

/// A wiring to work out, never the best: one that works before one that does not, with as many panels
/// as can be, and best of all one where something holds something else down.
fn given(installation: &Installation, solution: &Solution, random: &mut Random) -> Option<Worked> {
    let hold = installation.controller(AT).hold_range();
    let others = solution.ranked[1..].iter().map(|r| &r.array);
    let rated: Vec<_> = others
        .filter_map(|array| {
            let sum = work_out(array, &installation.kinds, hold)?;
            let works = sum.place == BusPlace::Inside;
            Some(((works, array.panels().count(), !sum.losses.is_empty()), array))
        })
        .collect();
    let most = rated.iter().map(|r| r.0).max()?;
    let from: Vec<&ArrayWiring> = rated.iter().filter(|r| r.0 == most).map(|r| r.1).collect();
    let array = random.pick(&from).clone();
    let catalog = Catalog::fit(&installation.kinds).expect("labels of exercises have curves");
    let evaluator = Evaluator::new(installation, &catalog);
    worked(&evaluator, installation, &InputWiring { at: AT, array })
}

/// A place with panels on the ground; `None` where two kinds came out alike.
fn place(level: usize, random: &mut Random) -> Option<Installation> {
    let (counts, string_ports, block_max) = LEVELS[level - 1];
    let mut kinds: Vec<Kind> = Vec::new();
    for _ in counts {
        let kind = kind(random);
        if kinds.iter().any(|k| k.label == kind.label || k.id == kind.id) {
            return None;
        }
        kinds.push(kind);
    }
    let (lo, hi, max_pv) = random.pick(&WINDOWS);
    let nominal = if lo < 28.0 { 12.0 } else { 24.0 };
    let spares = counts.iter().enumerate();
    Some(Installation {
        site: Site {
            name: random.pick(&PLACES).to_owned(),
            coldest: Celsius(-22.0),
            hottest: Celsius(35.0),
            block_max,
            isc_factor: 1.25,
            battery_charge: None,
            sun: SunData::default(),
            money: crate::model::MoneyData::default(),
        },
        kinds,
        controllers: vec![Controller {
            id: "controller".to_owned(),
            controller_type: ControllerType::Mppt,
            output: Output::Battery(BatteryBank {
                nominal: Volts(nominal),
                charge: None,
                charge_limit: None,
            }),
            max_pv: Volts(max_pv),
            window: Some((Volts(lo), Volts(hi))),
            max_pv_current: None,
            max_pv_power: None,
            n_inputs: 1,
            string_ports,
            blocking_diodes: false,
            efficiency: None,
            spare: None,
        }],
        installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
        spares: spares
            .map(|(k, &count)| Spare { kind: KindIdx(k), count, price: None, places: Vec::new() })
            .collect(),
        runs: Vec::new(),
        phases: Vec::new(),
        kept: Vec::new(),
    })
}

fn kind(random: &mut Random) -> Kind {
    let (v_mp, v_oc) = random.pick(&VOLTAGES);
    let (i_mp, i_sc) = random.pick(&CURRENTS);
    let label = Label {
        p_mp: Watts(v_mp * i_mp),
        v_mp: Volts(v_mp),
        i_mp: Amps(i_mp),
        v_oc: Volts(v_oc),
        i_sc: Amps(i_sc),
    };
    Kind::of_label(format!("{}-{}", random.pick(&NAMES), v_mp * i_mp), label)
}
