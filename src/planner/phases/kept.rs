//! What a step leaves as it is: may one wiring follow another where strings are not to be touched?

use crate::model::{Element, InputWiring, KindIdx, PanelString};
use crate::plan::Touch;

/// Does a wiring disturb no more of the one before it than a level allows?
pub(super) fn may_follow(touch: Touch, before: &[InputWiring], after: &[InputWiring]) -> bool {
    let stays: fn(&PanelString, &PanelString) -> bool = match touch {
        Touch::None => |old, new| old.canonical() == new.canonical(),
        Touch::Extend => is_part_of,
        Touch::Free => return true,
    };
    before.iter().filter(|w| !w.array.strings.is_empty()).all(|then| {
        let old = &then.array.strings;
        let new = after.iter().find(|w| w.at == then.at).map_or(&[][..], |w| &w.array.strings[..]);
        all_find_a_place(old.len(), new.len(), |a, b| stays(&old[a], &new[b]))
    })
}

/// Is each element of the one string an element of the other, perhaps with more panels across it?
fn is_part_of(old: &PanelString, new: &PanelString) -> bool {
    let (old, new) = (old.elements(), new.elements());
    all_find_a_place(old.len(), new.len(), |a, b| is_within(&old[a], &new[b]))
}

fn is_within(old: &Element, new: &Element) -> bool {
    let count = |e: &Element, kind: KindIdx| e.members().iter().filter(|m| **m == kind).count();
    old.members().iter().all(|kind| count(new, *kind) >= count(old, *kind))
}

/// Can each of some things have one of some places for itself?
fn all_find_a_place(n: usize, n_places: usize, fits: impl Fn(usize, usize) -> bool) -> bool {
    fn place(
        from: usize,
        n: usize,
        taken: &mut [bool],
        fits: &impl Fn(usize, usize) -> bool,
    ) -> bool {
        if from == n {
            return true;
        }
        for at in 0..taken.len() {
            if taken[at] || !fits(from, at) {
                continue;
            }
            taken[at] = true;
            if place(from + 1, n, taken, fits) {
                return true;
            }
            taken[at] = false;
        }
        false
    }
    n <= n_places && place(0, n, &mut vec![false; n_places], &fits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{ArrayWiring, InputRef};

    fn wiring(strings: &[&[&[usize]]]) -> Vec<InputWiring> {
        let element = |e: &&[usize]| Element::block(e.iter().map(|k| KindIdx(*k)).collect());
        let string = |s: &&[&[usize]]| PanelString::new(s.iter().map(element).collect());
        let strings = strings.iter().map(string).collect();
        let at = InputRef { controller: 0, input: 1 };
        vec![InputWiring { at, array: ArrayWiring { strings } }]
    }

    #[test]
    fn strings_that_stay_are_matched_one_to_one() {
        let two = wiring(&[&[&[0], &[0]], &[&[0], &[0]]]);
        let one_and_longer = wiring(&[&[&[0], &[0]], &[&[0], &[1], &[0]]]);
        let more = wiring(&[&[&[1]], &[&[0], &[0]], &[&[0], &[0]]]);
        assert!(may_follow(Touch::None, &two, &more));
        assert!(!may_follow(Touch::None, &two, &one_and_longer));
        assert!(may_follow(Touch::Extend, &two, &one_and_longer));
        assert!(!may_follow(Touch::Extend, &two, &wiring(&[&[&[0], &[0], &[0], &[0]]])));
        assert!(may_follow(Touch::Free, &two, &wiring(&[])));
        assert!(may_follow(Touch::None, &wiring(&[]), &two));
    }

    #[test]
    fn a_spare_across_a_panel_extends_its_string() {
        let plain = wiring(&[&[&[0], &[2]]]);
        assert!(may_follow(Touch::Extend, &plain, &wiring(&[&[&[0, 1], &[2]]])));
        assert!(!may_follow(Touch::Extend, &plain, &wiring(&[&[&[1], &[2]]])));
    }
}
