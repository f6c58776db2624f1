//! The search replaced by a broken one: nothing of what it answers may reach a person.
//!
//! In `solve::maximise` every answer is damaged before it is handed on. What stands behind it, the
//! planner, the audit and the command line, is the code of the program itself.

use std::cell::Cell;
use std::path::PathBuf;
use std::rc::Rc;

use clap::Parser;

use super::args::Cli;
use super::exit::Exit;
use super::obey;
use crate::input::read_site;
use crate::model::{InputWiring, Installation, KindIdx};
use crate::plan::{Plan, Touch};
use crate::planner::{Failure, Options, plan_only};
use crate::solve::{Choice, Outcome, Problem, Solution, with_broken_search};

/// Sites with one input that may be rewired: there the search's answer is the wiring.
const ONE_INPUT: [&str; 7] = [
    "seed-shed",
    "cider-barn",
    "apiary-block",
    "hilltop-clipping",
    "pasture-pwm",
    "ridge-cabin",
    "terrace-long-run",
];
/// Sites whose inputs are planned together: what each answers is only offered to the master.
const SEVERAL: [&str; 3] = ["cheese-loft", "kiln-shelf", "mill-two-roofs"];
const SEEDS: u64 = 12;

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{name}.yaml"))
}

/// A scenario, planned for watts: without a year of sun there is one search for each level.
fn scenario(name: &str) -> Installation {
    let bytes = std::fs::read(path(name)).expect("scenarios are there");
    let read = read_site(name, &bytes).unwrap_or_else(|mistakes| panic!("{name}: {mistakes}"));
    let mut site = read.value;
    site.site.sun = crate::model::SunData::default();
    site
}

/// Numbers that belong to a seed (SplitMix64: Steele, Lea, Flood, OOPSLA 2014,
/// doi:10.1145/2660193.2660195).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}

/// Ways in which a search may be broken.
#[derive(Debug, Clone, Copy)]
enum Broken {
    /// It takes one of its strings more often than panels or ports allow.
    TakesTooMany,
    /// It forgets a string that it must keep, or swaps strings for others, until a rule is broken.
    IgnoresRules,
    /// It says that its wiring is worth half a percent more than it is, and calls that proven.
    Overstates,
}

fn unlawful(problem: &Problem, choice: &[(usize, usize)]) -> bool {
    !problem.keeps_rows(choice) || problem.closed_gate(choice).is_some()
}

/// A choice that breaks a rule of the problem; `None` where none was met.
fn damaged(problem: &Problem, choice: &Choice, broken: Broken, dice: &mut Dice) -> Option<Choice> {
    let n_columns = problem.columns.len();
    for _ in 0..200 {
        let mut other = choice.clone();
        match broken {
            Broken::TakesTooMany => {
                let at = dice.below(other.len());
                other[at].1 += 1 + dice.below(3);
            }
            Broken::IgnoresRules => {
                let at = dice.below(other.len());
                if dice.below(2) == 0 && other.len() > 1 {
                    other.remove(at);
                } else {
                    other[at].0 = dice.below(n_columns);
                }
                let more = (dice.below(n_columns), 1);
                if dice.below(2) == 0 {
                    other.push(more);
                }
                other.sort_unstable();
                other.dedup_by_key(|taken| taken.0);
            }
            Broken::Overstates => {}
        }
        if unlawful(problem, &other) {
            return Some(other);
        }
    }
    None
}

fn damage(problem: &Problem, outcome: &mut Outcome, broken: Broken, dice: &mut Dice) -> bool {
    let Some(best) = outcome.best.clone().filter(|b| !b.choice.is_empty()) else { return false };
    let worse = match broken {
        Broken::Overstates => {
            let value = best.value + 0.005 * best.value.abs() + 0.2;
            Solution { value, ..best }
        }
        _ => {
            let Some(choice) = damaged(problem, &best.choice, broken, dice) else { return false };
            // It claims to know what that is worth.
            let value = problem.evaluate(&choice).map_or(best.value, |(_, value)| value);
            Solution { choice, value, ..best }
        }
    };
    outcome.bound = outcome.bound.max(worse.value);
    outcome.best = Some(worse.clone());
    outcome.preferred = Some(worse);
    true
}

/// Plans with a broken search; the answer, and how often it was damaged.
fn with_broken<T>(broken: Broken, seed: u64, work: impl FnOnce() -> T) -> (T, usize) {
    let n_damaged = Rc::new(Cell::new(0));
    let count = Rc::clone(&n_damaged);
    let mut dice = Dice(seed);
    let done = with_broken_search(
        move |problem, outcome| {
            count.set(count.get() + usize::from(damage(problem, outcome, broken, &mut dice)));
        },
        work,
    );
    (done, n_damaged.get())
}

