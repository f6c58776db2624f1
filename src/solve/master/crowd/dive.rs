//! A whole choice from the linear program: the largest part of a share is made whole, the program
//! solved again, until no parts are left.

use super::super::shares::Shares;

/// A share nearer to one than this is whole.
const WHOLE: f64 = 1e-6;
/// Pivots allowed each time the program is solved again.
const PIVOTS: usize = 2_000;

/// Sites and places of their offers, those with the largest shares first; a site's offer may not fit
/// any more. Sites that are not named have what comes first with them, which uses nothing.
pub(super) fn dive(
    program: &Shares,
    columns: &[(usize, usize)],
    n_sites: usize,
) -> Vec<(usize, usize)> {
    let mut program = program.clone();
    let mut tried = vec![false; n_sites];
    loop {
        let shares = program.shares();
        let parts =
            shares.iter().filter(|(j, z)| *z < 1.0 - WHOLE && *z > WHOLE && !tried[columns[*j].0]);
        // Of equals the first.
        let Some((column, _)) = parts.copied().reduce(|a, b| if b.1 > a.1 { b } else { a }) else {
            break;
        };
        let site = columns[column].0;
        tried[site] = true;
        let others = program.forbid_others(column);
        program.climb_in_batches(PIVOTS);
        if program.lacks() {
            // The rows stand in the way of its being whole: then it is not at all.
            program.allow(&others);
            program.forbid(column);
            program.climb_in_batches(PIVOTS);
            tried[site] = false;
        }
    }
    let mut found = program.shares();
    found.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut taken = vec![false; n_sites];
    let first = |(j, _): (usize, f64)| {
        let (site, place) = columns[j];
        (!std::mem::replace(&mut taken[site], true)).then_some((site, place))
    };
    found.into_iter().filter_map(first).collect()
}
