//! Both wirings as numbers, less what need not be searched.

use crate::model::{ArrayWiring, Element, InputRef, InputWiring, KindIdx, PanelString};
use crate::plan::Joints;
use std::collections::BTreeSet;

/// One element of today's wiring.
pub(super) struct TodayElement {
    /// How many panels of each kind it holds.
    pub(super) count: Vec<usize>,
    /// Index of its string in [`Problem::today`].
    pub(super) string: usize,
    /// Does it touch the combiner's plus port?
    pub(super) first: bool,
    /// Does it touch the combiner's minus port?
    pub(super) last: bool,
}

/// One string of today's wiring; its elements stand side by side in [`Problem::elements`].
pub(super) struct TodayString {
    /// Where it is connected.
    pub(super) at: InputRef,
    /// Its place in today's array.
    pub(super) idx: usize,
    /// Index of its first element.
    pub(super) start: usize,
    /// Index after its last element.
    pub(super) end: usize,
}

/// One element of a planned string.
pub(super) struct PlanElement {
    /// Index of its string in [`Problem::plan`].
    pub(super) string: usize,
    /// Kinds of its members, ascending.
    pub(super) members: Vec<usize>,
    /// How many panels of each kind it holds.
    pub(super) count: Vec<usize>,
}

/// One planned string; the order of its elements is still open.
pub(super) struct PlanString {
    /// Where it will be connected.
    pub(super) at: InputRef,
    /// Its place in the planned array.
    pub(super) idx: usize,
    /// Index of its first element in [`Problem::places`]; alike elements stand side by side.
    pub(super) start: usize,
    /// Index after its last element.
    pub(super) end: usize,
    /// Index of the first string that is like this one.
    pub(super) like: usize,
}

/// What some elements of today bring.
#[derive(Clone)]
pub(super) struct Coming {
    /// By kind: any panels of it?
    pub(super) kind: Vec<bool>,
    /// By planned string: a plus port that could stay there?
    pub(super) plus: Vec<bool>,
    /// By planned string: a minus port?
    pub(super) minus: Vec<bool>,
}

/// A planned string that is today's string with this place, as it is.
pub(super) struct Settled {
    /// Where both are connected.
    pub(super) at: InputRef,
    /// Place in today's array.
    pub(super) today: usize,
    /// Place in the planned array.
    pub(super) plan: usize,
}

/// What has to be searched: today's strings and the planned ones on inputs that differ.
pub(super) struct Problem {
    /// The kinds that occur; all other indices of kinds here point into this list.
    pub(super) kinds: Vec<KindIdx>,
    /// Today's strings.
    pub(super) today: Vec<TodayString>,
    /// The elements of today's strings, one string after another.
    pub(super) elements: Vec<TodayElement>,
    /// The planned strings; alike ones stand side by side.
    pub(super) plan: Vec<PlanString>,
    /// The elements of the planned strings, one string after another.
    pub(super) places: Vec<PlanElement>,
    /// Most panels of one kind in an element, here or there.
    pub(super) deep: usize,
    /// For each element of today: what it and the later ones bring. One entry more, for the end.
    pub(super) coming: Vec<Coming>,
    /// What was matched without a search.
    pub(super) settled: Vec<Settled>,
    /// Joints of today's strings here.
    pub(super) joints_today: usize,
    /// Joints of the planned strings here.
    pub(super) joints_plan: usize,
}

/// The array on one input; an input that is not listed has nothing wired.
pub(super) fn array_at(inputs: &[InputWiring], at: InputRef) -> &[PanelString] {
    inputs.iter().find(|i| i.at == at).map_or(&[], |i| i.array.strings.as_slice())
}

/// Is the wiring of this input electrically the same in both?
pub(super) fn unchanged(today: &[InputWiring], plan: &[InputWiring], at: InputRef) -> bool {
    let canonical = |inputs| {
        let strings = array_at(inputs, at).to_vec();
        ArrayWiring { strings }.canonical()
    };
    canonical(today) == canonical(plan)
}

/// Joints of one string, those at the combiner included.
pub(super) fn count_joints(string: &PanelString) -> usize {
    2 * string.panels().count() + 1 - string.elements().len()
}

/// Is it a string of single panels of one kind?
fn uniform(string: &PanelString) -> bool {
    let first = &string.elements()[0];
    !first.is_block() && string.elements().iter().all(|e| e == first)
}

impl Problem {
    /// Leaves out unchanged inputs and settles uniform strings that stay on their input.
    ///
    /// Settling them is never worse. Let a uniform string T of today, n elements, be planned again as S
    /// on the same input, and take any solution. Put T into S as it is, and put what stood in S where
    /// T's panels had gone. All are single panels of one kind, so the runs that stood in S can be laid
    /// end to end (one with a kept plus joint first, one with a kept minus joint last) over the runs of
    /// places vacated; every joint that neither row breaks survives. Of e panels of T that already
    /// stood in S at most e joints were kept there (more only if S was T already); the other n - e kept
    /// b joints in S and c elsewhere, and at least b + c - (n - e) - 1 of those survive. With the
    /// n + 1 joints of S now that is no fewer than the e + b + c before.
    /// For strings of several kinds this fails, since S and T may differ in order.
    pub(super) fn new(today: &[InputWiring], plan: &[InputWiring]) -> Self {
        let inputs: BTreeSet<InputRef> = today.iter().chain(plan).map(|i| i.at).collect();
        let (mut old, mut new, mut settled) = (Vec::new(), Vec::new(), Vec::new());
        for at in inputs {
            if unchanged(today, plan, at) {
                continue;
            }
            let olds = array_at(today, at);
            let mut open: Vec<_> = array_at(plan, at).iter().enumerate().collect();
            for (i, string) in olds.iter().enumerate() {
                let same = open.iter().position(|(_, s)| *s == string);
                match same.filter(|_| uniform(string)) {
                    Some(pos) => settled.push(Settled { at, today: i, plan: open.remove(pos).0 }),
                    None => old.push((at, i, string)),
                }
            }
            new.extend(open.into_iter().map(|(i, string)| (at, i, string)));
        }
        Self::from_strings(&old, &new, settled)
    }

