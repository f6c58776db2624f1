//! The optimiser against every choice there is, on small problems of every sort.

mod solve_cases;

use solve_cases::brute::{Allowed, all_allowed};
use solve_cases::random::Random;
use solve_cases::small::{Case, SORTS, Sort, draw};
use sungraft::solve::{
    Backend, Choice, Effort, IntegerProgram, Outcome, ProgramAnswer, Rate, Row, Sense, Solution,
    TieBreak, Watch, list_uses, maximise, solve_program,
};

/// Cases of each sort.
const CASES: u64 = 600;
/// Cases of each sort of which all uses are listed: that takes longer.
const LISTED: u64 = 80;
/// Rounding between two ways to compute a value, as a fraction. No unit.
const ROUNDING: f64 = 1e-8;

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= ROUNDING * (1.0 + a.abs().max(b.abs()))
}

fn best_value(allowed: &[Allowed]) -> f64 {
    allowed.iter().map(|a| a.value).fold(f64::NEG_INFINITY, f64::max)
}

/// What every answer must hold to, however much of the search was done.
fn check_claims(case: &Case, allowed: &[Allowed], outcome: &Outcome, at: &str) {
    let truth = best_value(allowed);
    assert!(
        outcome.bound >= truth - ROUNDING * (1.0 + truth.abs()),
        "{at}: bound {} below {truth}",
        outcome.bound
    );
    for solution in [&outcome.best, &outcome.preferred].into_iter().flatten() {
        check_is_allowed(allowed, solution, at);
        assert!(
            solution.value <= outcome.bound,
            "{at}: {} above its bound {} truth {truth}",
            solution.value,
            outcome.bound
        );
        let (level, value) = case.problem.evaluate(&solution.choice).expect("has a level");
        assert_eq!((level, value), (solution.level, solution.value), "{at}");
    }
    assert_eq!(outcome.best.is_some(), outcome.preferred.is_some(), "{at}");
    if outcome.complete && outcome.best.is_none() {
        assert!(allowed.is_empty(), "{at}: none found, but there is one");
    }
}

fn check_is_allowed(allowed: &[Allowed], solution: &Solution, at: &str) {
    let known = allowed.iter().find(|a| a.choice == solution.choice);
    let known = known.unwrap_or_else(|| panic!("{at}: {:?} is not allowed", solution.choice));
    assert!(
        close(known.value, solution.value),
        "{at}: {} is worth {}, not {}",
        format_args!("{:?}", solution.choice),
        known.value,
        solution.value
    );
}

/// What an answer with effort to spare must be.
fn check_is_best(allowed: &[Allowed], outcome: &Outcome, effort: &Effort, at: &str) {
    assert!(outcome.complete, "{at}: not complete");
    let Some(best) = &outcome.best else {
        assert!(allowed.is_empty(), "{at}: none found, best is {}", best_value(allowed));
        return;
    };
    let truth = best_value(allowed);
    let slack = effort.closed * best.value.abs().max(1.0) + ROUNDING * (1.0 + truth.abs());
    assert!(best.value >= truth - slack, "{at}: {} of {truth}", best.value);
    assert!(outcome.gap() <= effort.closed + ROUNDING, "{at}: gap {}", outcome.gap());
    assert!(outcome.ties_complete, "{at}: ties not compared");
}

