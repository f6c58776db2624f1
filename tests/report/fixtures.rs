//! Hand-made answers of every shape that the planner can hand over.

use sungraft::energy::{EnergyAnswer, MonthEnergy, YearEnergy};
use sungraft::model::{
    ArrayWiring, BatteryBank, Controller, ControllerType, CrossSection, Element, InputRef,
    InputWiring, Installation, Kind, KindIdx, Label, LengthUnit, Loss, Output, PanelString, Run,
    RunPart, Site, Spare, SunData, TempRating,
};
use sungraft::plan::{
    Advice, Aim, Binding, Bound, Cause, Certainty, Certificate, Check, CheckRule, Checked, Help,
    IdlePanels, InputState, Joints, ObviousWay, Outcome, Peak, Plan, Rule, SpareAnswer, State,
    StringState, Touch, TouchAnswer, Unit, Verdict, WorthPoint, cautions_for,
};
use sungraft::units::{Amps, Celsius, KilowattHours, Metres, Volts, Watts};

/// An installation with the answer to it.
pub(crate) struct Case {
    pub(crate) name: &'static str,
    pub(crate) installation: Installation,
    pub(crate) advice: Advice,
}

pub(crate) const SHED: KindIdx = KindIdx(0);
pub(crate) const CREEK: KindIdx = KindIdx(1);
pub(crate) const ORCHARD: KindIdx = KindIdx(2);
const FIRST: InputRef = InputRef { controller: 0, input: 1 };

/// Every sort of answer to `advise`.
pub(crate) fn cases() -> Vec<Case> {
    vec![
        grafted(),
        cabled(),
        stays(),
        breached(),
        forbidden(),
        limit_reached(),
        clipping(),
        weak_sun(),
        sunny(),
        two_inputs(),
        unproven(),
    ]
}

fn kind(id: &str, v_mp: f64, i_mp: f64) -> Kind {
    let label = Label {
        p_mp: Watts(v_mp * i_mp),
        v_mp: Volts(v_mp),
        i_mp: Amps(i_mp),
        v_oc: Volts(v_mp * 1.22),
        i_sc: Amps(i_mp * 1.07),
    };
    Kind::of_label(id.into(), label)
}

fn controller(id: &str, n_inputs: usize) -> Controller {
    Controller {
        id: id.into(),
        controller_type: ControllerType::Mppt,
        output: Output::Battery(BatteryBank {
            nominal: Volts(24.0),
            charge: None,
            charge_limit: Some(Amps(40.0)),
        }),
        max_pv: Volts(150.0),
        window: Some((Volts(32.0), Volts(130.0))),
        max_pv_current: Some(Amps(50.0)),
        max_pv_power: None,
        n_inputs,
        string_ports: 4,
        blocking_diodes: false,
        efficiency: None,
        spare: None,
    }
}

/// The seed shed: two strings of two, spares of two other kinds.
fn seed_shed(ids: [&str; 3], controller: Controller) -> Installation {
    let [shed, creek, orchard] = ids;
    let today = [series(&[SHED, SHED]), series(&[SHED, SHED])];
    let installed = (1..=controller.n_inputs)
        .map(|input| InputWiring {
            at: InputRef { controller: 0, input },
            array: ArrayWiring { strings: if input == 1 { today.to_vec() } else { vec![] } },
        })
        .collect();
    Installation {
        site: Site {
            name: "Hollow Creek seed shed".into(),
            coldest: Celsius(-22.0),
            hottest: Celsius(35.0),
            block_max: 2,
            isc_factor: 1.25,
            battery_charge: None,
            money: sungraft::model::MoneyData::default(),
            sun: SunData::default(),
        },
        kinds: vec![kind(shed, 18.4, 8.70), kind(creek, 18.0, 5.0), kind(orchard, 18.2, 3.3)],
        controllers: vec![controller],
        installed,
        spares: vec![
            Spare { kind: CREEK, count: 2, price: Some(35.0), places: Vec::new() },
            Spare { kind: ORCHARD, count: 1, price: None, places: Vec::new() },
        ],
        kept: Vec::new(),
        runs: vec![],
        phases: Vec::new(),
    }
}

fn plain_shed() -> Installation {
    seed_shed(["shed-160", "creek-90", "orchard-60"], controller("shed", 1))
}

