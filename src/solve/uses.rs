//! What may be taken of the stock, and the most that it can bring: every use worth more than a floor.
//!
//! Choices are very many, uses of a stock are few: what counts in a sharing-out is how much of each
//! row a choice takes, and the most that any choice with that use is worth. Over a narrow interval of
//! levels every column has one value, so these are found by dynamic programming (R. Bellman, Dynamic
//! Programming, 1957): uses by one column, by two, ..., each with its best value. The prices of the
//! interval's linear program say what a use has paid; one that has paid more than lies between the
//! program's bound and the floor is dropped (R. Baldacci, N. Christofides & A. Mingozzi, Mathematical
//! Programming 115(2), 2008, doi:10.1007/s10107-007-0178-5, list routes in the same way).

use std::collections::HashMap;

use super::finish::Candidate;
use super::loads::Loads;
use super::node::Node;
use super::problem::{Problem, Sense};
use super::watch::Watch;

/// Intervals are halved down to this part of their level: over one as narrow, the best values of
/// single columns add up to hardly more than one level gives.
const NARROW: f64 = 0.012;

/// A use of the stock, and a bound on what it brings.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// How much of each row of the stock.
    pub counts: Vec<usize>,
    /// No choice with this use is worth more.
    pub most: f64,
}

/// A row counted in whole numbers, as a field of a word.
struct Field {
    row: usize,
    offset: u32,
    bits: u32,
    exactly: Option<u64>,
}

/// A use under way: its fields, its best value, and the least that it has paid.
#[derive(Clone, Copy)]
struct State {
    used: u64,
    value: f64,
    paid: f64,
}

struct Listing {
    fields: Vec<Field>,
    /// What the rows allow, and a bit above each field that a sum too large would borrow.
    limits: u64,
    guards: u64,
    /// Fields of the stock.
    stock: u64,
    floor: f64,
    steps: usize,
    best: HashMap<u64, f64>,
}

/// Every use of the first `n_stock` rows with which a choice may be worth more than the floor,
/// ascending.
///
/// `None` if those rows are not counted in whole numbers, if the steps do not suffice, or if it is stopped. Gates, and
/// rows that are not counted, are passed over: that only raises the bounds.
#[must_use]
pub fn list_uses(
    problem: &Problem,
    n_stock: usize,
    floor: f64,
    steps: usize,
    watch: Watch,
) -> Option<Vec<Use>> {
    let mut listing = Listing::new(problem, n_stock, floor, steps)?;
    let loads = Loads::new(problem);
    let mut open = vec![Node::root(problem)];
    while let Some(node) = open.pop() {
        if watch.is_stopped() {
            return None;
        }
        let Some(relaxed) = node.relax(problem, &loads, floor) else { continue };
        if relaxed.bound <= floor {
            continue;
        }
        let narrow = node.hi - node.lo <= NARROW * node.hi.abs();
        match node.narrowed(&relaxed, relaxed.bound).halves().filter(|_| !narrow) {
            Some(halves) => open.extend(halves),
            None => {
                let reach = relaxed.priced - floor;
                listing.add_interval(&relaxed.candidates, reach, problem.most_columns)?;
            }
        }
    }
    Some(listing.uses(n_stock))
}

impl Listing {
    fn new(problem: &Problem, n_stock: usize, floor: f64, steps: usize) -> Option<Self> {
        let whole = |a: f64| a >= 0.0 && a.fract() == 0.0 && a <= f64::from(u32::MAX);
        let mut counted: Vec<bool> = problem.rows.iter().map(|r| whole(r.rhs)).collect();
        for (row, a) in problem.columns.iter().flat_map(|c| &c.uses) {
            counted[*row] &= whole(*a);
        }
        let mut listing = Self {
            fields: Vec::new(),
            limits: 0,
            guards: 0,
            stock: 0,
            floor,
            steps,
            best: HashMap::new(),
        };
        let mut offset = 0;
        for (row, r) in problem.rows.iter().enumerate() {
            let most = r.rhs as u64;
            // One column may use as much as the limit and as much again before the sum is turned down.
            let bits = u64::BITS - most.leading_zeros();
            if !counted[row] || offset + bits + 2 > u64::BITS {
                if row < n_stock {
                    return None;
                }
                continue;
            }
            listing.limits |= most << offset;
            listing.guards |= 1 << (offset + bits);
            if row < n_stock {
                listing.stock |= ((1 << bits) - 1) << offset;
            }
            let exactly = (r.sense == Sense::Exactly).then_some(most << offset);
            listing.fields.push(Field { row, offset, bits, exactly });
            offset += bits + 1;
        }
        Some(listing)
    }

    /// Adds the uses of an interval: `reach` is how far its linear bound lies above the floor, and
    /// candidates stand by falling reduced cost.
    fn add_interval(
        &mut self,
        candidates: &[Candidate],
        reach: f64,
        most_columns: usize,
    ) -> Option<()> {
        let columns: Vec<State> = candidates.iter().filter_map(|c| self.column(c)).collect();
        let mut layer = vec![State { used: 0, value: 0.0, paid: 0.0 }];
        self.enter(&layer);
        for _ in 0..most_columns {
            let mut next: Vec<State> = Vec::new();
            let mut places: HashMap<u64, usize> = HashMap::new();
            for state in &layer {
                for column in &columns {
                    let paid = state.paid + column.paid;
                    if paid >= reach {
                        break;
                    }
                    self.steps = self.steps.checked_sub(1)?;
                    let used = state.used + column.used;
                    if ((self.limits | self.guards) - used) & self.guards != self.guards {
                        continue;
                    }
                    let value = state.value + column.value;
                    let place = *places.entry(used).or_insert(next.len());
                    match next.get_mut(place) {
                        Some(known) => {
                            known.value = known.value.max(value);
                            known.paid = known.paid.min(paid);
                        }
                        None => next.push(State { used, value, paid }),
                    }
                }
            }
            self.enter(&next);
            layer = next;
        }
        Some(())
    }

    /// One column; `None` if the rows do not allow even one.
    fn column(&self, candidate: &Candidate) -> Option<State> {
        let mut used = 0;
        for field in &self.fields {
            let uses = candidate.uses.iter().filter(|(row, _)| *row == field.row);
            let n = uses.map(|(_, a)| *a as u64).sum::<u64>();
            let limit = self.limits >> field.offset & ((1 << field.bits) - 1);
            if n > limit {
                return None;
            }
            used |= n << field.offset;
        }
        Some(State { used, value: candidate.value, paid: -candidate.reduced })
    }

    fn enter(&mut self, layer: &[State]) {
        for state in layer.iter().filter(|s| s.value > self.floor) {
            let kept = |field: &Field| {
                let mask = ((1 << field.bits) - 1) << field.offset;
                field.exactly.is_none_or(|n| state.used & mask == n)
            };
            if self.fields.iter().all(kept) {
                let best = self.best.entry(state.used & self.stock).or_insert(state.value);
                *best = best.max(state.value);
            }
        }
    }

    fn uses(&self, n_stock: usize) -> Vec<Use> {
        let count = |used: u64, f: &Field| (used >> f.offset & ((1 << f.bits) - 1)) as usize;
        let mut uses: Vec<Use> = self
            .best
            .iter()
            .map(|(used, most)| Use {
                counts: self.fields[..n_stock].iter().map(|f| count(*used, f)).collect(),
                most: *most,
            })
            .collect();
        uses.sort_unstable_by(|a, b| a.counts.cmp(&b.counts));
        uses
    }
}