/// The preferred choice is near the best, and nothing near the best comes before it.
fn check_is_preferred(case: &Case, allowed: &[Allowed], outcome: &Outcome, e: &Effort, at: &str) {
    let (Some(best), Some(preferred)) = (&outcome.best, &outcome.preferred) else { return };
    // Within the proof gap of the best, and of the bound if the best is.
    let within = outcome.bound / (1.0 + e.proof);
    let floor = best.value - e.proof * best.value.abs();
    let floor = if within <= best.value { floor.max(within) } else { floor };
    assert!(
        preferred.value >= floor - ROUNDING * (1.0 + floor.abs()),
        "{at}: preferred is too far from the best"
    );
    if !outcome.ties_complete {
        return;
    }
    let size: usize = preferred.choice.iter().map(|&(j, n)| case.problem.columns[j].size * n).sum();
    let mine = (size, case.moves.moves(&preferred.choice));
    // Just at the floor rounding decides, so only what is clearly above it counts.
    let clearly = floor + ROUNDING * (1.0 + floor.abs());
    let near = allowed.iter().filter(|a| a.value >= clearly);
    let first = near.map(|a| (a.size, a.moves)).min().unwrap_or(mine);
    assert!(mine <= first, "{at}: {mine:?} preferred to {first:?}");
    // Of those alike in both the one of most worth, of equals the first.
    let alike = || allowed.iter().filter(|a| a.value >= clearly && (a.size, a.moves) == mine);
    let most = alike().map(|a| a.value).fold(preferred.value, f64::max);
    let slight = 3.0 * ROUNDING * (1.0 + most.abs());
    assert!(preferred.value >= most - slight, "{at}: {} preferred to {most}", preferred.value);
    let equal = |a: &&Allowed| a.value.to_bits() == preferred.value.to_bits();
    let first = alike().filter(equal).map(|a| &a.choice).min();
    assert!(first.is_none_or(|first| preferred.choice <= *first), "{at}: not the first of equals");
}

fn each_case(sort: Sort, mut check: impl FnMut(&Case, &[Allowed], &str)) {
    for seed in 0..CASES {
        let case = draw(sort, seed);
        check(&case, &all_allowed(&case), &format!("{sort:?} {seed}"));
    }
}

fn drawn_choice(case: &Case, random: &mut Random) -> Choice {
    let taken = (0..case.knots.len()).map(|j| (j, random.below(2)));
    taken.filter(|(_, n)| *n > 0).collect()
}

#[test]
fn with_effort_to_spare_the_best_and_the_preferred_are_those_of_brute_force() {
    let effort = Effort { nodes_past_proof: 3_000, ..Effort::default() };
    let (mut none, mut some) = (0, 0);
    for sort in SORTS {
        each_case(sort, |case, allowed, at| {
            let outcome = maximise(&case.problem, &[], &case.moves, effort);
            check_claims(case, allowed, &outcome, at);
            check_is_best(allowed, &outcome, &effort, at);
            check_is_preferred(case, allowed, &outcome, &effort, at);
            *(if allowed.is_empty() { &mut none } else { &mut some }) += 1;
        });
    }
    // The draw is worth nothing if it never is impossible, or always.
    assert!(none > 100 && some > 2_000, "{none} impossible, {some} possible");
}

#[test]
fn wide_ties_are_settled_by_size_then_moves() {
    let effort = Effort { proof: 0.2, ..Effort::default() };
    let mut moved = 0;
    for sort in SORTS {
        each_case(sort, |case, allowed, at| {
            let outcome = maximise(&case.problem, &[], &case.moves, effort);
            check_claims(case, allowed, &outcome, at);
            check_is_preferred(case, allowed, &outcome, &effort, at);
            moved +=
                usize::from(outcome.best.map(|s| s.choice) != outcome.preferred.map(|s| s.choice));
        });
    }
    assert!(moved > 200, "only {moved} cases had a tie to settle");
}

#[test]
fn however_little_effort_bounds_and_claims_stay_true() {
    let mut open = 0;
    for sort in SORTS {
        each_case(sort, |case, allowed, at| {
            for (nodes, steps) in [(0, 1), (1, 1), (1, 20), (3, 3), (10, 5), (40, 2)] {
                let effort = Effort { nodes, steps, tie_nodes: nodes, ..Effort::default() };
                let outcome = maximise(&case.problem, &[], &case.moves, effort);
                check_claims(case, allowed, &outcome, at);
                check_is_preferred(case, allowed, &outcome, &effort, at);
                open += usize::from(outcome.gap() > effort.closed);
            }
        });
    }
    assert!(open > 1_000, "only {open} searches were cut short");
}