/// A run of each part: one laid, one to be proposed, one too thin.
fn runs() -> Vec<Run> {
    let run = |part, metres, size: Option<f64>| Run {
        at: FIRST,
        part,
        length: Metres(metres),
        given_in: LengthUnit::Metres,
        size: size.map(CrossSection::SquareMm),
        air: Some(Celsius(45.0)),
        rating: TempRating::C75,
    };
    vec![
        run(RunPart::Strings, 8.0, Some(4.0)),
        run(RunPart::Array, 18.0, None),
        run(RunPart::Battery, 2.0, Some(6.0)),
    ]
}

fn series(kinds: &[KindIdx]) -> PanelString {
    PanelString::new(kinds.iter().map(|&k| Element::single(k)).collect())
}

fn with_block(first: &[KindIdx], block: &[KindIdx]) -> PanelString {
    let mut elements: Vec<_> = first.iter().map(|&k| Element::single(k)).collect();
    elements.push(Element::block(block.to_vec()));
    PanelString::new(elements)
}

fn string(wiring: PanelString, current: f64, v: f64) -> StringState {
    let cold = 26.5 * wiring.elements().len() as f64;
    StringState {
        wiring,
        current: Amps(current),
        power: Watts(current * v),
        own_maximum: Watts((current * v).abs() * 1.01),
        cold_v_oc: Volts(cold),
        bypassed: vec![],
    }
}

fn input(at: InputRef, v: f64, label: f64, strings: Vec<StringState>) -> InputState {
    let i: Amps = strings.iter().map(|s| s.current).sum();
    InputState {
        at,
        v: Volts(v),
        i,
        power: Volts(v) * i,
        clipped: None,
        label: Watts(label),
        nameplate: Volts(v) * i * 0.96,
        strings,
        other_peaks: vec![],
    }
}

fn check(rule: CheckRule, value: f64, limit: f64, unit: Unit, outcome: Outcome) -> Check {
    Check {
        rule,
        at: FIRST,
        string: None,
        value: Some(value),
        limit: Some(limit),
        unit,
        outcome,
        basis: "common practice, no source",
        note: String::new(),
    }
}

fn checks_all_kept() -> Vec<Check> {
    vec![
        Check {
            string: Some(0),
            basis: "US NEC 690.7(A), label coefficient",
            ..check(CheckRule::ColdVoc, 79.5, 150.0, Unit::Volts, Outcome::Pass)
        },
        Check {
            string: Some(1),
            ..check(CheckRule::HotWindow, 99.6, 90.0, Unit::Percent, Outcome::Pass)
        },
        check(CheckRule::InputCurrent, 23.26, 50.0, Unit::Amps, Outcome::Pass),
        check(CheckRule::StringPorts, 2.0, 4.0, Unit::Strings, Outcome::Pass),
        Check {
            string: Some(1),
            note: "with the controller idle, string 1 pushes 9.8 A into string 2, which stands \
                   9.3 A: add no further string beside it"
                .into(),
            ..check(CheckRule::IdleReverseCurrent, 9.8, 9.3, Unit::Amps, Outcome::Caution)
        },
        Check {
            limit: None,
            note: "the label of creek-90 does not give its maximum series fuse".into(),
            ..check(CheckRule::StringFuse, 14.5, 0.0, Unit::Amps, Outcome::Unknown)
        },
    ]
}

fn today() -> State {
    State {
        inputs: vec![input(
            FIRST,
            36.8,
            640.32,
            vec![
                string(series(&[SHED, SHED]), 8.7, 36.8),
                string(series(&[SHED, SHED]), 8.7, 36.8),
            ],
        )],
        checks: vec![
            Check {
                string: Some(0),
                ..check(CheckRule::ColdVoc, 53.0, 150.0, Unit::Volts, Outcome::Pass)
            },
            check(CheckRule::StringPorts, 2.0, 4.0, Unit::Strings, Outcome::Pass),
        ],
    }
}

fn plan(touch: Touch, state: State, gap: f64, joints: (usize, usize)) -> Plan {
    let watts = state.watts();
    let charged = watts * 0.98;
    Plan {
        touch,
        added: watts - today().watts(),
        charged,
        bound: Bound { watts: watts + charged * gap, gap, proven: gap <= 0.001 },
        joints: Joints { opened: joints.0, made: joints.1 },
        state,
        energy: None,
    }
}