    fn from_strings(
        old: &[(InputRef, usize, &PanelString)],
        new: &[(InputRef, usize, &PanelString)],
        settled: Vec<Settled>,
    ) -> Self {
        let strings = old.iter().chain(new);
        let kinds: BTreeSet<KindIdx> = strings.flat_map(|(_, _, s)| s.panels()).collect();
        let kinds: Vec<KindIdx> = kinds.into_iter().collect();
        let mut problem = Self {
            today: Vec::new(),
            elements: Vec::new(),
            plan: Vec::new(),
            places: Vec::new(),
            joints_today: old.iter().map(|(_, _, s)| count_joints(s)).sum(),
            joints_plan: new.iter().map(|(_, _, s)| count_joints(s)).sum(),
            kinds,
            deep: 1,
            coming: Vec::new(),
            settled,
        };
        // Strings of the same kinds side by side, so that a kind is done with early; of these the long
        // ones first, since they have the most to keep and the fewest ways to keep it.
        let mut old: Vec<_> = old.iter().collect();
        old.sort_by_key(|(_, _, s)| {
            let kinds: BTreeSet<KindIdx> = s.panels().collect();
            (kinds, std::cmp::Reverse(s.elements().len()))
        });
        for &&(at, idx, string) in &old {
            problem.add_today(at, idx, string);
        }
        let mut new: Vec<_> = new.iter().map(|(at, i, s)| (*at, s.canonical(), *i)).collect();
        new.sort();
        for (at, string, idx) in &new {
            problem.add_plan(*at, *idx, string);
        }
        let today = problem.elements.iter().map(|e| &e.count);
        let counts = today.chain(problem.places.iter().map(|p| &p.count));
        problem.deep = counts.flatten().copied().max().unwrap_or(1);
        problem.coming = problem.coming();
        problem
    }

    fn add_today(&mut self, at: InputRef, idx: usize, string: &PanelString) {
        let start = self.elements.len();
        let end = start + string.elements().len();
        for (i, element) in string.elements().iter().enumerate() {
            self.elements.push(TodayElement {
                count: self.count(element),
                string: self.today.len(),
                first: i == 0,
                last: start + i + 1 == end,
            });
        }
        self.today.push(TodayString { at, idx, start, end });
    }

    /// Takes strings in ascending order, with elements in ascending order.
    fn add_plan(&mut self, at: InputRef, idx: usize, string: &PanelString) {
        let (this, start) = (self.plan.len(), self.places.len());
        for element in string.elements() {
            let members = element.members().iter().map(|k| self.local(*k));
            self.places.push(PlanElement {
                string: this,
                members: members.collect(),
                count: self.count(element),
            });
        }
        let end = self.places.len();
        let members = |p: &PlanElement| p.members.clone();
        let before = self.plan.last().filter(|b| {
            let theirs = self.places[b.start..b.end].iter().map(members);
            b.at == at && theirs.eq(self.places[start..end].iter().map(members))
        });
        let like = before.map_or(this, |b| b.like);
        self.plan.push(PlanString { at, idx, start, end, like });
    }

    fn coming(&self) -> Vec<Coming> {
        let mut after = Coming {
            kind: vec![false; self.kinds.len()],
            plus: vec![false; self.plan.len()],
            minus: vec![false; self.plan.len()],
        };
        let mut coming = vec![after.clone()];
        for element in self.elements.iter().rev() {
            for (kind, n) in element.count.iter().enumerate() {
                after.kind[kind] |= *n > 0;
            }
            let at = self.today[element.string].at;
            for (s, string) in self.plan.iter().enumerate() {
                after.plus[s] |= element.first && string.at == at;
                after.minus[s] |= element.last && string.at == at;
            }
            coming.push(after.clone());
        }
        coming.reverse();
        coming
    }

    /// The index that a kind has here.
    pub(super) fn local(&self, kind: KindIdx) -> usize {
        let found = self.kinds.binary_search(&kind);
        found.expect("every kind was collected")
    }

    fn count(&self, element: &Element) -> Vec<usize> {
        let mut count = vec![0; self.kinds.len()];
        for kind in element.members() {
            count[self.local(*kind)] += 1;
        }
        count
    }

    /// Joints to keep so that no more than `most` are opened and made; `None` if there are not as many.
    pub(super) fn enough(&self, most: usize) -> Option<usize> {
        let all = self.joints_today + self.joints_plan;
        let enough = all.saturating_sub(most).div_ceil(2);
        (enough <= self.joints_today.min(self.joints_plan)).then_some(enough)
    }

    /// Joints opened and made if so many are kept.
    pub(super) fn joints(&self, kept: usize) -> Joints {
        Joints {
            opened: self.joints_today.saturating_sub(kept),
            made: self.joints_plan.saturating_sub(kept),
        }
    }
}
