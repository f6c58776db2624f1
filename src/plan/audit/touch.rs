//! Does a plan disturb no more of today's wiring than its touch level allows?

use super::super::Touch;
use super::AuditedInput;
use super::error::{Audited, ensure};
use crate::model::{Element, KindIdx, PanelString};

pub(super) fn audit_touch(touch: Touch, input: &AuditedInput) -> Audited {
    let fits: fn(&PanelString, &PanelString) -> bool = match touch {
        Touch::None => |stands, planned| stands.canonical() == planned.canonical(),
        Touch::Extend => is_extended,
        Touch::Free => return Ok(()),
    };
    let (stands, planned) = (&input.today.strings, &input.array.strings);
    let kept = most_pairs(stands.len(), planned.len(), |a, b| fits(&stands[a], &planned[b]));
    ensure(kept == stands.len(), || {
        format!(
            "{kept} of {} installed strings on {} are kept, where touch `{}` keeps them all",
            stands.len(),
            input.name,
            touch.name()
        )
    })
}

/// Is every element of the one string also in the other, perhaps with more panels across it?
///
/// That those are spares follows from the stock: every installed panel is already in its place.
fn is_extended(stands: &PanelString, planned: &PanelString) -> bool {
    let (old, new) = (stands.elements(), planned.elements());
    most_pairs(old.len(), new.len(), |a, b| holds(&new[b], &old[a])) == old.len()
}

/// Are all members of the narrow element among those of the wide one?
fn holds(wide: &Element, narrow: &Element) -> bool {
    let count = |e: &Element, k: KindIdx| e.members().iter().filter(|m| **m == k).count();
    narrow.members().iter().all(|k| count(wide, *k) >= count(narrow, *k))
}

/// Size of the largest one-to-one pairing of left with right, by augmenting paths.
fn most_pairs(n_left: usize, n_right: usize, fits: impl Fn(usize, usize) -> bool) -> usize {
    let mut holder = vec![None; n_right];
    (0..n_left).filter(|&a| seat(a, &fits, &mut vec![false; n_right], &mut holder)).count()
}

/// Finds a place for `a`, moving others on where that frees one.
fn seat(
    a: usize,
    fits: &impl Fn(usize, usize) -> bool,
    seen: &mut [bool],
    holder: &mut [Option<usize>],
) -> bool {
    for b in 0..holder.len() {
        if seen[b] || !fits(a, b) {
            continue;
        }
        seen[b] = true;
        if holder[b].is_none_or(|other| seat(other, fits, seen, holder)) {
            holder[b] = Some(a);
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_move_on_so_that_all_find_a_place() {
        // The first takes place 0 until the second, which fits nowhere else, moves it to place 1.
        let fits = |a: usize, b: usize| matches!((a, b), (0, 0) | (0, 1) | (1, 0));
        assert_eq!(most_pairs(2, 2, fits), 2);
        assert_eq!(most_pairs(2, 2, |_, b| b == 0), 1);
    }
}