fn lengthened() -> State {
    State {
        inputs: vec![input(
            FIRST,
            45.0,
            820.32,
            vec![
                string(series(&[SHED, SHED, CREEK]), 8.2, 45.0),
                string(series(&[SHED, SHED, CREEK]), 8.1, 45.0),
            ],
        )],
        checks: checks_all_kept(),
    }
}

fn rewired() -> State {
    State {
        inputs: vec![InputState {
            other_peaks: vec![Peak { v: Volts(29.6), power: Watts(642.0) }],
            ..input(
                FIRST,
                54.9,
                820.32,
                vec![
                    string(series(&[SHED, SHED, SHED]), 8.7, 54.9),
                    string(with_block(&[SHED], &[CREEK, CREEK]), 6.1, 54.9),
                ],
            )
        }],
        checks: checks_all_kept(),
    }
}

fn creek_adds() -> SpareAnswer {
    SpareAnswer {
        kind: CREEK,
        offered: 2,
        used: 2,
        adds: Watts(171.2),
        verdict: Verdict::Adds,
        because: String::new(),
        would_help: String::new(),
        worth: worth(640.3, &[Some(82.1), Some(89.1)]),
        certificate: None,
        helps: Vec::new(),
        obvious: vec![
            in_parallel(640.3, vec![]),
            ObviousWay {
                way: "in_series",
                watts: Watts(630.1),
                change: Watts(-10.2),
                reverse: Amps(0.0),
                breaches: vec![],
            },
        ],
        certainty: None,
        adds_energy: None,
        adds_sought: None,
    }
}

fn orchard_adds_nothing() -> SpareAnswer {
    SpareAnswer {
        kind: ORCHARD,
        offered: 1,
        used: 0,
        adds: Watts(0.0),
        verdict: Verdict::AddsNothing,
        because: "it would hold a string at 3.3 A where the others carry 8.7 A".into(),
        would_help: "one more of it, 2 in all (+58 W)".into(),
        worth: worth(811.5, &[Some(0.0)]),
        certificate: Some(Certificate {
            wiring: ArrayWiring {
                strings: vec![series(&[SHED, SHED, SHED]), with_block(&[ORCHARD], &[CREEK, CREEK])],
            },
            watts: Watts(780.0),
            change: Watts(-31.5),
            change_energy: None,
            binding: Some(Binding {
                cause: Cause::Current,
                value: 3.3,
                limit: 8.7,
                unit: Unit::Amps,
                unlocks: Watts(112.4),
                unlocks_energy: None,
            }),
        }),
        helps: [
            ("more_of_it", "one more of it, 2 in all", 58.0),
            ("one_more_port", "a place for one more string on the combiner (4 now)", 55.2),
            ("larger_blocks", "blocks of up to 3 panels", 51.0),
            ("own_input", "an input of its own", 60.1),
            ("own_controller", "a small controller of its own on the same battery", 60.1),
        ]
        .map(|(change, words, watts)| Help {
            change,
            words: words.into(),
            unlocks: Watts(watts),
            unlocks_energy: None,
        })
        .to_vec(),
        obvious: vec![in_parallel(
            274.3,
            vec![
                check(CheckRule::HotWindow, 12.0, 90.0, Unit::Percent, Outcome::Breach),
                Check {
                    string: Some(2),
                    ..check(CheckRule::IdleReverseCurrent, 10.3, 8.0, Unit::Amps, Outcome::Breach)
                },
            ],
        )],
        certainty: Some(Certainty {
            low: 0.85,
            high: 0.95,
            adds_low: Watts(0.0),
            adds_high: Watts(3.4),
            flips: true,
            words: "uncertain: 0 W at 85 % of its label, 3 W at 95 %. One reading settles it: its \
                    short-circuit current in full sun"
                .into(),
        }),
        adds_energy: None,
        adds_sought: None,
    }
}

