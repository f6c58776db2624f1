//! Wirings as choices where today's strings stay: which string is whose extension.

use super::columns::{Candidates, sorts_of_strings};
use crate::model::{ArrayWiring, PanelString};
use crate::solve::Choice;

/// Sorts of strings, and how many of each are not yet placed.
type Left = Vec<(PanelString, usize)>;

impl Candidates {
    /// A choice that stands for a wiring at any level of touch; `None` if none does.
    ///
    /// Where installed strings stay, each is found again, as it is or within a longer one.
    pub(super) fn choice_at_any_touch(&self, array: &ArrayWiring) -> Option<Choice> {
        let n_groups = self.group_sizes().len();
        if n_groups == 0 {
            return self.choice_of(array);
        }
        let wanted: Vec<usize> =
            (0..n_groups).flat_map(|g| std::iter::repeat_n(g, self.group_sizes()[g])).collect();
        let mut taken = Vec::new();
        let mut left = sorts_of_strings(array);
        if !self.place(&wanted, &mut left, &mut taken) {
            return None;
        }
        for (string, n) in left.into_iter().filter(|(_, n)| *n > 0) {
            let fresh = |j: &usize| self.group(*j).is_none();
            let at = (0..self.patterns.len()).filter(fresh).find(|j| self.is_of(*j, &string))?;
            taken.extend(std::iter::repeat_n(at, n));
        }
        taken.sort_unstable();
        let mut choice = Choice::new();
        for at in taken {
            match choice.last_mut() {
                Some((last, n)) if *last == at => *n += 1,
                _ => choice.push((at, 1)),
            }
        }
        Some(choice)
    }

    fn is_of(&self, pattern: usize, string: &PanelString) -> bool {
        matches!(&self.patterns[pattern].strings[..], [own] if own.canonical() == *string)
    }

    /// Finds a pattern for each group that is wanted, among the strings that are left.
    fn place(&self, wanted: &[usize], left: &mut Left, taken: &mut Vec<usize>) -> bool {
        let Some((group, rest)) = wanted.split_first() else { return true };
        for at in (0..self.patterns.len()).filter(|j| self.group(*j) == Some(*group)) {
            let before = left.clone();
            if take_away(left, &self.patterns[at].strings) {
                taken.push(at);
                if self.place(rest, left, taken) {
                    return true;
                }
                taken.pop();
            }
            *left = before;
        }
        false
    }
}

/// Takes strings from those that are left; false, and only some taken, where one is not there.
fn take_away(left: &mut Left, strings: &[PanelString]) -> bool {
    strings.iter().all(|string| {
        let string = string.canonical();
        let found = left.iter_mut().find(|(s, n)| *s == string && *n > 0);
        found.map(|(_, n)| *n -= 1).is_some()
    })
}
