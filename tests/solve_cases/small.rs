//! Small problems of every sort the optimiser knows, drawn at random.

use sungraft::solve::{Column, Gate, Problem, Rate, Row, Sense, TieBreak};

use super::random::Random;

/// A gate as plain numbers, so that a test can judge it by code of its own.
#[derive(Debug, Clone)]
pub struct PlainGate {
    pub keys: Vec<f64>,
    /// Load of a column is `fixed − falls · key`.
    pub fixed: Vec<f64>,
    pub falls: Vec<f64>,
    /// Load allowed is `cap + cap_rises · key`.
    pub cap: f64,
    pub cap_rises: f64,
}

impl Gate for PlainGate {
    fn name(&self) -> &'static str {
        "gate"
    }
    fn key(&self, column: usize) -> f64 {
        self.keys[column]
    }
    fn load(&self, column: usize, key: f64) -> f64 {
        self.fixed[column] - self.falls[column] * key
    }
    fn cap(&self, key: f64) -> f64 {
        self.cap + self.cap_rises * key
    }
}

/// A problem, and its parts where the problem hides them.
pub struct Case {
    pub problem: Problem<'static>,
    /// Knots of each column.
    pub knots: Vec<Vec<(f64, f64)>>,
    pub gates: Vec<PlainGate>,
    pub moves: Moves,
}

/// Moves that are never fewer than the columns' least, and not their sum alone.
#[derive(Debug, Clone)]
pub struct Moves {
    pub least: Vec<usize>,
    pub twist: usize,
}

impl TieBreak for Moves {
    fn moves(&self, choice: &[(usize, usize)]) -> usize {
        let least: usize = choice.iter().map(|&(j, n)| self.least[j] * n).sum();
        let twist: usize = choice.iter().map(|&(j, n)| (j + self.twist) * (n + 1)).sum();
        least + twist % 3
    }
}

/// What else is to hold besides rates, costs and a stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Stock and count.
    Plain,
    /// Some columns must be taken an exact number of times.
    Groups,
    /// At least so much of something must be taken.
    Forced,
    /// A load that falls with the key.
    FallingGate,
    /// A cap that is the key.
    CapGate,
    /// Any of it together.
    Mixed,
    /// All columns alike.
    Equal,
    /// One level only.
    OneLevel,
    /// What is above a height counts for nothing.
    Clipped,
}

pub const SORTS: [Sort; 9] = [
    Sort::Plain,
    Sort::Groups,
    Sort::Forced,
    Sort::FallingGate,
    Sort::CapGate,
    Sort::Mixed,
    Sort::Equal,
    Sort::OneLevel,
    Sort::Clipped,
];

