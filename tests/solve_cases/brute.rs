//! Every choice of a small problem, judged by code that shares nothing with the optimiser.

use sungraft::solve::{Choice, Sense, TieBreak};

use super::small::Case;

/// A choice that keeps everything, and what it is worth.
pub struct Allowed {
    pub choice: Choice,
    pub value: f64,
    pub size: usize,
    pub moves: usize,
}

/// All choices that keep rows and gates and have a level in common.
pub fn all_allowed(case: &Case) -> Vec<Allowed> {
    let mut found = Vec::new();
    extend(case, 0, &mut vec![0; case.knots.len()], case.problem.most_columns, &mut found);
    found
}

fn extend(case: &Case, j: usize, counts: &mut Vec<usize>, left: usize, found: &mut Vec<Allowed>) {
    if j == counts.len() {
        found.extend(judged(case, counts));
        return;
    }
    for n in 0..=left {
        counts[j] = n;
        extend(case, j + 1, counts, left - n, found);
    }
    counts[j] = 0;
}

fn judged(case: &Case, counts: &[usize]) -> Option<Allowed> {
    let problem = &case.problem;
    for (i, row) in problem.rows.iter().enumerate() {
        let uses = problem.columns.iter().zip(counts).flat_map(|(c, n)| {
            c.uses.iter().filter(move |(row, _)| *row == i).map(move |(_, a)| a * *n as f64)
        });
        let sum: f64 = uses.sum();
        let kept = match row.sense {
            Sense::AtMost => sum <= row.rhs + 1e-7,
            Sense::Exactly => (sum - row.rhs).abs() <= 1e-7,
            Sense::Soft => unreachable!("a search makes such rows, a problem has none"),
        };
        if !kept {
            return None;
        }
    }
    for gate in &case.gates {
        let taken = || counts.iter().enumerate().filter(|(_, n)| **n > 0);
        let key = taken().map(|(j, _)| gate.keys[j]).fold(f64::INFINITY, f64::min);
        let load: f64 =
            taken().map(|(j, n)| *n as f64 * (gate.fixed[j] - gate.falls[j] * key)).sum();
        if key.is_finite() && load > gate.cap + gate.cap_rises * key + 1e-7 {
            return None;
        }
    }
    let choice: Choice =
        counts.iter().enumerate().filter(|(_, n)| **n > 0).map(|(j, n)| (j, *n)).collect();
    let value = highest_value(case, counts)?;
    let size = choice.iter().map(|&(j, n)| problem.columns[j].size * n).sum();
    let moves = case.moves.moves(&choice);
    Some(Allowed { choice, value, size, moves })
}

/// Rate by its definition: straight between knots, the earlier of two knots at one level, and
/// `after` a jump the later one.
fn rate(knots: &[(f64, f64)], t: f64, after: bool) -> f64 {
    if t < knots[0].0 {
        return knots[0].1;
    }
    let mut at = knots.iter().filter(|k| k.0 == t);
    if let Some(knot) = if after { at.next_back() } else { at.next() } {
        return knot.1;
    }
    let pair = knots.windows(2).find(|w| w[0].0 < t && t < w[1].0).expect("inside the knots");
    let share = (t - pair[0].0) / (pair[1].0 - pair[0].0);
    (1.0 - share) * pair[0].1 + share * pair[1].1
}

/// Highest value over a fine scan, every knot, and the top of the parabola of every piece.
fn highest_value(case: &Case, counts: &[usize]) -> Option<f64> {
    let taken: Vec<usize> = (0..counts.len()).filter(|j| counts[*j] > 0).collect();
    let (lo, mut hi) = case.problem.levels;
    for &j in &taken {
        hi = hi.min(case.knots[j].last().expect("knots").0);
    }
    if lo > hi {
        return None;
    }
    let cost: f64 = taken.iter().map(|&j| counts[j] as f64 * case.problem.columns[j].cost).sum();
    let gross = |t: f64, after: bool| -> f64 {
        taken.iter().map(|&j| counts[j] as f64 * t * rate(&case.knots[j], t, after)).sum()
    };
    let mut levels: Vec<f64> = taken
        .iter()
        .flat_map(|&j| case.knots[j].iter().map(|k| k.0))
        .filter(|t| lo <= *t && *t <= hi)
        .chain((0..=40).map(|n| lo + (hi - lo) * f64::from(n) / 40.0).filter(|t| *t <= hi))
        .chain([hi])
        .collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let mut best = levels.iter().map(|t| gross(*t, false)).fold(f64::NEG_INFINITY, f64::max);
    for w in levels.windows(2) {
        // The parabola through both ends and the middle.
        let (a, m, b) = (gross(w[0], true), gross(0.5 * (w[0] + w[1]), false), gross(w[1], false));
        let bend = a - 2.0 * m + b;
        let at = 0.5 + 0.25 * (a - b) / bend;
        if bend < 0.0 && 0.0 < at && at < 1.0 {
            best = best.max(gross(w[0] + at * (w[1] - w[0]), false));
        }
    }
    Some(case.problem.most_gross.map_or(best, |most| best.min(most)) - cost)
}
