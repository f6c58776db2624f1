//! One node: an interval of levels and what branching has fixed there.

use std::borrow::Cow;
use std::rc::Rc;

use super::finish::Candidate;
use super::linear::{Priced, Relaxation, relax};
use super::loads::Loads;
use super::problem::{Problem, Row, Sense, slack};
use super::rate::Peak;

/// What branching has fixed about one gate.
#[derive(Debug, Clone, Copy)]
struct GateState {
    /// Only columns with a larger key may be taken.
    above: f64,
    /// A column with a key up to this one is taken, so the row at this key holds.
    row_at: Option<f64>,
}

/// A column that may still be taken, and its peak in this interval or one around it.
#[derive(Debug, Clone, Copy)]
struct Live {
    column: usize,
    peak: Peak,
}

/// An interval, the columns still alive in it, and the bound known so far.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub lo: f64,
    pub hi: f64,
    /// No choice in this node is worth more.
    pub bound: f64,
    /// How many searches of choices have been cut short on the way here.
    pub cut_short: u32,
    columns: Rc<[Live]>,
    gates: Rc<[GateState]>,
    /// Prices of the linear program of the node around this one.
    prices: Rc<[f64]>,
}

/// Columns of which the rows allow at least one: a row that none gives back to is a ceiling for each.
fn possible(problem: &Problem) -> impl Iterator<Item = usize> {
    let mut only_used = vec![true; problem.rows.len()];
    for &(i, a) in problem.columns.iter().flat_map(|c| &c.uses) {
        only_used[i] &= a >= 0.0;
    }
    let rows = &problem.rows;
    let fits = move |&(i, a): &(usize, f64)| !only_used[i] || a <= rows[i].rhs + slack(rows[i].rhs);
    (0..problem.columns.len()).filter(move |j| problem.columns[*j].uses.iter().all(&fits))
}

/// A node with its linear program solved.
pub(super) struct Relaxed<'a> {
    pub rows: Vec<Row>,
    /// Bound of the linear program at its prices. Only against this may reduced costs be held: the
    /// node's own bound may come from elsewhere and knows nothing of these prices.
    pub priced: f64,
    /// No choice in this node is worth more.
    pub bound: f64,
    /// Columns that a choice above the floor may contain, by falling reduced cost.
    pub candidates: Vec<Candidate<'a>>,
    /// The same, ascending.
    live: Rc<[Live]>,
    prices: Rc<[f64]>,
}

impl Node {
    /// The whole range, all columns.
    pub(super) fn root(problem: &Problem) -> Self {
        let open = GateState { above: f64::NEG_INFINITY, row_at: None };
        // No level is no number, so every peak is yet to be found.
        let peak = Peak { level: f64::NAN, value: f64::NAN };
        Self {
            lo: problem.levels.0,
            hi: problem.levels.1,
            bound: f64::INFINITY,
            cut_short: 0,
            columns: possible(problem).map(|column| Live { column, peak }).collect(),
            gates: vec![open; problem.gates.len()].into(),
            prices: Rc::default(),
        }
    }