/// The panels are there, no limit is breached, and what must stay is there.
fn assert_lawful(site: &Installation, plan: &Plan, touch: Touch, case: &str) {
    assert!(!plan.state.breaches(), "{case}: a breach");
    let wiring = plan.state.wiring();
    for k in (0..site.kinds.len()).map(KindIdx) {
        let count = |wiring: &[InputWiring]| {
            wiring.iter().flat_map(|w| w.array.panels()).filter(|panel| *panel == k).count()
        };
        let there = count(&site.installed) + site.n_spare(k);
        assert!(count(&wiring) <= there, "{case}: panels that are not there");
    }
    if touch != Touch::Free {
        for (today, planned) in site.installed.iter().zip(&wiring) {
            let mut left = planned.array.canonical().strings;
            for string in today.array.canonical().strings {
                let at = left.iter().position(|other| *other == string);
                let at = at.unwrap_or_else(|| panic!("{case}: an installed string is gone"));
                left.remove(at);
            }
        }
    }
}

const WAYS: [Broken; 3] = [Broken::TakesTooMany, Broken::IgnoresRules, Broken::Overstates];

#[test]
fn whatever_a_broken_search_answers_for_one_input_the_audit_refuses() {
    for broken in WAYS {
        let (mut refused, mut lawful) = (0, 0);
        for name in ONE_INPUT {
            let site = scenario(name);
            for (seed, touch) in (0..SEEDS).flat_map(|s| Touch::ALL.map(|touch| (s, touch))) {
                let options = Options { touch: vec![touch], ..Options::default() };
                let (found, n_damaged) = with_broken(broken, seed, || plan_only(&site, &options));
                if n_damaged == 0 {
                    continue;
                }
                let case = format!("{name}, {touch:?}, {broken:?}, seed {seed}");
                match found {
                    Err(Failure::Audit(_)) => refused += 1,
                    // A spare in the place of its like that is installed is the same wiring.
                    Ok(plans) if matches!(broken, Broken::IgnoresRules) => {
                        plans.iter().for_each(|plan| assert_lawful(&site, plan, touch, &case));
                        lawful += 1;
                    }
                    other => panic!("{case}: {other:#?}"),
                }
            }
        }
        assert!(refused >= 150, "{broken:?}: only {refused} answers were refused");
        assert!(lawful * 3 <= refused, "{broken:?}: {lawful} answers were lawful after all");
    }
}

/// The master takes what it is offered only within the stock: it may pass damage over, but what it
/// lets through the audit refuses.
#[test]
fn what_a_broken_search_offers_for_one_of_several_inputs_never_becomes_a_plan() {
    let (mut refused, mut passed_over) = (0, 0);
    for name in SEVERAL {
        let site = scenario(name);
        for (broken, seed) in WAYS.into_iter().flat_map(|b| (0..SEEDS / 3).map(move |s| (b, s))) {
            let options = Options { touch: vec![Touch::Free], ..Options::default() };
            match with_broken(broken, seed, || plan_only(&site, &options)).0 {
                Err(Failure::Audit(_)) => refused += 1,
                Ok(plans) => {
                    passed_over += 1;
                    let case = format!("{name}, {broken:?}, seed {seed}");
                    plans.iter().for_each(|plan| assert_lawful(&site, plan, Touch::Free, &case));
                }
                Err(other) => panic!("{name}, {broken:?}, seed {seed}: {other:?}"),
            }
        }
    }
    assert!(refused > 0 && passed_over > 0, "{refused} refused, {passed_over} passed over");
}

/// The command ends with 70 before anything is shown or written.
#[test]
fn the_command_line_shows_nothing_of_what_a_broken_search_answers() {
    let dir = tempfile::tempdir().expect("a place for a report");
    let report = dir.path().join("report.html");
    for name in ONE_INPUT {
        let site = path(name);
        let words = [
            "sungraft".as_ref(),
            "advise".as_ref(),
            site.as_os_str(),
            "--for".as_ref(),
            "watts".as_ref(),
            "--report".as_ref(),
            report.as_os_str(),
        ];
        let cli = Cli::try_parse_from(words).expect("legal words");
        for broken in WAYS {
            let (exit, n_damaged) = with_broken(broken, 1, || obey(&cli.command));
            assert!(n_damaged > 0, "{name}, {broken:?}: nothing was damaged");
            assert_eq!(exit, Exit::Internal, "{name}, {broken:?}");
            assert!(!report.exists(), "{name}, {broken:?}: a report was written");
        }
    }
}
