//! Exercises: one best answer each, a key that is right, difficulty that rises, the same every time.

use sungraft::electrical::{Catalog, nameplate_array};
use sungraft::model::{ArrayWiring, InputRef, InputWiring, Installation};
use sungraft::plan::{
    COLD_RISE, CURVE_MARGIN, Evaluator, Exercise, N_LEVELS, RULE_MARGIN, exercises,
};
use sungraft::report::{ReportForm, Sheet, exercises as sheet};

use crate::wirings::all_wirings;

const AT: InputRef = InputRef { controller: 0, input: 1 };

/// Every wiring by another program than the one under test, held to what the problem says.
fn allowed(installation: &Installation) -> Vec<ArrayWiring> {
    let inventory: Vec<usize> =
        installation.spares.iter().flat_map(|s| vec![s.kind.0; s.count]).collect();
    let controller = &installation.controllers[0];
    let v_oc = |k: &sungraft::model::KindIdx| installation.kind(*k).label.v_oc.volts();
    let fits = |array: &ArrayWiring| {
        array.strings.len() <= controller.string_ports
            && array.strings.iter().all(|s| {
                let mut open = 0.0;
                for e in s.elements() {
                    let volts: Vec<f64> = e.members().iter().map(v_oc).collect();
                    let (low, high) = (
                        volts.iter().copied().fold(f64::INFINITY, f64::min),
                        volts.iter().copied().fold(0.0, f64::max),
                    );
                    if volts.len() > installation.site.block_max || low < 0.85 * high {
                        return false;
                    }
                    open += high;
                }
                open * COLD_RISE <= controller.max_pv.volts()
            })
    };
    all_wirings(&inventory).into_iter().filter(fits).collect()
}

fn holds_up(exercise: &Exercise) -> Result<(), String> {
    let site = &exercise.installation;
    let (lo, hi) = site.controllers[0].hold_range();
    let catalog = Catalog::fit(&site.kinds).map_err(|e| format!("{e:?}"))?;
    let evaluator = Evaluator::new(site, &catalog);
    let best = exercise.solution.ranked[0].array.canonical();
    let watts = |array: &ArrayWiring| {
        let rule = nameplate_array(array, &site.kinds, lo, hi).expect("has strings").power();
        let curve = evaluator.watts(&InputWiring { at: AT, array: array.clone() });
        (rule.watts(), curve.watts())
    };
    let (rule, curve) = watts(&best);
    let all = allowed(site);
    if !all.contains(&best) {
        return Err(format!("the best is not among the allowed: {best:?}"));
    }
    if all.len() != exercise.solution.ranked.len() {
        return Err(format!("{} allowed, {} tried", all.len(), exercise.solution.ranked.len()));
    }
    for other in all.iter().filter(|a| **a != best) {
        let (r, c) = watts(other);
        if rule < RULE_MARGIN * r || curve < CURVE_MARGIN * c {
            return Err(format!("{other:?}: {r} W and {c} W beside {rule} W and {curve} W"));
        }
    }
    // The figures of the key are those of the rule and of the curves.
    let key = &exercise.solution.best;
    if (key.sum.watts.watts() - rule).abs() > 1e-9 || (key.curve.power.watts() - curve).abs() > 1e-9
    {
        return Err(format!("{key:?}"));
    }
    if exercise.given.curve.strings.is_empty() || given(exercise) == best {
        return Err("what is given is the answer, or nothing".into());
    }
    Ok(())
}

fn given(exercise: &Exercise) -> ArrayWiring {
    let strings = exercise.given.curve.strings.iter().map(|s| s.wiring.clone());
    ArrayWiring { strings: strings.collect() }.canonical()
}

#[test]
fn each_of_many_has_one_best_wiring_and_the_key_has_it() {
    for seed in 0..200 {
        for (n, exercise) in exercises(N_LEVELS, seed).iter().enumerate() {
            holds_up(exercise).unwrap_or_else(|e| panic!("seed {seed}, problem {}: {e}", n + 1));
        }
    }
}

#[test]
fn figures_come_out_round_by_the_rule_of_thumb() {
    for exercise in exercises(20, 7) {
        for worked in [&exercise.given, &exercise.solution.best] {
            let sum = &worked.sum;
            for x in [sum.bus.volts(), sum.i.amps(), sum.watts.watts(), sum.label.watts()] {
                assert!((x - x.round()).abs() < 1e-9, "{x}");
            }
        }
    }
}

#[test]
fn there_is_more_to_think_of_from_level_to_level() {
    let mut thinking = [0_usize; N_LEVELS];
    for seed in 0..20 {
        for exercise in exercises(N_LEVELS, seed) {
            thinking[exercise.level - 1] += exercise.solution.n_wirings();
        }
    }
    assert!(thinking.windows(2).all(|pair| pair[0] < pair[1]), "{thinking:?}");
}

#[test]
fn levels_never_fall_and_span_all_where_there_is_room() {
    for count in [1, 2, 3, 5, 8, 50] {
        let levels: Vec<usize> = exercises(count, 3).iter().map(|e| e.level).collect();
        assert_eq!(levels.len(), count);
        assert!(levels.windows(2).all(|pair| pair[0] <= pair[1]), "{levels:?}");
        if count >= 2 {
            assert_eq!((levels[0], levels[count - 1]), (1, N_LEVELS), "{levels:?}");
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_sheet_and_another_seed_another() {
    let page = |seed| sheet(&exercises(4, seed), seed, Sheet::Key, ReportForm::Html);
    assert_eq!(page(11), page(11));
    let problems =
        |seed| exercises(4, seed).iter().map(|e| e.installation.kinds.clone()).collect::<Vec<_>>();
    assert_ne!(problems(11), problems(12));
}

#[test]
fn the_problems_do_not_give_their_answers_away() {
    for form in [ReportForm::Html, ReportForm::Markdown, ReportForm::Text] {
        let all = exercises(5, 4);
        let (problems, key) =
            (sheet(&all, 4, Sheet::Problems, form), sheet(&all, 4, Sheet::Key, form));
        for exercise in &all {
            let watts = format!("= {} W by the rule", exercise.given.sum.watts.watts());
            let watts = watts.as_str();
            let plain = |text: &str| {
                text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
            };
            if exercise.given.sum.watts.watts() > 0.0 {
                assert!(plain(&key).contains(watts), "{watts}");
            }
            assert!(!plain(&problems).contains(watts), "{watts}");
        }
        let blanks = ["____", "\\_\\_\\_\\_", "class=\"blank\""];
        assert!(blanks.iter().any(|blank| problems.contains(blank)), "{problems}");
    }
}
