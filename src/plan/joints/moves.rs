//! Everything that can become of the next element of today.

use super::state::{Meeting, Move, State};

impl State<'_> {
    /// Every move that differs; places and strings that are alike are tried once.
    pub(super) fn moves(&mut self) -> Vec<Move> {
        let element = &self.problem.elements[self.next];
        let count = element.count.iter().enumerate();
        let members: Vec<usize> =
            count.flat_map(|(kind, n)| std::iter::repeat_n(kind, *n)).collect();
        let mut all = Vec::new();
        self.choose(&members, &mut Move::default(), &mut all);
        all
    }

    /// A place for each member in turn, or none.
    fn choose(&mut self, members: &[usize], made: &mut Move, all: &mut Vec<Move>) {
        let Some((&kind, others)) = members.split_first() else {
            let mut places: Vec<usize> = made.panels.iter().map(|(_, place)| *place).collect();
            places.sort_unstable();
            places.dedup();
            self.join(&places, 0, made, all);
            return;
        };
        // Members of one kind are alike: take their places in ascending order.
        let least = match made.panels.last() {
            Some((before, place)) if *before == kind => *place,
            _ => 0,
        };
        for place in self.places_for(kind, least) {
            self.put(kind, place);
            made.panels.push((kind, place));
            self.choose(others, made, all);
            made.panels.pop();
            self.take_out(kind, place);
        }
        // The rest of this kind keeps nothing.
        let n_alike = others.iter().take_while(|k| **k == kind).count();
        self.choose(&others[n_alike..], made, all);
    }

    fn places_for(&self, kind: usize, least: usize) -> Vec<usize> {
        let problem = self.problem;
        let mut places = Vec::new();
        for (s, string) in problem.plan.iter().enumerate() {
            let untouched = |s: &usize| self.n_placed[*s] == 0;
            if self.having[s].any(kind) == 0
                || untouched(&s) && (string.like..s).any(|t| untouched(&t))
            {
                continue;
            }
            let mut fresh_before: Option<usize> = None;
            for place in string.start.max(least)..string.end {
                if self.room[place][kind] == 0 {
                    continue;
                }
                if self.fresh(place) {
                    let members = &problem.places[place].members;
                    if fresh_before.is_some_and(|b| problem.places[b].members == *members) {
                        continue;
                    }
                    fresh_before = Some(place);
                }
                places.push(place);
            }
        }
        places
    }

    /// For each place in turn: does it come to stand right after one that the element before is in?
    fn join(&mut self, places: &[usize], i: usize, made: &mut Move, all: &mut Vec<Move>) {
        let Some(&place) = places.get(i) else {
            self.end(places, made, all);
            return;
        };
        let together = made.panels.iter().filter(|(_, p)| *p == place).count() - 1;
        let linked = |before: usize| self.open.iter().any(|m| m.place == before);
        if self.before[place].is_some_and(linked) {
            made.gains.push((place, 2 * together + 1));
            self.join(places, i + 1, made, all);
            made.gains.pop();
            return;
        }
        let mut must = false;
        for m in 0..self.open.len() {
            let before = self.open[m].place;
            if !self.can_link(before, place) {
                continue;
            }
            self.link(before, place);
            made.links.push((before, place));
            made.gains.push((place, 2 * together + 1));
            self.join(places, i + 1, made, all);
            made.gains.pop();
            made.links.pop();
            self.unlink(before, place);
            // With both full, no other joint could come of leaving them apart.
            must |= self.size[before] == 0 && self.size[place] == 0;
        }
        if !must {
            made.gains.push((place, 2 * together));
            self.join(places, i + 1, made, all);
            made.gains.pop();
        }
    }

    /// The ports, and whether each place keeps a joint or at least may.
    fn end(&mut self, places: &[usize], made: &mut Move, all: &mut Vec<Move>) {
        let continued = |m: &Meeting| {
            let after = self.after[m.place];
            after.is_some_and(|after| places.contains(&after))
        };
        if self.open.iter().any(|m| m.idle && !continued(m)) {
            return;
        }
        let problem = self.problem;
        let element = &problem.elements[self.next];
        let at = problem.today[element.string].at;
        let here = |p: &&usize| problem.plan[self.string(**p)].at == at;
        let none = std::iter::once(None);
        let begins = places.iter().filter(|p| element.first && here(p) && self.can_begin(**p));
        let begins: Vec<_> = begins.map(|p| Some(*p)).chain(none.clone()).collect();
        for plus in begins {
            if let Some(place) = plus {
                let string = self.string(place);
                self.plus[string] = plus;
            }
            let ends = places.iter().filter(|p| {
                let here = problem.plan[self.string(**p)].at == at;
                element.last && here && self.can_end(**p)
            });
            for minus in ends.map(|p| Some(*p)).chain(none.clone()) {
                all.extend(self.finish(places, made, plus, minus));
            }
            if let Some(place) = plus {
                let string = self.string(place);
                self.plus[string] = None;
            }
        }
    }

    fn finish(
        &self,
        places: &[usize],
        made: &Move,
        plus: Option<usize>,
        minus: Option<usize>,
    ) -> Option<Move> {
        let mut made = made.clone();
        made.gains.extend(plus.iter().chain(&minus).map(|p| (*p, 1)));
        (made.plus, made.minus) = (plus, minus);
        let last = self.problem.elements[self.next].last;
        for &place in places {
            let idle = !made.gains.iter().any(|(p, gain)| *p == place && *gain > 0);
            if idle && (last || !self.may_continue(place, self.next + 1)) {
                return None;
            }
            made.meetings.push(Meeting { place, idle });
        }
        made.gains.retain(|(_, gain)| *gain > 0);
        Some(made)
    }

    /// Might an element of today still come to stand right after this place?
    pub(super) fn may_continue(&self, place: usize, element: usize) -> bool {
        let count = &self.problem.elements[element].count;
        let string = self.string(place);
        let mut kinds = (0..count.len()).filter(|k| count[*k] > 0);
        match self.after[place] {
            Some(after) => kinds.any(|k| self.room[after][k] > 0),
            None if self.minus[string] == Some(place) => false,
            None => kinds.any(|k| self.having[string].any(k) > 0),
        }
    }
}
