//! A whole choice from the linear program: the largest part of a share is made whole, the program
//! solved again, until no parts are left. Where many sites share, a search that tries choices one by
//! one would not get far; this loses about what the last few sites are worth.

use super::shares::Shares;

/// A share nearer to one than this is whole.
const WHOLE: f64 = 1e-6;

/// Columns of a whole choice, one a site, ascending; `None` if the program falls to the floor on the
/// way.
pub(super) fn dive(program: &Shares, floor: f64, most_pivots: usize) -> Option<Vec<usize>> {
    let mut program = program.clone();
    let mut fixed: Vec<usize> = Vec::new();
    loop {
        if program.value() <= floor {
            return None;
        }
        let shares = program.shares();
        let parts = shares.iter().filter(|(_, z)| *z < 1.0 - WHOLE);
        // Of equals the first.
        let largest = parts.copied().reduce(|a, b| if b.1 > a.1 { b } else { a });
        let Some((column, _)) = largest.filter(|(_, z)| *z > WHOLE) else {
            return Some(shares.iter().filter(|(_, z)| *z > 0.5).map(|(j, _)| *j).collect());
        };
        // A row stands in the way of its being whole.
        if fixed.contains(&column) {
            return None;
        }
        fixed.push(column);
        program.forbid_others(column);
        program.climb(most_pivots);
    }
}