#[test]
fn choices_known_before_only_help() {
    let effort = Effort { nodes_past_proof: 3_000, ..Effort::default() };
    for sort in SORTS {
        let mut random = Random::seeded(7);
        each_case(sort, |case, allowed, at| {
            let known: Vec<Choice> = (0..3).map(|_| drawn_choice(case, &mut random)).collect();
            let outcome = maximise(&case.problem, &known, &case.moves, effort);
            check_claims(case, allowed, &outcome, at);
            check_is_best(allowed, &outcome, &effort, at);
            check_is_preferred(case, allowed, &outcome, &effort, at);
            let idle = Effort { nodes: 0, ..effort };
            let outcome = maximise(&case.problem, &known, &case.moves, idle);
            check_claims(case, allowed, &outcome, at);
            let kept = known.iter().any(|k| allowed.iter().any(|a| a.choice == *k));
            assert_eq!(outcome.best.is_some(), kept, "{at}: known choices are used");
        });
    }
}

#[test]
fn the_same_problem_gives_the_same_answer_to_the_last_bit() {
    for sort in SORTS {
        each_case(sort, |case, _, at| {
            let run = || maximise(&case.problem, &[], &case.moves, Effort::default());
            let (a, b) = (run(), run());
            assert_eq!(a.preferred, b.preferred, "{at}");
            assert_eq!((a.bound.to_bits(), a.nodes), (b.bound.to_bits(), b.nodes), "{at}");
        });
    }
}

#[test]
fn one_rate_is_never_worth_more_above_another_than_is_said() {
    let flat = |rate: f64| Rate::new(vec![(0.0, rate), (10.0, rate)]);
    assert_eq!(flat(4.0).most_above(&flat(1.0), 1.0, 10.0), 30.0);
    assert_eq!(flat(1.0).most_above(&flat(4.0), 1.0, 10.0), -3.0);
    let mut random = Random::seeded(11);
    for _ in 0..200 {
        let mut rate = || {
            let mut knots = vec![(0.0, 9.0)];
            while knots.len() < 5 {
                let (t, r) = knots[knots.len() - 1];
                knots.push((t + 0.5 + random.below(30) as f64 / 10.0, 0.7 * r));
            }
            knots.push((20.0, 0.0));
            Rate::new(knots)
        };
        let (a, b) = (rate(), rate());
        let (lo, hi) = (1.0, 15.0);
        let most = a.most_above(&b, lo, hi);
        for k in 0..=280 {
            let t = lo + (hi - lo) * f64::from(k) / 280.0;
            assert!(t * (a.at(t) - b.at(t)) <= most + 1e-9, "{t}: above {most}");
        }
    }
}

/// How many of the first rows are counted in whole numbers.
fn n_counted(case: &Case) -> usize {
    let whole = |a: f64| a >= 0.0 && a.fract() == 0.0;
    let uses =
        |i: usize| case.problem.columns.iter().flat_map(|c| &c.uses).filter(move |u| u.0 == i);
    let counted = |i: &usize| whole(case.problem.rows[*i].rhs) && uses(*i).all(|u| whole(u.1));
    (0..case.problem.rows.len()).take_while(counted).count()
}

