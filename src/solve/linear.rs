//! Bound and prices of a linear program, by columns generated on its dual.
//!
//! `good_lp` gives no duals for `microlp`, so the dual program itself is solved: one variable per
//! row of the primal, one constraint per column, and only the columns that matter.

use std::borrow::Cow;

use good_lp::{
    Expression, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};

use super::problem::{Row, Sense, slack};

/// Columns in the first program, and columns added each round.
const BATCH: usize = 40;
/// Rounds before the prices are taken as they are (the bound stays valid with any prices).
const ROUNDS: usize = 200;
/// A row not met costs this many times all that a choice can be worth.
const FENCE: f64 = 1e3;

/// One column of a linear program.
pub(super) struct Priced<'a> {
    /// Value.
    pub value: f64,
    /// Row and coefficient.
    pub uses: Cow<'a, [(usize, f64)]>,
}

/// Bound on the program, and the reduced cost of every column at the prices found.
pub(super) struct Relaxation {
    /// No choice is worth more.
    pub bound: f64,
    /// One price a row, and the price of a place last.
    pub prices: Vec<f64>,
    /// Value less the price of what the column uses, at most zero; one per column.
    pub reduced: Vec<f64>,
}

/// What a column can add to or take from a choice at most: where part of its value may count for
/// nothing, its cost besides.
pub(super) fn most_weight(value: f64, uses: &[(usize, f64)], rows: &[Row]) -> f64 {
    let soft = uses.iter().filter(|(i, _)| rows[*i].sense == Sense::Soft).map(|(_, a)| a.abs());
    value.abs() + soft.sum::<f64>()
}

/// The most that a choice can be worth or cost in sum, and the price that says "not met".
pub(super) fn fence(values: impl Iterator<Item = f64>, most_columns: usize) -> (f64, f64) {
    let most = values.fold(1.0, |m: f64, v| m.max(v.abs())) * most_columns.max(1) as f64;
    (most, FENCE * most)
}

/// Bounds `max Σ value·x, rows, x ≥ 0, Σ x ≤ most_columns`; `None` if no `x` keeps the rows.
///
/// Any prices y (at least zero on ceilings, and at most one on soft ones), with a price y₀ of each place that no column beats,
/// bound every choice x:
///
/// ```text
/// Σ v_j x_j = Σ (v_j − Σ a_ij y_i − y₀) x_j + Σ y_i (Σ a_ij x_j) + y₀ Σ x_j ≤ Σ y_i b_i + y₀·most_columns
/// ```
///
/// So rounding in the solver costs tightness, never truth. `start` are prices to begin from.
pub(super) fn relax(
    columns: &[Priced],
    rows: &[Row],
    most_columns: usize,
    start: Option<&[f64]>,
) -> Option<Relaxation> {
    let weights = columns.iter().map(|c| most_weight(c.value, &c.uses, rows));
    let (most_worth, fence) = fence(weights, most_columns);
    let no_gain = 1e-9 * most_worth;
    let mut prices = vec![0.0; rows.len() + 1];
    if let Some(start) = start {
        prices[..start.len()].copy_from_slice(start);
    }
    let mut chosen = Vec::new();
    let mut is_chosen = vec![false; columns.len()];
    for round in 0..ROUNDS {
        let gain = |j: usize| reduced_cost(&columns[j], &prices);
        let mut better: Vec<(f64, usize)> = (0..columns.len())
            .filter(|j| !is_chosen[*j])
            .map(|j| (gain(j), j))
            .filter(|(gain, _)| round == 0 || *gain > no_gain)
            .collect();
        if better.is_empty() && round > 0 {
            break;
        }
        let by_gain = |a: &(f64, usize), b: &(f64, usize)| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1));
        if better.len() > BATCH {
            better.select_nth_unstable_by(BATCH, by_gain);
            better.truncate(BATCH);
        }
        better.sort_unstable_by(by_gain);
        for &(_, j) in &better {
            chosen.push(j);
            is_chosen[j] = true;
        }
        // A solver that gives up leaves prices of nothing: poor, but valid.
        prices = dual_prices(columns, &chosen, rows, most_columns, fence)
            .unwrap_or_else(|| vec![0.0; rows.len() + 1]);
    }
    let mut reduced: Vec<f64> = columns.iter().map(|c| reduced_cost(c, &prices)).collect();
    let over = reduced.iter().copied().fold(0.0, f64::max);
    prices[rows.len()] += over;
    reduced.iter_mut().for_each(|rc| *rc -= over);
    // A row may be missed by rounding.
    let at_prices: f64 =
        prices.iter().zip(rows).map(|(y, r)| y * r.rhs + y.abs() * slack(r.rhs)).sum();
    let bound = at_prices + prices[rows.len()] * most_columns as f64;
    // No choice is worth less than this, so none is left.
    let out_of_reach = bound < -(1.0 + 1e-6) * most_worth;
    (!out_of_reach).then_some(Relaxation { bound, prices, reduced })
}

fn reduced_cost(column: &Priced, prices: &[f64]) -> f64 {
    let place = prices[prices.len() - 1];
    column.value - place - column.uses.iter().map(|&(i, a)| a * prices[i]).sum::<f64>()
}

