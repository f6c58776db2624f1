//! Every assignment of panels, every order of elements, every choice of ports.

use crate::nets::{Bits, Net, joints, kept, nets, numbered};
use std::collections::BTreeMap;
use sungraft::model::{InputRef, InputWiring, KindIdx, PanelString};
use sungraft::plan::End;

type Strings = Vec<(InputRef, PanelString)>;

/// Strings on inputs that differ, with kinds.
fn changed(today: &[InputWiring], plan: &[InputWiring]) -> (Strings, Strings) {
    let (mut old, mut new) = (Vec::new(), Vec::new());
    for (a, b) in today.iter().zip(plan) {
        assert_eq!(a.at, b.at);
        if a.array.canonical() != b.array.canonical() {
            old.extend(a.array.strings.iter().map(|s| (a.at, s.clone())));
            new.extend(b.array.strings.iter().map(|s| (b.at, s.clone())));
        }
    }
    (old, new)
}

/// Every way to lay the plan out, one element after another in any order, each panel any of its kind.
struct Exhaustive<'a> {
    today: Vec<Net>,
    n_today: BTreeMap<InputRef, Vec<usize>>,
    kinds: Vec<KindIdx>,
    plan: &'a [(InputRef, PanelString)],
    laid_out: Vec<(InputRef, Bits)>,
    used: u64,
    n_spares: u32,
    most: usize,
    tried: usize,
}

impl Exhaustive<'_> {
    fn string(&mut self, s: usize, left: &mut Vec<usize>) {
        if s == self.plan.len() {
            self.weigh();
            return;
        }
        let n = self.plan[s].1.elements().len();
        if left.is_empty() && self.laid_out.len() == s {
            self.laid_out.push((self.plan[s].0, Vec::new()));
            self.string(s, &mut (0..n).collect());
            self.laid_out.pop();
            return;
        }
        if left.is_empty() {
            self.string(s + 1, &mut Vec::new());
            return;
        }
        for i in 0..left.len() {
            let element = left.remove(i);
            self.laid_out[s].1.push(0);
            self.members(s, element, 0, left);
            self.laid_out[s].1.pop();
            left.insert(i, element);
        }
    }

    fn members(&mut self, s: usize, element: usize, member: usize, left: &mut Vec<usize>) {
        let Some(&kind) = self.plan[s].1.elements()[element].members().get(member) else {
            self.string(s, left);
            return;
        };
        // Spares are numbered after today's panels; they have no joints, so one order is enough.
        let spare = self.kinds.len() as u32 + self.n_spares;
        let own = (0..self.kinds.len()).filter(|p| self.kinds[*p] == kind);
        let own: Vec<u32> = own.map(|p| p as u32).filter(|p| self.used >> p & 1 == 0).collect();
        for panel in own.into_iter().chain([spare]) {
            let place = |me: &mut Self| {
                me.used ^= 1 << panel;
                let string = &mut me.laid_out[s].1;
                *string.last_mut().expect("an element was begun") ^= 1 << panel;
            };
            place(self);
            self.n_spares += u32::from(panel == spare);
            self.members(s, element, member + 1, left);
            self.n_spares -= u32::from(panel == spare);
            place(self);
        }
    }

    /// Every choice of ports for every string's ends, input by input and end by end.
    fn weigh(&mut self) {
        self.tried += 1;
        let inner = kept(&self.today, &nets(&self.laid_out, |_, _| None));
        let mut most = inner;
        for end in [End::Plus, End::Minus] {
            for (at, ports) in &self.n_today {
                let here = (0..self.plan.len()).filter(|s| self.plan[*s].0 == *at);
                let here: Vec<usize> = here.collect();
                let mut best = inner;
                for choice in injections(here.len(), ports) {
                    let nets = nets(&self.laid_out, |s, e| {
                        let nth = here.iter().position(|h| *h == s)?;
                        choice[nth].filter(|_| e == end)
                    });
                    best = best.max(kept(&self.today, &nets));
                }
                most += best - inner;
            }
        }
        self.most = self.most.max(most);
    }
}

/// All ways to give each of n strings one of the ports, or none.
fn injections(n: usize, ports: &[usize]) -> Vec<Vec<Option<usize>>> {
    if n == 0 {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for rest in injections(n - 1, ports) {
        let free = ports.iter().filter(|p| !rest.contains(&Some(**p)));
        for port in free.map(|p| Some(*p)).chain([None]) {
            all.push([rest.clone(), vec![port]].concat());
        }
    }
    all
}

/// Joints opened and made at the least, and how many layouts were tried.
pub(crate) fn exhaustive(today: &[InputWiring], plan: &[InputWiring]) -> (usize, usize, usize) {
    let (old, new) = changed(today, plan);
    let (bits, kinds) = numbered(&old);
    let mut n_today: BTreeMap<InputRef, Vec<usize>> = BTreeMap::new();
    for (s, (at, _)) in old.iter().enumerate() {
        n_today.entry(*at).or_default().push(s);
    }
    let mut all = Exhaustive {
        today: nets(&bits, |s, _| Some(s)),
        n_today,
        kinds,
        plan: &new,
        laid_out: Vec::new(),
        used: 0,
        n_spares: 0,
        most: 0,
        tried: 0,
    };
    all.string(0, &mut Vec::new());
    let planned = numbered(&new).0;
    (joints(&bits) - all.most, joints(&planned) - all.most, all.tried)
}