pub fn draw(sort: Sort, seed: u64) -> Case {
    let mut random = Random::seeded(seed.wrapping_mul(31).wrapping_add(sort as u64));
    let r = &mut random;
    let lo = [0.0, 1.0, r.between(0.0, 5.0)][r.below(3)];
    let hi = if sort == Sort::OneLevel { lo } else { lo + r.between(0.1, 10.0) };
    let n = 1 + r.below(6);
    let mut knots: Vec<Vec<(f64, f64)>> = (0..n).map(|_| draw_rate(r, lo, hi)).collect();
    let mut costs: Vec<f64> = (0..n).map(|_| draw_cost(r, hi)).collect();
    let mut rows = Vec::new();
    let mut uses = vec![Vec::new(); n];
    let mut add = |rows: &mut Vec<Row>, sense, rhs: f64, coefficients: &[f64]| {
        for (list, a) in uses.iter_mut().zip(coefficients).filter(|(_, a)| **a != 0.0) {
            list.push((rows.len(), *a));
        }
        rows.push(Row { name: "row", sense, rhs });
    };
    for _ in 0..r.below(4) {
        let a: Vec<f64> = (0..n).map(|_| r.below(3) as f64).collect();
        add(&mut rows, Sense::AtMost, r.below(6) as f64, &a);
    }
    if r.below(2) == 0 {
        add(&mut rows, Sense::AtMost, r.below(5) as f64, &vec![1.0; n]);
    }
    if r.below(3) == 0 {
        let a: Vec<f64> = (0..n).map(|_| r.between(0.5, 12.0)).collect();
        add(&mut rows, Sense::AtMost, r.between(0.0, 30.0), &a);
    }
    let any = |r: &mut Random, s: Sort| sort == s || (sort == Sort::Mixed && r.below(2) == 0);
    if any(r, Sort::Groups) {
        let groups = 1 + r.below(2);
        for g in 0..groups {
            let a: Vec<f64> = (0..n).map(|j| f64::from(u8::from(j % (groups + 1) == g))).collect();
            add(&mut rows, Sense::Exactly, r.below(3) as f64, &a);
        }
    }
    if any(r, Sort::Forced) {
        let a: Vec<f64> = (0..n).map(|_| -(r.below(3) as f64)).collect();
        add(&mut rows, Sense::AtMost, -((1 + r.below(3)) as f64), &a);
    }
    if sort == Sort::Equal {
        let (first, cost, all) = (knots[0].clone(), costs[0], uses[0].clone());
        knots.iter_mut().for_each(|k| k.clone_from(&first));
        costs.fill(cost);
        uses.iter_mut().for_each(|u| u.clone_from(&all));
    }
    let mut gates = Vec::new();
    if any(r, Sort::FallingGate) {
        gates.push(draw_falling(r, n));
    }
    if any(r, Sort::CapGate) {
        gates.push(draw_cap(r, n));
    }
    let least: Vec<usize> = (0..n).map(|_| r.below(3)).collect();
    let columns = (0..n)
        .map(|j| Column {
            uses: uses[j].clone(),
            rate: Rate::new(knots[j].clone()),
            cost: costs[j],
            size: r.below(4),
            least_moves: least[j],
        })
        .collect();
    let boxed = gates.iter().map(|g| Box::new(g.clone()) as Box<dyn Gate>).collect();
    let most_columns = 1 + r.below(4);
    let clips = sort == Sort::Clipped || (sort == Sort::Mixed && r.below(3) == 0);
    let most_gross = clips.then(|| r.between(0.0, 20.0 * hi.max(0.5)));
    let levels = (lo, hi);
    let problem = Problem { columns, rows, gates: boxed, levels, most_columns, most_gross };
    Case { problem, knots, gates, moves: Moves { least, twist: r.below(3) } }
}

fn draw_cost(r: &mut Random, hi: f64) -> f64 {
    match r.below(4) {
        0 => 0.0,
        1 => r.between(0.0, 1.0),
        2 => r.between(0.0, 6.0 * hi.max(0.5)),
        _ => -r.between(0.0, 2.0),
    }
}

/// Falling pieces, a constant up to a last level, a fall through zero, a jump, or nothing.
fn draw_rate(r: &mut Random, lo: f64, hi: f64) -> Vec<(f64, f64)> {
    let top = r.between(0.5, 10.0);
    let inside = |r: &mut Random| lo + (hi - lo) * r.between(0.0, 1.0);
    match r.below(7) {
        0 => vec![(lo, top), (inside(r), top)],
        1 => vec![(inside(r), top)],
        2 => vec![(lo, 0.0), (hi, 0.0)],
        3 => {
            let at = inside(r);
            vec![(lo, top), (at, 0.8 * top), (at, 0.3 * top), (hi, 0.1 * top)]
        }
        kind => {
            let mut levels: Vec<f64> = (0..r.below(5)).map(|_| inside(r)).collect();
            levels.extend([lo, hi]);
            levels.sort_by(f64::total_cmp);
            levels.dedup();
            let mut rate = top;
            let mut knots = Vec::new();
            for t in levels {
                knots.push((t, rate));
                let fall = r.between(0.0, if kind == 4 { 0.4 } else { 0.9 } * top);
                rate -= if r.below(4) == 0 { 0.0 } else { fall };
            }
            knots
        }
    }
}

fn draw_falling(r: &mut Random, n: usize) -> PlainGate {
    let key = |r: &mut Random| if r.below(4) == 0 { f64::INFINITY } else { r.between(0.0, 10.0) };
    PlainGate {
        keys: (0..n).map(|_| key(r)).collect(),
        fixed: (0..n).map(|_| r.between(0.0, 10.0)).collect(),
        falls: (0..n).map(|_| r.between(0.0, 2.0)).collect(),
        cap: r.between(0.0, 5.0),
        cap_rises: 0.0,
    }
}

fn draw_cap(r: &mut Random, n: usize) -> PlainGate {
    let key = |r: &mut Random| if r.below(4) == 0 { f64::INFINITY } else { r.between(2.0, 20.0) };
    PlainGate {
        keys: (0..n).map(|_| key(r)).collect(),
        fixed: (0..n).map(|_| r.between(0.0, 8.0)).collect(),
        falls: vec![0.0; n],
        cap: 0.0,
        cap_rises: 1.0,
    }
}