/// Optimal dual prices for the chosen columns, the price of a place last.
fn dual_prices(
    columns: &[Priced],
    chosen: &[usize],
    rows: &[Row],
    most_columns: usize,
    fence: f64,
) -> Option<Vec<f64>> {
    let mut vars = variables!();
    let mut y: Vec<Variable> = rows
        .iter()
        .map(|row| match row.sense {
            Sense::AtMost => vars.add(variable().min(0.0).max(fence)),
            Sense::Exactly => vars.add(variable().min(-fence).max(fence)),
            Sense::Soft => vars.add(variable().min(0.0).max(1.0)),
        })
        .collect();
    let place = vars.add(variable().min(0.0).max(fence));
    let mut objective = Expression::with_capacity(rows.len() + 1);
    y.iter().zip(rows).for_each(|(v, row)| objective.add_mul(row.rhs, *v));
    objective.add_mul(most_columns as f64, place);
    let mut model = vars.minimise(objective).using(microlp);
    for &j in chosen {
        let mut paid = Expression::with_capacity(columns[j].uses.len() + 1);
        columns[j].uses.iter().for_each(|&(i, a)| paid.add_mul(a, y[i]));
        paid.add_mul(1.0, place);
        model.add_constraint(constraint!(paid >= columns[j].value));
    }
    y.push(place);
    let solution = model.solve().ok()?;
    let sense = |i: usize| rows.get(i).map_or(Sense::AtMost, |row| row.sense);
    let price = |(i, v): (usize, &Variable)| {
        let price = solution.value(*v);
        match sense(i) {
            Sense::AtMost => price.max(0.0),
            Sense::Exactly => price,
            Sense::Soft => price.clamp(0.0, 1.0),
        }
    };
    let prices: Vec<f64> = y.iter().enumerate().map(price).collect();
    prices.iter().all(|y| y.is_finite()).then_some(prices)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(sense: Sense, rhs: f64) -> Row {
        Row { name: "row", sense, rhs }
    }

    fn priced(value: f64, uses: &[(usize, f64)]) -> Priced<'_> {
        Priced { value, uses: Cow::Borrowed(uses) }
    }

    #[test]
    fn a_small_linear_program_is_bounded_by_its_optimum() {
        // max 3x + 5y, x <= 4, 2y <= 12, 3x + 2y <= 18: 36
        // (Hillier & Lieberman's first example, from memory, check your edition).
        let columns = [priced(3.0, &[(0, 1.0), (2, 3.0)]), priced(5.0, &[(1, 2.0), (2, 2.0)])];
        let rows = [4.0, 12.0, 18.0].map(|rhs| row(Sense::AtMost, rhs));
        let relaxation = relax(&columns, &rows, 10, None).expect("feasible");
        assert!((relaxation.bound - 36.0).abs() < 1e-6, "{}", relaxation.bound);
        assert!(relaxation.reduced.iter().all(|rc| -1e-6 < *rc && *rc <= 0.0));
    }

    #[test]
    fn an_equality_that_no_column_meets_is_infeasible() {
        let rows = [row(Sense::Exactly, 1.0)];
        assert!(relax(&[], &rows, 3, None).is_none());
        assert!(relax(&[priced(3.0, &[])], &rows, 3, None).is_none());
    }

    #[test]
    fn a_floor_that_no_column_lifts_is_infeasible() {
        let rows = [row(Sense::AtMost, -1.0)];
        assert!(relax(&[], &rows, 3, None).is_none());
        assert!(relax(&[priced(3.0, &[])], &rows, 3, None).is_none());
        assert!(relax(&[priced(-3.0, &[(0, -0.5)])], &rows, 1, None).is_none());
        let bound = relax(&[priced(-3.0, &[(0, -0.5)])], &rows, 2, None).map(|r| r.bound);
        // Just feasible: a price near the fence, times the rounding that a row is allowed.
        assert!((bound.expect("just feasible") + 6.0).abs() < 1e-3);
    }

    #[test]
    fn a_column_that_uses_nothing_is_bounded_by_the_places() {
        let bound = relax(&[priced(3.0, &[])], &[], 4, None).map(|r| r.bound);
        assert_eq!(bound, Some(12.0));
    }

    #[test]
    fn what_lies_above_a_soft_ceiling_counts_for_nothing() {
        // Each brings 10 and costs 4, and 25 count: two and a half of them bring 15.
        let columns = [priced(6.0, &[(0, 10.0)])];
        let rows = [row(Sense::Soft, 25.0)];
        let bound = |places| relax(&columns, &rows, places, None).expect("feasible").bound;
        assert!((bound(9) - 15.0).abs() < 1e-6, "{}", bound(9));
        assert!((bound(2) - 12.0).abs() < 1e-6, "{}", bound(2));
    }

    #[test]
    fn prices_to_begin_from_do_not_change_the_bound() {
        let columns = [priced(3.0, &[(0, 1.0)]), priced(2.0, &[(0, 0.5)])];
        let rows = [row(Sense::AtMost, 2.0)];
        let bound = |start: Option<&[f64]>| relax(&columns, &rows, 9, start).map(|r| r.bound);
        let (cold, warm) = (bound(None).expect("feasible"), bound(Some(&[7.0])).expect("feasible"));
        assert!((cold - warm).abs() < 1e-7, "{cold} {warm}");
    }
}