    /// Values in the interval and the linear program over them, with the columns that a choice above
    /// the floor may contain; `None` if no choice there keeps the rows.
    pub(super) fn relax<'a>(
        &self,
        problem: &'a Problem,
        loads: &Loads,
        floor: f64,
    ) -> Option<Relaxed<'a>> {
        let live = self.live_columns(problem);
        let mut rows = problem.rows.clone();
        let mut gate_rows = Vec::new();
        for (g, state) in self.gates.iter().enumerate() {
            let Some(key) = state.row_at else { continue };
            let gate = &problem.gates[g];
            // This side of the branch takes a column with a key up to that of its row.
            if !live.iter().any(|l| gate.key(l.column) <= key) {
                return None;
            }
            gate_rows.push((g, key, rows.len()));
            rows.push(Row { name: gate.name(), sense: Sense::AtMost, rhs: gate.cap(key) });
        }
        let soft = problem.most_gross.map(|rhs| {
            rows.push(Row { name: "what counts", sense: Sense::Soft, rhs });
            rows.len() - 1
        });
        let priced: Vec<Priced> = live
            .iter()
            .map(|l| {
                let column = &problem.columns[l.column];
                let mut uses = Cow::Borrowed(column.uses.as_slice());
                for &(g, key, row) in &gate_rows {
                    uses.to_mut().push((row, loads.load(g, key, l.column)));
                }
                if let Some(row) = soft {
                    uses.to_mut().push((row, l.peak.value));
                }
                Priced { value: l.peak.value - column.cost, uses }
            })
            .collect();
        // Rows of gates differ from node to node; those of the problem do not.
        let known = self.prices.get(..problem.rows.len());
        let Relaxation { bound, prices, reduced } =
            relax(&priced, &rows, problem.most_columns, known)?;
        let mut candidates = Vec::new();
        let mut affordable = Vec::new();
        for ((live, p), reduced) in live.iter().zip(priced).zip(reduced) {
            if bound + reduced > floor {
                affordable.push(*live);
                candidates.push(Candidate {
                    column: live.column,
                    value: p.value,
                    uses: p.uses,
                    reduced,
                });
            }
        }
        candidates.sort_by(|a, b| b.reduced.total_cmp(&a.reduced).then(a.column.cmp(&b.column)));
        Some(Relaxed {
            rows,
            priced: bound,
            bound: bound.min(self.bound),
            candidates,
            live: affordable.into(),
            prices: prices.into(),
        })
    }

    /// The columns that may be taken here, with their peaks in this interval.
    fn live_columns(&self, problem: &Problem) -> Vec<Live> {
        let open =
            |j: usize| self.gates.iter().zip(&problem.gates).all(|(s, gate)| gate.key(j) > s.above);
        self.columns
            .iter()
            .filter(|l| open(l.column))
            .filter_map(|l| {
                // The peak of a wider interval is that of this one if it lies in it.
                if self.lo <= l.peak.level && l.peak.level <= self.hi {
                    return Some(*l);
                }
                let peak = problem.columns[l.column].rate.peak_in(self.lo, self.hi)?;
                Some(Live { column: l.column, peak })
            })
            .collect()
    }

    /// The same node with what its linear program has ruled out left out, and another bound.
    pub(super) fn narrowed(&self, relaxed: &Relaxed, bound: f64) -> Self {
        Self {
            bound,
            columns: Rc::clone(&relaxed.live),
            prices: Rc::clone(&relaxed.prices),
            ..self.clone()
        }
    }

    /// Both halves of the interval; `None` if it is too narrow to matter.
    pub(super) fn halves(&self) -> Option<[Self; 2]> {
        let mid = 0.5 * (self.lo + self.hi);
        let narrow = self.hi - self.lo <= 1e-9 * (1.0 + self.hi.abs());
        (!narrow).then(|| [Self { hi: mid, ..self.clone() }, Self { lo: mid, ..self.clone() }])
    }

    /// Branches on a gate: no column up to the key, or the row at the key.
    ///
    /// `None` if the row at that key already follows from one at a smaller key.
    pub(super) fn by_gate(&self, gate: usize, key: f64) -> Option<[Self; 2]> {
        let state = self.gates[gate];
        if state.row_at.is_some_and(|k| k <= key) {
            return None;
        }
        let with = |state: GateState| {
            let mut gates = self.gates.to_vec();
            gates[gate] = state;
            Self { gates: gates.into(), ..self.clone() }
        };
        let without = with(GateState { above: state.above.max(key), ..state });
        // The row at the smaller key is the stricter one and implies the other.
        Some([without, with(GateState { row_at: Some(key), ..state })])
    }

    /// Keys at a gate of the columns alive, ascending, from a key on.
    pub(super) fn keys_from(&self, problem: &Problem, gate: usize, key: f64) -> Vec<f64> {
        let mut keys: Vec<f64> = self
            .columns
            .iter()
            .map(|l| problem.gates[gate].key(l.column))
            .filter(|k| *k >= key && k.is_finite())
            .collect();
        keys.sort_unstable_by(f64::total_cmp);
        keys.dedup();
        keys
    }
}

impl<'a> Relaxed<'a> {
    /// Columns that a choice above a threshold may contain.
    pub(super) fn above(&self, threshold: f64) -> &[Candidate<'a>] {
        let n = self.candidates.partition_point(|c| self.priced + c.reduced > threshold);
        &self.candidates[..n]
    }
}