/// A curve of worth from its steps, each point known to 0.2 W.
fn worth(without: f64, steps: &[Option<f64>]) -> Vec<WorthPoint> {
    let mut watts = without;
    let point = |panels, watts, step: Option<f64>| WorthPoint {
        panels,
        watts: Watts(watts),
        bound: Watts(watts + 0.2),
        step: step.map(Watts),
        energy: None,
    };
    let mut curve = vec![point(0, watts, None)];
    for (i, step) in steps.iter().enumerate() {
        watts += step.unwrap_or(0.1);
        curve.push(point(i + 1, watts, *step));
    }
    curve
}

/// One panel beside today's two strings.
fn in_parallel(watts: f64, breaches: Vec<Check>) -> ObviousWay {
    ObviousWay {
        way: "in_parallel",
        watts: Watts(watts),
        change: Watts(watts - 640.3),
        reverse: Amps(if breaches.is_empty() { 0.0 } else { 10.3 }),
        breaches,
    }
}

fn advice(installation: &Installation, plans: Vec<Plan>, best: Option<usize>) -> Advice {
    let subject = best.map_or_else(today, |b| plans[b].state.clone());
    Advice {
        joint_worth: None,
        joint_curve: None,
        site: installation.site.name.clone(),
        coldest: installation.site.coldest,
        hottest: installation.site.hottest,
        rule: Rule::Curve,
        aim: Aim::Watts,
        planned: FIRST,
        together: vec![FIRST],
        today: today(),
        levels: plans.iter().enumerate().map(|(i, p)| (p.touch, TouchAnswer::Plan(i))).collect(),
        plans,
        best,
        spares: vec![creek_adds(), orchard_adds_nothing()],
        controllers: vec![],
        own_controllers: vec![],
        idle: vec![],
        energy: None,
        assumed: vec![
            "creek-90: bypass diodes 2, voltage coefficient -0.33 %/°C (not on the label)".into(),
        ],
        ask: vec!["the maximum series fuse of creek-90 (on its label)".into()],
        notes: vec!["searched: strings of up to 5 elements, blocks of up to 2 panels".into()],
        cautions: cautions_for(installation, &subject),
    }
}

/// The usual case: one kind pays, one does not, more work brings more.
pub(crate) fn grafted() -> Case {
    let installation = plain_shed();
    let plans = vec![
        plan(Touch::None, today(), 0.0, (0, 0)),
        plan(Touch::Extend, lengthened(), 0.0, (0, 4)),
        plan(Touch::Free, rewired(), 0.000_29, (2, 5)),
    ];
    Case { name: "grafted", advice: advice(&installation, plans, Some(2)), installation }
}

/// The same with its runs of cable.
pub(crate) fn cabled() -> Case {
    let mut case = grafted();
    case.name = "cabled";
    case.installation.runs = runs();
    case
}

/// Nothing is worth its place.
pub(crate) fn stays() -> Case {
    let installation = plain_shed();
    let plans = vec![plan(Touch::None, today(), 0.0, (0, 0))];
    let mut advice = advice(&installation, plans, Some(0));
    advice.levels.push((Touch::Extend, TouchAnswer::SameAs(0)));
    advice.levels.push((Touch::Free, TouchAnswer::SameAs(0)));
    advice.spares = vec![
        SpareAnswer {
            used: 0,
            adds: Watts(0.4),
            verdict: Verdict::AddsNothing,
            worth: worth(640.3, &[Some(0.4), None]),
            because: "0.4 W at most, less than its threshold of 1.8 W".into(),
            ..creek_adds()
        },
        SpareAnswer {
            verdict: Verdict::Breaches,
            because: "a string with it stands at 161.2 V on the coldest morning, at most 150 V"
                .into(),
            would_help: String::new(),
            certificate: None,
            helps: vec![],
            ..orchard_adds_nothing()
        },
    ];
    advice.ask.clear();
    Case { name: "stays", installation, advice }
}

fn too_cold() -> Check {
    Check {
        string: Some(1),
        basis: "US NEC 690.7(A), table of factors",
        note: "the controller may be destroyed on a cold clear morning: take one panel out of \
               this string"
            .into(),
        ..check(CheckRule::ColdVoc, 161.2, 150.0, Unit::Volts, Outcome::Breach)
    }
}

