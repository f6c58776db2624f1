//! The integer programs that arise in a search, solved by it and by the libraries.

use super::branch::{Effort, maximise};
use super::dominance::undominated;
use super::finish::{Candidate, End, Finish, Reply};
use super::loads::Loads;
use super::node::Node;
use super::problem::{Column, NoMoves, Problem, Row, Sense, sum_over};
use super::program::{Backend, IntegerProgram, ProgramAnswer, solve_program};
use super::rate::Rate;
use super::watch::Watch;

const PROBLEMS: u64 = 80;
/// Larger programs are no second opinion but a wait: the libraries run on them without end.
const MOST_COLUMNS: usize = 45;

/// Numbers from 0 up to 1, the same everywhere: a linear congruential generator
/// (D.E. Knuth, The Art of Computer Programming 2, 3.3.4, from memory, check your edition).
fn random(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x1234_5678;
    move || {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Strings of one to four things of some kinds, each with a knee: a stock, places, and a load.
fn strings(seed: u64) -> Problem<'static> {
    let mut r = random(seed);
    let n_kinds = 3 + (3.0 * r()) as usize;
    let kinds: Vec<(f64, f64, usize)> = (0..n_kinds)
        .map(|_| (3.0 + 7.0 * r(), 20.0 + 25.0 * r(), 1 + (5.0 * r()) as usize))
        .collect();
    let most_columns = 3 + (4.0 * r()) as usize;
    let mut rows: Vec<Row> = kinds
        .iter()
        .map(|k| Row { name: "stock", sense: Sense::AtMost, rhs: k.2 as f64 })
        .collect();
    rows.push(Row { name: "load", sense: Sense::AtMost, rhs: 10.0 + 40.0 * r() });
    let mut columns = Vec::new();
    for taken in 1..5_usize.pow(n_kinds as u32) {
        let counts: Vec<usize> = (0..n_kinds).map(|k| taken / 5_usize.pow(k as u32) % 5).collect();
        let length: usize = counts.iter().sum();
        if length > 4 || counts.iter().zip(&kinds).any(|(n, k)| *n > k.2) {
            continue;
        }
        let present = || kinds.iter().zip(&counts).filter(|(_, n)| **n > 0);
        let i = present().map(|(k, _)| k.0).fold(f64::INFINITY, f64::min);
        let v: f64 = present().map(|(k, n)| k.1 * *n as f64).sum();
        let knot = |step: i32| {
            let share = f64::from(step) / 30.0;
            (v * share, i * (1.0 - share.powi(14)))
        };
        let mut uses: Vec<(usize, f64)> = counts
            .iter()
            .enumerate()
            .filter(|(_, n)| **n > 0)
            .map(|(k, n)| (k, *n as f64))
            .collect();
        uses.push((n_kinds, i));
        columns.push(Column {
            uses,
            rate: Rate::new((10..=30).map(knot).collect::<Vec<_>>()),
            cost: 2.0 * length as f64,
            size: length,
            least_moves: 0,
        });
    }
    Problem {
        columns,
        rows,
        gates: Vec::new(),
        levels: (15.0, 130.0),
        most_columns,
        most_gross: None,
    }
}

fn program_of(candidates: &[Candidate], rows: &[Row], most_columns: usize) -> IntegerProgram {
    let mut rows = rows.to_vec();
    rows.push(Row { name: "places", sense: Sense::AtMost, rhs: most_columns as f64 });
    let uses = |c: &Candidate| {
        let mut uses = c.uses.to_vec();
        uses.push((rows.len() - 1, 1.0));
        uses
    };
    IntegerProgram {
        values: candidates.iter().map(|c| c.value).collect(),
        uses: candidates.iter().map(uses).collect(),
        rows,
        most_each: most_columns,
    }
}

/// Optimum by the search's own finish.
fn by_finish(problem: &Problem, rows: &[Row], candidates: &[Candidate]) -> Option<f64> {
    let finish = Finish { problem, rows, candidates, limits: None, watch: Watch::default() };
    let mut best = None;
    let end = finish.run(f64::NEG_INFINITY, &mut 50_000_000, &mut |choice, value| {
        best = Some((choice.to_vec(), value));
        Reply::Seek { above: value, limits: None }
    });
    assert_eq!(end, End::Complete);
    best.map(|(choice, value)| {
        let value_of = |j| candidates.iter().find(|c| c.column == j).map_or(f64::NAN, |c| c.value);
        let again = sum_over(&choice, value_of);
        assert!((value - again).abs() < 1e-9 * (1.0 + again.abs()));
        again
    })
}

/// Optimum by a library; `None` if it proved none.
fn by_library(program: &IntegerProgram, backend: Backend) -> Option<f64> {
    match solve_program(program, backend) {
        ProgramAnswer::Optimal(counts) => {
            Some(counts.iter().zip(&program.values).map(|(n, v)| *n as f64 * v).sum())
        }
        ProgramAnswer::Infeasible => panic!("taking nothing keeps the rows"),
        ProgramAnswer::Open => None,
    }
}

/// Every program of up to so many columns that arises on the way to the best level of a problem.
fn each_program(mut check: impl FnMut(&IntegerProgram, f64)) {
    for seed in 0..PROBLEMS {
        let problem = strings(seed);
        let outcome = maximise(&problem, &[], &NoMoves, Effort::default());
        let best = outcome.best.expect("taking nothing keeps the rows");
        let loads = Loads::new(&problem);
        let mut node = Node::root(&problem);
        for _ in 0..12 {
            let floor = 0.97 * best.value;
            let relaxed = node.relax(&problem, &loads, floor).expect("the best is in it");
            let candidates = undominated(relaxed.above(floor), &relaxed.rows);
            if candidates.len() <= MOST_COLUMNS {
                let ours = by_finish(&problem, &relaxed.rows, &candidates).expect("the best");
                assert!(ours <= relaxed.bound + 1e-6, "{ours} above the bound {}", relaxed.bound);
                let program = program_of(&candidates, &relaxed.rows, problem.most_columns);
                check(&program, ours);
            }
            let halves = node.narrowed(&relaxed, relaxed.bound).halves().expect("wide enough");
            let [low, high] = halves;
            node = if best.level <= low.hi { low } else { high };
        }
    }
}

fn compare(backend: Backend) {
    let (mut agreed, mut open) = (0, 0);
    each_program(|program, ours| match by_library(program, backend) {
        Some(theirs) => {
            assert!((ours - theirs).abs() < 1e-6 * (1.0 + ours), "{ours}, the library {theirs}");
            agreed += 1;
        }
        None => open += 1,
    });
    assert!(agreed >= 800 && open == 0, "{agreed} agreed, {open} left open");
}

#[test]
fn microlp_finds_the_optimum_that_the_search_finds() {
    compare(Backend::Microlp);
}

#[cfg(feature = "highs")]
#[test]
fn highs_finds_the_optimum_that_the_search_finds() {
    compare(Backend::Highs);
}