#[test]
fn every_use_that_may_be_worth_more_than_a_floor_is_listed_with_a_bound() {
    let (mut listed, mut near, mut left_out) = (0, 0, 0);
    for (sort, seed) in SORTS.into_iter().flat_map(|sort| (0..LISTED).map(move |seed| (sort, seed)))
    {
        let case = &draw(sort, seed);
        let (allowed, at) = (&all_allowed(case), &format!("{sort:?} {seed}"));
        let n = n_counted(case);
        let best = best_value(allowed);
        for floor in [-1e6, best - 0.2 * best.abs() - 0.1] {
            let floor = if floor.is_finite() { floor } else { -1.0 };
            let uses = list_uses(&case.problem, n, floor, 100_000_000, Watch::default())
                .expect("few steps suffice");
            let counts = |choice: &Choice| -> Vec<usize> {
                let of = |j: usize, i: usize| {
                    let own = case.problem.columns[j].uses.iter().filter(|u| u.0 == i);
                    own.map(|u| u.1 as usize).sum::<usize>()
                };
                (0..n).map(|i| choice.iter().map(|&(j, m)| m * of(j, i)).sum()).collect()
            };
            for a in allowed.iter().filter(|a| a.value > floor + ROUNDING) {
                let own = counts(&a.choice);
                let found = uses.iter().find(|u| u.counts == own);
                let found = found.unwrap_or_else(|| panic!("{at}: {own:?} is not listed"));
                let enough = found.most >= a.value - ROUNDING * (1.0 + a.value.abs());
                assert!(enough, "{at}: {} below {}", found.most, a.value);
                listed += 1;
            }
            left_out += allowed.iter().filter(|a| a.value <= floor).count();
            let top = uses.iter().map(|u| u.most).fold(f64::NEG_INFINITY, f64::max);
            near += usize::from((top - best).abs() <= 0.02 * (1.0 + best.abs()));
        }
    }
    // Worth nothing if floors rule nothing out, or if bounds are far from what there is.
    assert!(listed > 4_000 && left_out > 2_000, "{listed} listed, {left_out} left out");
    assert!(near > 400, "only {near} bounds near the best");
}

/// The program at one level: the columns that may be used there, and places as a row.
fn program_at(case: &Case, level: f64) -> (Vec<usize>, IntegerProgram) {
    let problem = &case.problem;
    let usable: Vec<usize> =
        (0..case.knots.len()).filter(|&j| problem.columns[j].rate.last_level() >= level).collect();
    let mut rows = problem.rows.clone();
    rows.push(Row { name: "places", sense: Sense::AtMost, rhs: problem.most_columns as f64 });
    let value = |j: usize| level * problem.columns[j].rate.at(level) - problem.columns[j].cost;
    let uses = |j: usize| {
        let places = (rows.len() - 1, 1.0);
        problem.columns[j].uses.iter().copied().chain([places]).collect()
    };
    let program = IntegerProgram {
        values: usable.iter().map(|&j| value(j)).collect(),
        uses: usable.iter().map(|&j| uses(j)).collect(),
        rows,
        most_each: problem.most_columns,
    };
    (usable, program)
}

fn check_library(backend: Backend) {
    let (mut solved, mut impossible) = (0, 0);
    for sort in [Sort::Plain, Sort::Groups, Sort::Forced, Sort::Equal, Sort::OneLevel] {
        each_case(sort, |case, allowed, at| {
            let (lo, hi) = case.problem.levels;
            let level = 0.5 * (lo + hi);
            let (usable, program) = program_at(case, level);
            let value = |a: &Allowed| -> f64 {
                let of = |j: usize| usable.iter().position(|u| *u == j).map(|k| program.values[k]);
                a.choice.iter().map(|&(j, n)| of(j).unwrap_or(f64::NAN) * n as f64).sum()
            };
            let fits = |a: &&Allowed| a.choice.iter().all(|(j, _)| usable.contains(j));
            let truth = allowed.iter().filter(fits).map(value).reduce(f64::max);
            match (solve_program(&program, backend), truth) {
                (ProgramAnswer::Optimal(counts), Some(truth)) => {
                    let sum = counts.iter().zip(&program.values).map(|(n, v)| *n as f64 * v);
                    assert!(close(sum.sum(), truth), "{at}: {counts:?} is not worth {truth}");
                    solved += 1;
                }
                (ProgramAnswer::Infeasible, None) => impossible += 1,
                (answer, truth) => panic!("{at}: {answer:?}, but it is {truth:?}"),
            }
        });
    }
    assert!(solved > 1_000 && impossible > 50, "{solved} solved, {impossible} impossible");
}

#[test]
fn libraries_agree_with_brute_force_microlp() {
    check_library(Backend::Microlp);
}

#[cfg(feature = "highs")]
#[test]
fn libraries_agree_with_brute_force_highs() {
    check_library(Backend::Highs);
}