/// Today breaches a limit; the plan mends it.
pub(crate) fn breached() -> Case {
    let mut case = grafted();
    case.advice.today.checks.push(too_cold());
    case.advice.today.checks.push(check(
        CheckRule::StringPorts,
        5.0,
        4.0,
        Unit::Strings,
        Outcome::Breach,
    ));
    case.advice.levels[0].1 = TouchAnswer::NoPlan(vec![too_cold()]);
    case.advice.idle = vec![IdlePanels {
        kind: SHED,
        count: 1,
        because: "as a fourth in its string it would lift the cold voltage to 161.2 V, at most \
                  150 V"
            .into(),
        instead: "an input of its own (160 W there)".into(),
    }];
    Case { name: "breached", ..case }
}

/// No wiring keeps every limit.
pub(crate) fn forbidden() -> Case {
    let installation = plain_shed();
    let mut advice = advice(&installation, vec![], None);
    advice.levels =
        Touch::ALL.iter().map(|&t| (t, TouchAnswer::NoPlan(vec![too_cold()]))).collect();
    advice.today.checks.push(too_cold());
    advice.spares = vec![SpareAnswer {
        used: 0,
        adds: Watts(0.0),
        verdict: Verdict::Breaches,
        because: String::new(),
        worth: vec![],
        ..creek_adds()
    }];
    advice.idle.clear();
    advice.assumed.clear();
    advice.notes.clear();
    Case { name: "forbidden", installation, advice }
}

/// The solver gave up before any plan.
pub(crate) fn limit_reached() -> Case {
    let installation = plain_shed();
    let mut advice = advice(&installation, vec![], None);
    advice.levels = vec![(Touch::Free, TouchAnswer::LimitReached)];
    advice.spares.clear();
    Case { name: "limit_reached", installation, advice }
}

/// The output limit takes a part of the gain.
pub(crate) fn clipping() -> Case {
    let mut case = grafted();
    case.advice.plans[2].state.inputs[0].clipped = Some(Watts(720.0));
    Case { name: "clipping", ..case }
}

/// The output limit takes all of the gain at full sun.
pub(crate) fn weak_sun() -> Case {
    let mut case = clipping();
    case.advice.today.inputs[0].clipped = Some(Watts(600.0));
    case.advice.plans[0].state.inputs[0].clipped = Some(Watts(600.0));
    case.advice.plans[1].state.inputs[0].clipped = Some(Watts(600.0));
    case.advice.plans[2].state.inputs[0].clipped = Some(Watts(600.0));
    case.advice.spares[0].verdict = Verdict::AddsInWeakSun;
    case.advice.spares[0].because =
        "at full sun the output limit of 600 W already binds at 640 W".into();
    Case { name: "weak_sun", ..case }
}

/// A made-up year: so many kWh a day in each month, of which the output takes some.
fn year(kwh_day: [f64; 12], clipped_share: f64) -> YearEnergy {
    const DAYS: [f64; 12] = [31., 28., 31., 30., 31., 30., 31., 31., 30., 31., 30., 31.];
    YearEnergy {
        months: std::array::from_fn(|m| {
            let free = kwh_day[m] * DAYS[m];
            MonthEnergy {
                out: KilowattHours(free * (1.0 - clipped_share)),
                clipped: KilowattHours(free * clipped_share),
                clipped_hours: 400.0 * clipped_share * DAYS[m] / 31.0,
            }
        }),
    }
}

/// The same as `weak_sun` with a year of sun.
pub(crate) fn sunny() -> Case {
    let mut case = weak_sun();
    case.installation.site.sun = SunData {
        latitude_deg: Some(44.6),
        tilt_deg: Some(40.0),
        azimuth_deg: Some(165.0),
        sun_kwh_m2_day: Some([1.9, 2.8, 3.9, 4.8, 5.6, 6.2, 6.3, 5.5, 4.5, 3.1, 2.0, 1.6]),
        air_c: Some([-7.0, -5.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 16.0, 9.0, 2.0, -4.0]),
        losses: Some(vec![Loss { id: "dirt".into(), share: 0.035 }]),
        ..SunData::default()
    };
    let today = [1.6, 2.1, 2.5, 2.8, 2.9, 3.0, 3.1, 3.0, 2.7, 2.1, 1.6, 1.4];
    case.advice.energy = Some(EnergyAnswer {
        today: year(today, 0.01),
        plans: vec![
            year(today, 0.01),
            year(today.map(|x| 1.28 * x), 0.09),
            year(today.map(|x| 1.30 * x), 0.10),
        ],
    });
    case.advice.spares[0].adds_energy = Some(KilowattHours(161.3));
    Case { name: "sunny", ..case }
}

