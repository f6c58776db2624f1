//! Columns that another makes needless.

use std::cmp::Ordering;

use super::finish::Candidate;
use super::problem::{Row, Sense};

/// Columns with which each is compared at most: of thousands hardly one is dominated by the last only.
const COMPARED: usize = 400;

/// The candidates without those that another dominates: one of no less value that uses no more of any
/// ceiling and just as much of every equality.
///
/// Of a soft ceiling counts what a column would cost if nothing of it counted, its use less its value: one
/// that costs no more and is worth no less is as good wherever the ceiling lies.
///
/// Taking the other instead, one for one, keeps all rows and loses nothing, so among the rest there is
/// still a choice of highest value. That holds for rows and values alone: the gates may judge the two
/// differently, and so may the tie-break.
pub(super) fn undominated<'a>(candidates: &[Candidate<'a>], rows: &[Row]) -> Vec<Candidate<'a>> {
    let m = rows.len();
    let mut dense = vec![0.0; candidates.len() * m];
    for (p, candidate) in candidates.iter().enumerate() {
        for &(i, a) in candidate.uses.iter() {
            let soft = rows[i].sense == Sense::Soft;
            dense[p * m + i] += if soft { a - candidate.value } else { a };
        }
    }
    let uses = |p: usize| &dense[p * m..(p + 1) * m];
    // Whatever dominates a column stands before it: more value, or the same for less, or an equal
    // that comes earlier.
    let mut order: Vec<usize> = (0..candidates.len()).collect();
    order.sort_by(|&p, &q| {
        let (a, b) = (&candidates[p], &candidates[q]);
        let by_uses = || uses(p).iter().zip(uses(q)).map(|(x, y)| x.total_cmp(y));
        b.value
            .total_cmp(&a.value)
            .then_with(|| by_uses().find(|o| o.is_ne()).unwrap_or(Ordering::Equal))
            .then(a.column.cmp(&b.column))
    });
    let needs_no_more = |q: usize, p: usize| {
        uses(q).iter().zip(uses(p)).zip(rows).all(|((q, p), row)| match row.sense {
            Sense::AtMost | Sense::Soft => q <= p,
            Sense::Exactly => q == p,
        })
    };
    // Dominance carries over, so only those that stay need be compared with: first those that have
    // dominated others before.
    let mut kept: Vec<usize> = Vec::new();
    for p in order {
        match kept.iter().take(COMPARED).position(|&q| needs_no_more(q, p)) {
            Some(at) => kept.swap(at, at / 2),
            None => kept.push(p),
        }
    }
    kept.sort_unstable();
    kept.into_iter().map(|p| candidates[p].clone()).collect()
}

#[cfg(test)]
mod tests {
    use std::borrow::Cow;

    use super::*;

    fn kept(rows: &[(Sense, f64)], columns: &[(f64, &[(usize, f64)])]) -> Vec<usize> {
        let rows: Vec<Row> =
            rows.iter().map(|&(sense, rhs)| Row { name: "row", sense, rhs }).collect();
        let candidates: Vec<Candidate> = columns
            .iter()
            .enumerate()
            .map(|(column, &(value, uses))| Candidate {
                column,
                value,
                uses: Cow::Borrowed(uses),
                reduced: 0.0,
            })
            .collect();
        undominated(&candidates, &rows).iter().map(|c| c.column).collect()
    }

    #[test]
    fn more_value_for_less_dominates_and_of_equals_the_first_stays() {
        let rows = [(Sense::AtMost, 4.0), (Sense::AtMost, 4.0)];
        let cheap: &[(usize, f64)] = &[(0, 1.0)];
        let dear: &[(usize, f64)] = &[(0, 2.0)];
        let other: &[(usize, f64)] = &[(1, 1.0)];
        assert_eq!(kept(&rows, &[(5.0, dear), (5.0, cheap), (1.0, other)]), [1, 2]);
        assert_eq!(kept(&rows, &[(5.0, cheap), (5.0, cheap), (6.0, dear)]), [0, 2]);
    }

    #[test]
    fn what_lifts_a_floor_is_dominated_only_by_what_lifts_it_as_much() {
        let rows = [(Sense::AtMost, -1.0)];
        let lifts: &[(usize, f64)] = &[(0, -1.0)];
        assert_eq!(kept(&rows, &[(1.0, lifts), (9.0, &[])]), [0, 1]);
        assert_eq!(kept(&rows, &[(9.0, lifts), (1.0, &[])]), [0]);
    }

    #[test]
    fn an_equality_counts_both_ways() {
        let rows = [(Sense::Exactly, 2.0)];
        let one: &[(usize, f64)] = &[(0, 1.0)];
        let two: &[(usize, f64)] = &[(0, 2.0)];
        assert_eq!(kept(&rows, &[(1.0, two), (9.0, one)]), [0, 1]);
        assert_eq!(kept(&rows, &[(1.0, one), (9.0, one)]), [1]);
    }
}