/// Two inputs, long names with accents, many alike strings, a load, a bypassed panel, idle panels.
pub(crate) fn two_inputs() -> Case {
    let long = "étable-du-vieux-moulin-panneaux-polycristallins-de-deux-mille-onze-lot-3";
    let wide = "果樹園の古い太陽電池板-その二";
    let installation = seed_shed(
        [long, wide, "cider \"barn\" 60"],
        controller("régulateur-de-charge-de-la-cave-à-cidre-numéro-un", 2),
    );
    let mut many: Vec<StringState> =
        (0..12).map(|_| string(series(&[SHED; 6]), 8.7, 110.0)).collect();
    many.push(StringState {
        bypassed: vec![2],
        ..string(series(&[SHED, SHED, CREEK, SHED, SHED]), 8.1, 110.0)
    });
    many.push(string(with_block(&[SHED, SHED], &[CREEK, CREEK]), -2.1, 110.0));
    let state = State {
        inputs: vec![
            input(FIRST, 110.0, 12_500.0, many),
            input(InputRef { input: 2, ..FIRST }, 0.0, 0.0, vec![]),
        ],
        checks: checks_all_kept(),
    };
    let mut now = today();
    now.inputs.push(input(InputRef { input: 2, ..FIRST }, 0.0, 0.0, vec![]));
    let mut advice =
        advice(&installation, vec![plan(Touch::Free, state, 0.000_02, (14, 120))], Some(0));
    advice.today = now;
    advice.levels.insert(0, (Touch::None, TouchAnswer::NoPlan(vec![too_cold()])));
    advice.idle = vec![
        IdlePanels {
            kind: SHED,
            count: 3,
            because: "no place is left on the combiner: 4 strings, at most 4".into(),
            instead: String::new(),
        },
        IdlePanels { kind: ORCHARD, count: 1, because: String::new(), instead: String::new() },
    ];
    Case { name: "two_inputs", installation, advice }
}

/// Chosen by the rule of thumb, and not proven.
pub(crate) fn unproven() -> Case {
    let installation = plain_shed();
    let mut advice =
        advice(&installation, vec![plan(Touch::Extend, lengthened(), 0.034, (0, 4))], Some(0));
    advice.rule = Rule::Nameplate;
    advice.spares[0].used = 1;
    advice.spares[0].verdict = Verdict::AddsPart;
    advice.spares[0].worth = worth(640.3, &[Some(82.1), None]);
    advice.spares[0].because =
        "its 5 A would hold down a string that carries 8.7 A; at best it costs 3 W".into();
    advice.spares[0].certificate = Some(Certificate {
        wiring: ArrayWiring { strings: vec![series(&[SHED, SHED, CREEK])] },
        watts: Watts(719.0),
        change: Watts(-3.4),
        change_energy: None,
        binding: None,
    });
    advice.spares[1].kind = SHED;
    advice.spares[1].used = 3;
    advice.spares[1].offered = 3;
    advice.spares[1].verdict = Verdict::Adds;
    advice.spares[1].worth = worth(400.0, &[Some(0.0), Some(150.0), Some(80.0)]);
    advice.spares[1].because.clear();
    advice.spares[1].would_help.clear();
    advice.spares[1].certificate = None;
    advice.spares[1].helps.clear();
    advice.spares[1].obvious.clear();
    Case { name: "unproven", installation, advice }
}

/// Today's state of a case as an answer to `check`.
pub(crate) fn checked(case: &Case) -> Checked {
    let advice = &case.advice;
    let state = match advice.best {
        Some(best) => {
            let mut state = advice.plans[best].state.clone();
            state.checks.extend(advice.today.checks.iter().cloned());
            state
        }
        None => advice.today.clone(),
    };
    Checked {
        site: advice.site.clone(),
        coldest: advice.coldest,
        hottest: advice.hottest,
        cautions: cautions_for(&case.installation, &state),
        state,
        idle: advice.idle.clone(),
        energy: case.advice.energy.as_ref().map(|e| EnergyAnswer { today: e.today, plans: vec![] }),
        assumed: advice.assumed.clone(),
        ask: advice.ask.clone(),
    }
}
